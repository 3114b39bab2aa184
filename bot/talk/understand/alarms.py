"""Words that cannot wait for the next question: poison, gas, wires, injuries. And damage that was not the frost.

Missing one is worse than firing once too often; what often sounds alike in a garden (gas mowers, chicken wire,
wiregrass) is taken out of the text first.
"""

from __future__ import annotations

import re

from bot.talk.understand.plain_words import plain

_HARMLESS = re.compile(
    r"\bgas(?:oline)?[ -](?:powered|engine|motor|mowers?|trimmers?|edgers?|blowers?|push|riding|can|cans|cap|tank|"
    r"grills?|"
    r"station|price\w*|pedal|chainsaw|tiller|weed ?eaters?|heater|stove|bill|money|mileage|run)\b"
    r"|\b(?:chicken|barbed|hardware|bailing|baling|floral|fence|fencing|garden|landscape|guy|speaker|"
    r"invisible[ -]fence|"
    r"dog[ -]fence|boundary|robot|mower|perimeter|low[ -]voltage|christmas|trellis|tie)[ -](?:wires?|cables?|lines?)\b"
    r"|\bwire ?grass\b|\bwire (?:fenc\w+|mesh|brush\w*|rakes?|baskets?|cutters?|cages?|netting|tines?|panel\w*|"
    r"staples?)\b"
    r"|\b(?:property|tree|fence|drip|water|sprinkler|irrigation|string|trimmer|mow(?:ing)?|dead|straight|frost|sewer|"
    r"shade|drain|fishing|clothes) lines?\b"
)

