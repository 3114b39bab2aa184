"""Words that cannot wait for the next question: poison, gas, wires, injuries, a life at risk. And damage that was not
the frost.

Missing one is worse than firing once too often; what often sounds alike in a garden (gas mowers, chicken wire,
wiregrass, a lawn that chokes on weeds) is taken out of the text first.
"""

from __future__ import annotations

import re

from bot.talk.understand.plain_words import plain

_THE_SUBJECT = (
    r"(?:^|\b(?:and|but|because|so|that|when|then|since|if|where|like|think|says?|said|means) )"
    r"(?:(?:the|my|our|this|that|your|a|their|his|her) )?(?:(?:mole|garden|tool|retaining|privacy|compacted|wet|clay|"
    r"old) )?"
)
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
    # A lawn that can't breathe and a shed that collapsed, where they begin what is said: somebody may lie beside them
    rf"|{_THE_SUBJECT}(?:grass|lawn|soil|dirt|ground|turf|yard|plants?|roots?|runners?|crowns?)(?: (?:just|really|"
    r"probably))? (?:can'?t|cannot|can not|couldn'?t|has trouble|have trouble|is having trouble) breath\w*"
    r"|\b(?:thatch|mulch|leaves|sand|tarp|cover|compost)(?: (?:is|are|so|too|thick|that|heavy|deep|on|the|top|over|"
    r"it)){1,6} can'?t breathe\b"
    rf"|{_THE_SUBJECT}(?:fence|shed|tunnels?|wall|roof|trench|hole|gazebo|porch|deck|soil|ground|driveway|pipe|carport|"
    r"tree)(?: (?:just|has|had|also|partly))? collapsed\b(?! on (?:me|him|her|my|his|them))"
    r"|\b(?:gave|give|gives|giving|had) (?:me |us )?(?:a |another )?(?:near )?(?:heart attack|stroke) (?:when i saw|"
    r"seeing)\b|\b(?:nearly|almost|about) gave me a (?:heart attack|stroke)\b"
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
_POISON_NAMED = tuple(
    re.compile(pattern)
    for pattern in (
        rf"\b{_EATING}\b{_NO_MEAL}.{{0,40}}?\b{_CHEMICAL}\b",
        r"\bpoison(?:ed|ing)\b|\bpoison control\b|\boverdose",
        rf"\b{_CHEMICAL}\b.{{0,30}}?\bin(?:to)? (?:my|his|her|their|the|both) (?:eyes?|mouth|face|lungs?)\b",
        rf"\b(?:eyes?|skin|throat|mouth|lungs?)\b.{{0,20}}?\bburn(?:s|ing|ed|t)?\b.{{0,40}}?\b{_CHEMICAL}\b",
        rf"\b{_CHEMICAL}\b.{{0,40}}?\b(?:eyes?|skin|throat|mouth|lungs?) (?:[\w']+ ){{0,2}}burn(?:s|ing|ed|t)?\b",
    )
)
_POISON_LIKELY = tuple(
    re.compile(pattern)
    for pattern in (
        rf"\b{_WHO}\b(?: [\w']+){{0,3}}? (?:ate|eats?|eaten|eating|swallow\w*|drank|drinks?|drinking|"
        rf"ingest\w*)\b{_NO_MEAL}"
        r"(?! (?:the |some |my |our |your )?(?:grass|lawn|plants?|food|water)\b)",
        r"\bswallow(?:ed|ing|s)?\b",
        rf"\b{_WHO}\b.{{0,40}}?\b(?:vomit\w*|throw(?:s|ing|n)? up|threw up|foam\w*|drool\w*|seizures?|seizing|"
        r"convuls\w*|twitch\w*|trembling)\b",
        rf"\b(?:vomit\w*|foam\w*|drool\w*|seizures?|convuls\w*)\b.{{0,40}}?\b{_WHO}\b",
        r"\b(?:i|he|she|we|they|someone|somebody) (?:just |accidentally |have |has )*(?:drank|swallowed|ingested)\b",
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
        r"\belectric(?:al)? shocks?\b|\belectrocut\w*|\b(?:got|was|been) (?:a )?(?:shocked|zapped|shock)\b"
        r"(?! (?:how|that|to (?:see|find|hear|learn)|when i (?:saw|looked|found)|(?:at|by) (?:how|what|the (?:frost|"
        r"cold|"
        r"freeze|damage|color|bill|price|sight|state))))",
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
        r"\b(?:cut|sliced|stabbed|gashed|impaled|burned) (?:myself|himself|herself)\b(?! (?:some|a) )",
        rf"\b(?:cuts?|sliced?|severed?|chopped|lost|injured|hurt|broke|gashed|mangled|ran over|run over|burn(?:ed|t)|"
        rf"stabbed|crushed|caught) "
        rf"(?:off )?(?:my|his|her|our|their|own) (?:[\w']+ )?{_BODY}\b",
        rf"\b(?:my|his|her|their) (?:[\w']+ )?{_BODY} (?:is|are|got|was|were|has been|got caught|"
        rf"is badly) (?:badly )?(?:cut|sliced|bleeding|hurt|broken|gone|"
        r"severed|crushed|stuck|caught|burn(?:ed|t))\b",
        r"\b(?:hit|struck)(?: [\w']+){0,4}? (?:in the|my|his|her) eye\b",
        r"\bbleeding\b|\bblood (?:everywhere|all over)\b|\blots of blood\b",
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
_PERSON = (
    r"(?:he|she|someone|somebody|husband|wife|son|daughter|mom|mother|dad|father|brother|sister|neighbou?r|friend|"
    r"kids?|child|baby|toddler|boy|girl|grandpa|grandma|grandfather|grandmother|grandson|granddaughter|man|woman|guy|"
    r"worker|uncle|aunt|nephew|niece|boyfriend|girlfriend|partner|person)"
)
_STUNG = r"\b(?:stung|stings?|stinging)\b"
_BAD_STING = (
    r"\b(?:throat|tongue|lips|breath\w*|in hives|allergic|wheez\w*|dizzy|faint(?:ed|ing)?|(?:swollen|puffy) face|"
    r"face (?:[\w']+ ){0,2}(?:swell\w*|swollen|puffy))"
)
_SNAKE = (
    r"(?:snakes?|copperheads?|rattlers?|rattle ?snakes?|cotton ?mouths?|(?:water )?moccasins?|coral snakes?|vipers?|"
    r"diamond ?backs?)"
)
_MEDICAL = tuple(
    re.compile(pattern)
    for pattern in (
        r"\bchest (?:pains?|tightness|pressure)\b|\b(?:pains?|pressure|tightness) (?:in|on|across) (?:[\w']+ )?chest\b"
        r"|\bchest (?:(?:really|is|feels|just|still) ){0,3}(?:hurts?|hurting|tight|heavy)\b",
        r"\bheart attack\b|\bcardiac arrest\b|\bheart (?:has |just )?stopped\b|\bno pulse\b",
        r"\b(?:heat|sun) ?stroke\b|\bheat exhaustion\b|\bstroke (?:symptoms|signs)\b|\b(?:signs|symptoms) of a stroke\b"
        r"|\b(?:having|has|had|have) (?:had )?a stroke\b(?! of)(?!.{0,30}\b(?:years?|months?|weeks?|"
        r"last (?:year|month|fall|spring|summer|winter)|in (?:19|20)\d\d)\b)",
        r"\bface\b.{0,15}?\bdroop\w*|\bdroop\w* face\b|\bslurr(?:ed|ing|s)\b"
        r"|\b(?:arm|leg|face|one side|left side|right side)(?: [\w']+){0,3}? numb\b",
        r"\b(?:can'?t|cannot|can not|couldn'?t|could not|barely|unable to|trouble|hard to|difficulty|struggling to|"
        r"struggling|problems?|hard time|not|isn'?t|stopped|quit) breath(?:e|ing|s)?\b",
        r"\bshort(?:ness)? of breath\b|\b(?:can'?t|cannot|couldn'?t) (?:seem to )?catch (?:my|his|her|their) breath\b"
        r"|\bgasping for\b|\basthma attack\b|\b(?:lips?|face|fingers)(?: [\w']+){0,3}? blue\b",
        r"\bunconscious\b|\bpass(?:ed|ing)? out\b(?! (?:the|flyers|plugs|some|a)\b)|\bfainted\b|\bcollapsed\b|"
        r"\bkeeled over\b",
        rf"\b{_PERSON}(?:'s)?(?: [\w']+){{0,2}}? (?:unresponsive|blacked out)\b"
        rf"|\b{_PERSON} (?:won'?t|isn'?t|is not|can'?t|will not|does not|doesn'?t) wak\w+"
        r"|\bcan'?t wake (?:him|her|my|them)\b",
        rf"\b(?:{_PERSON}|{_WHO}|i)(?:'s|'m)?(?: (?!weeds|think|says?\b)[\w']+){{0,4}}? chok(?:ing|ed)\b"
        r"(?! (?:out|the) )|^(?:help[!.]* )?chok(?:ing|ed)[!.]*$|\bchok(?:ing|ed) on (?:an?|his|her|my|food|something|"
        r"candy|gum|meat)\b",
        rf"{_STUNG}.{{0,60}}?{_BAD_STING}|{_BAD_STING}.{{0,60}}?{_STUNG}"
        r"|\bstung (?:all over|everywhere|repeatedly|many|dozens|hundreds|lots|\d\d)",
        r"\ballergic reaction\b|\banaphyla\w*|\b(?:throat|tongue|lips)(?: [\w']+){0,3}? (?:swell\w*|swollen|closing)\b",
        r"\bsnake ?bit(?:es?|ten)?\b"
        rf"|\b(?:bit|bitten|bite|bites|struck|stung) by (?:an? |the |some )?(?:[\w']+ ){{0,2}}?{_SNAKE}\b"
        rf"|\b{_SNAKE} (?:[\w']+ ){{0,2}}?(?:bit|bitten|bites|nipped|struck|attacked) (?:me|him|her|us|my|our|"
        rf"his|the (?:{_WHO}))\b|\b{_SNAKE} (?:just )?got (?:me|him|her|my (?:{_WHO}|hand|foot|leg|ankle))\b",
        r"\b(?:need|call|calling|called|send) (?:an |the )?(?:ambulance|911|paramedics|ems)\b|^911[!.]*$",
        r"\bhaving a seizure\b|\bi had a seizure\b"
        rf"|\b(?:i|{_PERSON}) (?:was |got |has been )?(?:struck|hit) by lightning\b"
        r"|\bfell (?:off|from|down)\b.{0,40}?\bcan'?t (?:move|get up|feel)\b",
        r"\b(?:dizzy|feel\w* faint|light ?-?headed|woozy|nauseous)\b.{0,40}?\b(?:heat|sun|hot)\b"
        r"|\b(?:heat|sun|hot)\b.{0,40}?\b(?:dizzy|feel\w* faint|light ?-?headed|woozy|nauseous)\b",
    )
)
# Only what somebody says of living or dying themselves: grass dies, heat kills and people are dying to mow all day
_MEANING_IT = r"(?:(?:just|really|honestly|only|sometimes|kind of|kinda|so|still) ){0,3}"
_CRISIS = tuple(
    re.compile(pattern)
    for pattern in (
        rf"(?:\bi|^) ?{_MEANING_IT}(?:want to|wanna|wish to|would like to|wish i could|wish i would|am ready to) "
        r"(?:just |really )?(?:die|be dead)\b(?! (?:of|from|laughing|back|on))",
        r"\bi'?m ready to die\b|\bi'?d like to (?:just )?die\b|\bi'?d rather be dead\b(?! than)",
        r"\bkill(?:ing)? (?:my ?self|himself|herself|themsel\w+)\b|\bunaliv\w+ (?:my|him|her)self\b",
        r"\b(?:end|ending) (?:my|his|her) (?:own )?life\b|\b(?:take|taking) (?:my|(?:his|her) own) (?:own )?life\b",
        r"^(?:just |please )?end(?:ing)? it all[!.]*$|\b(?:want to|wanna|going to|gonna|ready to|thinking (?:of|about)|"
        r"feel like|i'll|better to|rather|could just|should just) (?:just )?end(?:ing)? it all\b"
        r"(?! (?:and (?:pave|start|re-?\w*|plant|put)|with (?:a |the |some )?(?:glyphosate|weed|spray|herbicide)))",
        r"\bsuicid(?:e|es)\b|(?<!lawn is )(?<!grass is )\bsuicidal\b|\b(?:been|keep|started) cutting myself\b",
        r"(?<!don't )(?<!dont )(?<!not )\b(?:wants? to|wanna|thinking (?:of|about)|thoughts? (?:of|about)|"
        r"plan(?:ning)? to) (?:hurt|hurting|harm|harming) (?:my|him|her)self\b|\bself[ -]?harm\w*",
        rf"\bi {_MEANING_IT}(?:don'?t|do not|no longer) (?:want to|wanna) (?:live|be alive|exist)\b"
        r"(?! (?:with|here|in|like|near|next|by|on|without|there|alone))",
        rf"\bi {_MEANING_IT}(?:don'?t|do not) (?:want to|wanna) (?:be here|wake up|go on living) "
        r"(?:any ?more|again|tomorrow)\b",
        r"\b(?:i'?d|i would|i'?m|i am) (?:be )?better off dead\b|\bbetter off without me\b"
        r"|\b(?:no ?one|nobody) (?:would|will|'d) (?:even )?(?:miss me|care if i (?:die|died|was gone))\b"
        r"|^i (?:just |really )?can'?t go on(?: any ?more| like this| living)?[.!]*$",
        r"\bwish i (?:was|were) (?:dead|never born)\b|\bi can'?t go on living\b|\btired of (?:living|being alive)\b"
        r"(?! (?:with|here|in|like|near|next|by|on))",
        r"\b(?:no reason|nothing|no point in|no point) (?:to live|living|left to live)(?: for)?\b"
        r"|\blife (?:is not|isn'?t) worth living\b|\bnot worth living\b",
    )
)
# Poison that is named comes before somebody's state, and a state before what may just be an upset stomach
_ALARMS = (
    ("crisis", _CRISIS),
    ("carbon_monoxide", _MONOXIDE),
    ("gas", _GAS),
    ("wires", _WIRES),
    ("injury", _INJURY),
    ("poison", _POISON_NAMED),
    ("medical", _MEDICAL),
    ("poison", _POISON_LIKELY),
)
ALARMS = tuple(dict.fromkeys(code for code, _ in _ALARMS))


def emergency(text: str) -> str | None:
    """What kind of emergency a message speaks of, by code (see `ALARMS`); None if of none."""
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
