"""What a typed question about lawn care is about, for when nothing else in it was understood.

Words that hardly mean anything else ("aerate", "crabgrass preventer") count wherever they stand. Everyday words
("water", "cut", "dead") count only in what asks, or wants to do something, or is very short. Of several everyday words
the first is taken: "when can I mow after feeding" is about mowing.
"""

from __future__ import annotations

import re

from bot.talk.understand.plain_words import plain

_SPREAD = r"(?:put|threw|spread|applied|dropped|laid|used|gave)"
_FEED = r"(?:fert\w*|lawn food|plant food|urea|nitrogen|\d{1,2}-\d{1,2}-\d{1,2})"
_BY = r"(?:i|we|he|she|they|guy|man|company|service|husband|wife|neighbor|hoa|crew|people)"
_JUST = r"(?:'ve|'d| have| had| has| just| already| also| recently| accidentally)*"
_LAWN = r"(?:it|(?:the|my|our) (?:lawn|grass|yard|turf|bermuda|zoysia|centipede))"
_LOW = r"(?:short|low|to the (?:ground|dirt|soil|nub|bone))"

# "It was fertilized", "I already fed it"; not "should it be fertilized", "can I put fertilizer down"
_FED = tuple(
    re.compile(pattern)
    for pattern in (
        rf"(?<!should )(?<!have )\b{_BY}{_JUST} (?:fert\w*[sz]ed|fert\w*ed|fed {_LAWN})\b",
        rf"\b(?:already|just) (?:been )?(?:fert\w*ed|fed)\b|^(?:fert\w*ed|fed) (?:{_LAWN}|yesterday|today|last|on|"
        rf"in)\b",
        rf"\b{_LAWN} (?:was|has been|had been|got|is already|been) (?:already |just )?(?:fert\w*ed|fed)\b",
        rf"(?:(?<!should )(?<!can )(?<!do )(?<!could )(?<!may )(?<!will )(?<!if )(?<!when )(?<!before )\b{_BY}{_JUST} "
        rf"|\balready |\bjust ){_SPREAD}(?: [\w'-]+){{0,4}}? {_FEED}",
        rf"^(?:threw|applied|dropped|used|gave)(?: [\w'-]+){{0,4}}? {_FEED}",
    )
)
_NOT_YET = re.compile(r"\b(?:not|never|\w+n'?t)\b")