_CHEMICAL = (
    r"(?:fertili[sz]er\w*|weed ?killers?|weed (?:and|&|n) feed|herbicides?|pesticides?|insecticides?|fungicides?|"
    r"chemicals?|"
    r"pellets?|granules?|prills?|bait|bleach|antifreeze|gasoline|poison\w*|lawn food|plant food|grub killer|ant killer|"
    r"moss killer|ironite|iron|lime|spray|moth ?balls?|kerosene|concentrate|product|urea|ammonia|2,?4-?d|glyphosate)"
)
_EATING = (
    r"(?:ate|eats?|eaten|eating|swallow\w*|drank|drinks?|drinking|drunk|lick\w*|chew\w*|ingest\w*|sw[ao]llered|"
    r"got into|gotten into|inhal\w*|breathed in)"
)
_NO_MEAL = r"(?! (?:the |some |my |our |his |her )?(?:breakfast|lunch|dinner|supper|snacks?)\b)"
_WHO = (
    r"(?:dogs?|pup(?:py|pies|s)?|cats?|kittens?|kitty|pets?|kids?|child(?:ren)?|bab(?:y|ies)|toddlers?|son|daughter|"
    r"grandson|"
    r"granddaughter|grandkids?|boys?|girls?|wife|husband|horses?|goats?|chickens?|labs?|retriever|nephew|niece)"
)
_POISON = tuple(
    re.compile(pattern)
    for pattern in (
        rf"\b{_EATING}\b{_NO_MEAL}.{{0,40}}?\b{_CHEMICAL}\b",
        rf"\b{_WHO}\b(?: [\w']+){{0,3}}? (?:ate|eats?|eaten|eating|swallow\w*|drank|drinks?|drinking|"
        rf"ingest\w*)\b{_NO_MEAL}"
        r"(?! (?:the |some |my |our |your )?(?:grass|lawn|plants?|food|water)\b)",
        r"\bswallow(?:ed|ing|s)?\b",
        rf"\b{_WHO}\b.{{0,40}}?\b(?:vomit\w*|throw(?:s|ing|n)? up|threw up|foam\w*|drool\w*|seizures?|seizing|"
        r"convuls\w*|twitch\w*|trembling)\b",
        rf"\b(?:vomit\w*|foam\w*|drool\w*|seizures?|convuls\w*)\b.{{0,40}}?\b{_WHO}\b",
        r"\b(?:i|he|she|we|they|someone|somebody) (?:just |accidentally |have |has )*(?:drank|swallowed|ingested)\b",
        r"\bpoison(?:ed|ing)\b|\bpoison control\b|\boverdose",
        rf"\b{_CHEMICAL}\b.{{0,30}}?\bin(?:to)? (?:my|his|her|their|the|both) (?:eyes?|mouth|face|lungs?)\b",
        rf"\b(?:eyes?|skin|throat|mouth|lungs?)\b.{{0,20}}?\bburn(?:s|ing|ed|t)?\b.{{0,40}}?\b{_CHEMICAL}\b",
        rf"\b{_CHEMICAL}\b.{{0,40}}?\b(?:eyes?|skin|throat|mouth|lungs?) (?:[\w']+ ){{0,2}}burn(?:s|ing|ed|t)?\b",
    )
)
_GAS = tuple(
    re.compile(pattern)
    for pattern in (
        r"\b(?:smell\w*|odou?r|stinks?|reek\w*|whiff)\b(?: [\w']+){0,3}? (?:natural )?(?:gas|propane)\b(?! ?oline)",
        r"\b(?:gas|propane)\b(?: [\w']+){0,2}? (?:smell\w*|odou?r|leak\w*|hiss\w*|stinks?)\b",
        r"\bleak\w*(?: [\w']+){0,2}? (?:gas|propane)\b",
        r"\brotten[ -]eggs?\b",
        r"\b(?:hit|cut|cuts|nicked|broke|broken|ruptured|struck|punctured|severed|damaged|sliced|pierced|"
        r"dug (?:in)?to|dug up|"
        r"through|busted)\b(?: [\w']+){0,4}? (?:gas|propane)(?: (?:line|pipe|main|meter|service)s?)\b",
        r"\b(?:gas|propane) (?:line|pipe|main|meter)s?\b(?: [\w']+){0,3}? (?:hit|cut|broken?|ruptured|damaged|"
        r"punctured|"
        r"leak\w*|hiss\w*)\b",
    )
)
_LINE = (
    r"(?:wires?|cables?|(?:power|electric(?:al)?|utility|service|live|overhead|hydro)[ -]?(?:lines?|wires?|"
    r"cables?)|powerlines?)"
)
_POWER = r"(?:(?:power|electric(?:al)?|utility|live|overhead)[ -]?(?:lines?|wires?|cables?)|powerlines?|wires?|cables?)"
_WIRES = tuple(
    re.compile(pattern)
    for pattern in (
        rf"\b{_LINE} (?:[\w']+ ){{0,3}}?(?:down|hanging|on the (?:ground|lawn|grass|fence)|in the (?:yard|grass)|fell|"
        rf"fallen|sparking|sparks?|"
        r"exposed|bare|arcing|snapped|came down|across)\b",
        rf"\b(?:downed|fallen|sparking|exposed|live|bare|arcing|low hanging) {_POWER}\b",
        rf"\b(?:hit|cut|cuts|nicked|severed|struck|dug (?:in)?to|dug up|touched|damaged|chopped|sliced|mowed over|"
        rf"broke)\b(?: [\w']+){{0,4}}? {_POWER}\b",
        r"\b(?:sparks?|sparking|arcing)\b.{0,30}?\b(?:wire|line|cable|pole|transformer|outlet)s?\b",
        r"\belectric(?:al)? shocks?\b|\belectrocut\w*|\b(?:got|was|been) (?:a )?(?:shocked|zapped|shock)\b(?: by)?",
        r"^(?:the |there are |there's |power )?wires?(?: down)?[.!]*$|\bwires\b.{0,30}?\b(?:tree|branch|ice|storm|"
        r"yard|ground|street|down|pole)\b",
        r"\b(?:tree|branch|limb|ladder)\b(?: [\w']+){0,4}? on (?:the |a |some )?(?:power ?)?(?:lines?|wires?)\b",
    )
)
_BODY = (
    r"(?:foot|feet|toes?|fingers?|hands?|legs?|arms?|thumbs?|ankles?|eyes?|face|head|knees?|wrists?|shin|calf|thigh)"
)
_INJURY = tuple(
    re.compile(pattern)
    for pattern in (
        rf"\b(?:cuts?|sliced?|severed?|chopped|lost|injured|hurt|broke|gashed|mangled|ran over|run over|burn(?:ed|t)|"
        rf"stabbed|crushed|caught) "
        rf"(?:off )?(?:my|his|her|our|their|own) (?:[\w']+ )?{_BODY}\b",
        rf"\b(?:my|his|her|their) (?:[\w']+ )?{_BODY} (?:is|are|got|was|were|has been|got caught|"
        rf"is badly) (?:badly )?(?:cut|sliced|bleeding|hurt|broken|gone|"
        r"severed|crushed|stuck|caught|burn(?:ed|t))\b",
        r"\bbleeding\b|\bblood (?:everywhere|all over)\b|\blots of blood\b|\bneed an ambulance\b|\b(?:call|calling|"
        r"called) 911\b|^911$",
        r"\bchest pains?\b|\bheart attack\b|\bheat ?stroke\b|\bstroke symptoms\b|\bhaving a stroke\b",
        r"\b(?:can'?t|cannot|can not|trouble|hard to|difficulty) breath\w*\b|\bnot breathing\b|\bunconscious\b|"
        r"\bpassed out\b|\bfainted\b|\bcollapsed\b",
        r"\bsnake ?bite\b|\bbitten by a (?:snake|copperhead|rattle\w*)\b|\ballergic reaction\b|\banaphyla\w*",
    )
)
_MONOXIDE = tuple(
    re.compile(pattern)
    for pattern in (
        r"\b(?:carbon )?mono?xide\b|\bcarbon monox\w*",
        r"\bco2? (?:alarm|detector|sensor)\b|\bco poisoning\b",
        r"\b(?:generator|grill|mower|heater|engine|charcoal|camp stove)\b.{0,40}?\b(?:in|inside) (?:the |my |our |"
        r"a )?(?:closed )?"
        r"(?:house|garage|basement|living room|kitchen|home|shed|indoors)\b.{0,80}?\b(?:dizzy|headaches?|sick|"
        r"nause\w*|sleepy|faint)",
        r"\b(?:dizzy|headaches?|sick|nause\w*|faint)\b.{0,60}?\b(?:generator|exhaust|fumes|heater)\b",
        r"\b(?:generator|charcoal|grill)\b(?: [\w']+){0,3}? (?:indoors|in(?:side)? (?:the |my )?(?:house|garage|"
        r"basement|bedroom|living room))\b",
    )
)
_ALARMS = (("carbon_monoxide", _MONOXIDE), ("gas", _GAS), ("wires", _WIRES), ("injury", _INJURY), ("poison", _POISON))
ALARMS = tuple(code for code, _ in _ALARMS)