_CERTAIN = tuple(
    (code, re.compile(pattern))
    for code, pattern in (
        (
            "cold",
            r"\bhow cold (?:did|was|is|it|do you)\b|\b(?:what|which) (?:weather )?station\b"
            r"|\bwhere (?:was|is) (?:it|that) measured\b"
            r"|\b(?:what does|what do|explain|what's|what is) (?:the|this|that) (?:pictures?|charts?|graphs?|lines?)"
            r"(?: mean| show)?\b",
        ),
        ("weed_and_feed", r"\bweed ?-?(?:and|&|n|'n'?|\+) ?-?feed\b|\bfeed (?:and|&) weed\b"),
        (
            "preventer",
            r"\bpre-? ?emerg\w*|\b(?:crab ?grass|weed)s? ?prevent\w*|\bweed stop\w*|\bpreventers?\b|\bpreemerg\w*"
            r"|\bprodiamine\b|\bpendimethalin\b|\bdithiopyr\b|\bprevent (?:the )?(?:weeds|crab ?grass)\b",
        ),
        (
            "weed_killer",
            r"\bweed ?-?(?:killers?|control|spray)\b|\bherbicides?\b|\bpost-? ?emerg\w*|\bglyphosate\b|\b2[, ]?4-?d\b"
            r"|\batrazine\b|\b(?:spray|kill|killing|spraying|treat)(?: [\w']+){0,3}? weeds?\b|"
            r"\bget rid of (?:the )?weeds"
            r"|\bspot ?-?spray\w*",
        ),
        (
            "tonic",
            r"\bsea ?weed\b|\bkelp\b|\bhumic\b|\bhumates?\b|\bbio-? ?stim\w*|\bcompost tea\b|\bepsom\b|\bmolasses\b"
            r"|\bfulvic\b|\broot (?:stimulator|booster)\b|\bchelated iron\b|\bliquid iron\b",
        ),
        (
            "scalp",
            rf"\bscalp\w*|\b(?:cut|mow|cutting|mowing|take|buzz) (?:{_LAWN} )?(?:(?:really|very|super|way|real|all the "
            rf"way|extra|so|down|too) ){{0,2}}{_LOW}\b|\b(?:cut|mow|take) {_LAWN} (?:way )?down\b|\bas (?:low|"
            rf"short) as (?:it|i|the|possible|my)\b"
            r"|\blowest (?:setting|notch|height)\b|\bdown to the (?:dirt|ground|soil)\b",
        ),
        ("aerate", r"\baer(?:at|ifi|ify)\w*|\bareat\w*|\bairat\w*|\barriat\w*|\bcore plug\w*|\bplug aerat\w*"),
        (
            "topdress",
            r"\btop ?-?dress\w*|\bcompost\b|\btop ?soil\b|\bmanure\b|\bpeat\b|\bsand\b(?= (?:it|on|over|the))",
        ),
        ("lime", r"\blime(?:stone|d|ing)?\b(?! ?-?(?:green|tree|juice|color\w*|light))|\bdolomit\w*"),
        ("rake", r"\bde-? ?thach\w*|\bde-? ?thatch\w*|\bpower ?-?rak\w*|\bverti-? ?cut\w*|\bscarif\w*|\bthatch\b"),
        ("seed", r"\bover-? ?seed\w*|\bre-? ?seed\w*|\bre-? ?sod\w*|\bsprigs?\b|\bsprigging\b|\bhydro-? ?seed\w*"),
    )
)
_EVERYDAY = tuple(
    (code, re.compile(pattern))
    for code, pattern in (
        ("tonic", r"\biron\b(?! (?:fence|gate|railing|rake|furniture))"),
        ("weed_killer", r"\bweeds\b|\bspray\b"),
        ("topdress", r"\bsand\b|\blevel(?:ing)?\b"),
        (
            "seed",
            r"\bseed(?:s|ed|ing)?\b|\bsod(?:ding|ded)?\b|(?<!spark )\bplugs?\b|\breplant\w*|\bnew grass\b|"
            r"\bwinter rye\b",
        ),
        ("rake", r"\brak(?:e|ed|ing)\b"),
        ("feed", rf"\bfeed(?:ing)?\b|\b{_FEED}(?![\w-])"),
        ("water", r"\bwater(?:ing|ed|s)?\b|\birrigat\w*|\bsprinklers?\b|\bhose\b|\bsoak(?:ing)?\b"),
        ("mow", r"\bmow(?:ing|ed|s)?\b|\bcut(?:ting)?\b|\btrim(?:ming)?\b"),
        (
            "traffic",
            r"\b(?:kids?|child(?:ren)?|dogs?|pets?|cats?|people|guests)\b(?: [\w']+){0,4}? (?:play|run|walk|on it|out|"
            r"outside|go|use|on (?:the|my) (?:lawn|grass|yard))\b|\b(?:walk|walking|play|playing|park|parking|drive|"
            r"driving|step|stand|run|running)(?: [\w']+){0,3}? on\b|\bfoot traffic\b|\b(?:stay|keep|staying) off\b"
            r"|\bbounce house\b|\btrampoline\b|\b(?:lawn|yard|backyard) party\b",
        ),
        ("photo", r"\bpictures?\b|\bphotos?\b|\bpics?\b|\bimages?\b|\bsnapshots?\b"),
    )
)
_DEAD = re.compile(
    r"\b(?:dead|die[ds]?|dying|alive|survive[ds]?|recover\w*|goner|hopeless|ruined|toast|rip)\b"
    r"|\b(?:come|comes|coming|grow|growing|bounce) back\b|\bgreen (?:back )?up\b|\bmake it\b|\bbe ok(?:ay)?\b"
    r"|\b(?:lawn|grass|yard|it|all)(?:'s| is)? (?:all |really )?gone\b|\bgone for good\b|\bsaved?\b"
    r"|\bkill(?:ed)? (?:it|my|the)\b|\blost (?:it|my lawn|my grass|everything)\b"
)
TOPICS = ("fed", *dict.fromkeys(code for code, _ in (*_CERTAIN, *_EVERYDAY)), "dead")

_ASKS = re.compile(
    r"\?|^(?:(?:so|and|but|ok|okay|well|hey|hi|hello|please|also|then|um|uh|thanks|quick question) )*(?:when|should|"
    r"shall|"
    r"can|could|do|does|did|is|are|was|will|would|what|how|may|must|where|why|which|who|am i|if|has|have|need to|ok to|"
    r"okay to|safe to|time to|too early|too late|any)\b"
    r"|\b(?:should i|can i|could i|do i|may i|must i|is it (?:ok|okay|safe|time|too)|when to|how (?:to|do|much|often|"
    r"soon|long)|what about|wondering|wonder|want to|wanna|like to|thinking (?:of|about)|planning|plan to|going to|"
    r"gonna|"
    r"ready to|tempted to|need to|have to|supposed to|told me|tells me|says?|said|recommends?|advised|suggests?|"
    r"suggested)\b"
)
_FEW_WORDS = 4
_LOOKED_AT = 600


def topic(text: str) -> str | None:
    """What a question about care is about, by code (see `TOPICS`); None where it is about none of them."""
    said = " ".join(plain(text)[:_LOOKED_AT].replace(",", " ").split())
    if any(pattern.search(said) for pattern in _FED) and not _NOT_YET.search(said):
        return "fed"
    certain = next((code for code, pattern in _CERTAIN if pattern.search(said)), None)
    if certain or not (_ASKS.search(said) or len(said.split()) <= _FEW_WORDS):
        return certain
    found = [(match.start(), code) for code, pattern in _EVERYDAY if (match := pattern.search(said))]
    if found:
        return min(found, key=lambda pair: pair[0])[1]
    return "dead" if _DEAD.search(said) else None