def emergency(text: str) -> str | None:
    """What kind of emergency a message speaks of: carbon_monoxide, gas, wires, injury, poison; None if none."""
    said = _HARMLESS.sub(" # ", plain(text)).replace(",", " ")
    said = re.sub(r" +", " ", said)
    for code, patterns in _ALARMS:
        if any(pattern.search(said) for pattern in patterns):
            return code
    return None


_OTHER_CAUSES = tuple(
    (code, re.compile(pattern))
    for code, pattern in (
        ("fuel_spill", r"\b(?:spill\w*|leak\w*|dripp\w*|pour\w*)\b.{0,30}?\b(?:gas(?:oline)?|diesel|fuel|oil|"
                       r"hydraulic fluid|kerosene)\b"
         r"|\b(?:gas(?:oline)?|diesel|fuel|oil|hydraulic fluid)\b.{0,20}?\b(?:spill\w*|leak\w*|dripp\w*)\b"),
        ("insects", r"\b(?:grubs?|chinch ?bugs?|army ?worms?|mole crickets?|sod ?webworms?|spittle ?bugs?|billbugs?|"
                    r"nematodes?|insects? (?:damage|eat\w*))\b"),
        ("animal", r"\b(?:armadillos?|moles? (?:dig\w*|tunnel\w*|hills?|holes?)|voles?|gophers?|hogs?|raccoons?|"
                   r"skunks?)\b"),
        ("dog_urine", r"\b(?:dog|cat|pet)s?'?s? (?:[\w']+ )?(?:urine|pee\w*|piss\w*|spots?)\b|\b(?:pee|"
                      r"urine) (?:spots?|"
                      r"burns?|damage)\b"),
        ("herbicide", r"\b(?:weed ?killer|herbicide|glyphosate|overspray\w*|spray(?:ed|ing) (?:weeds?|the weeds)|"
                      r"over-?sprayed|spray drift)\b"),
        ("fertilizer_burn", r"\b(?:fertili[sz]er burn|over ?-?fertili[sz]ed|burn(?:ed|t) (?:it|the (?:lawn|"
                            r"grass)) with fertili[sz]er|too much fertili[sz]er|"
         r"spilled fertili[sz]er)\b"),
        ("disease", r"\b(?:fungus|fungal|brown patch|large patch|take[ -]all|dollar spot|rust disease|"
                    r"spring dead spot|gr[ae]y leaf spot|root rot|mold)\b"),
        ("drought", r"\b(?:drought|no (?:rain|water) (?:for|in|since|all)|never watered?|not watered|"
                    r"dried out (?:from|for lack)|"
         r"sprinklers? (?:broke|broken|off|failed|quit|stopped))\b"),
        ("scalped", r"\bscalp\w*\b|\b(?:mowed|cut) (?:it |the (?:lawn|grass) )?(?:way )?too (?:short|low)\b"),
        ("salt", r"\b(?:salt ?water|storm surge|de-?icing salt|rock salt|road salt)\b"),
        ("traffic", r"\b(?:drove|parked|driving|parking)\b.{0,20}?\b(?:on|over|across) (?:the |my |it|our )?(?:lawn|"
                    r"grass|yard|it)?"),
        ("flooding", r"\b(?:flood(?:ed|ing)?|under ?water|standing water)\b"),
    )
)  # fmt: skip
OTHER_CAUSES = tuple(code for code, _ in _OTHER_CAUSES)


def other_cause(text: str) -> str | None:
    """A cause of brown grass other than the frost that a message speaks of, by code (see `OTHER_CAUSES`)."""
    said = plain(text)
    return next((code for code, pattern in _OTHER_CAUSES if pattern.search(said)), None)
