"""Trouble with the care of a lawn that somebody may tell at any time: brown stems, frost again or ahead, wet soil.

Only what is told counts: "no frost", "will it freeze again?" and "what if it freezes again" tell of none. A message is
read clause by clause, so that the "no" of "no, it froze again" stays by itself.
"""

from __future__ import annotations

import re

from bot.talk.understand.plain_words import plain

_COLD = r"(?:frosts?|freezes?|freezing(?: rain| temps?| temperatures?| weather)?|cold snap)"
_KIND = r"(?:hard|bad|big|heavy|light|killing|deep|real|black|little|quick|late|huge|nasty|white)"
_RECENTLY = r"(?:last night|this morning|over ?night|the other night|night before last)"
_SOON = (
    r"(?:tonight|tomorrow|tmrw|tmr|tomorow|tommorow|tommorrow|this evening|later this week|this coming \w+|"
    r"next (?:week|weekend|few (?:days|nights)|couple (?:days|nights)))"
)
_DAY = rf"(?:{_SOON}|this week(?:end)?|(?:next )?(?:mon|tues|wednes|thurs|fri|satur|sun)day)"
_WILL = r"(?:will|going to|gonna|supposed to|might|may|could|about to|expected to|set to|looks like it'?ll|it'?ll)"
_STEMS = r"(?:stems?|stalks?|stubble|sticks)"

# What has been comes before what is ahead ("froze again, and more is coming"), and that before a bare "another freeze"
_FROZE = (
    rf"\b(?:froze|frozen|frosted|refroze|re-froze|freezed)(?: [\w']+){{0,3}}? (?:again|{_RECENTLY})\b",
    r"\bre-?froze\b|\b(?:is|it's|was|got|been|started|keeps|kept) freezing(?: [\w']+){0,2}? again\b",
    rf"\b(?:{_KIND} )?{_COLD} (?:on (?:the|my) [\w']+ )?{_RECENTLY}\b|\b{_RECENTLY}(?: [\w']+){{0,3}}? froze\b",
)
_ANOTHER = (
    rf"\b{_COLD}(?: [\w']+){{0,4}}? again\b",
    rf"(?<!the )(?<!that )(?<!our )\b(?:another|second|2nd|third|3rd|fourth|4th|one more|yet another) "
    rf"(?:{_KIND} )?{_COLD}\b",
)
_AHEAD = (
    rf"\b{_COLD}\b(?: [\w']+){{0,5}}? (?:forecast\w*|warnings?|watch|advisory|alert|coming|expected|predicted|"
    rf"likely|due|ahead|on (?:the|its) way|moving in|headed|{_SOON})\b",
    rf"\b(?:forecast\w*|weather ?(?:man|guy|app|service|channel)?|news|radar)\b(?: [\w']+){{0,6}}? {_COLD}\b",
    rf"\b(?:they(?:'re| are)?|it|he|she|everyone) (?:says?|saying|calls?|calling|predicts?|predicting|expects?|"
    rf"expecting)\b(?: [\w']+){{0,5}}? {_COLD}\b|\b(?:calling for|expecting|expect)(?: [\w']+){{0,2}}? {_COLD}\b",
    rf"\b{_DAY}\b(?: [\w']+){{0,4}}? (?:{_WILL}|there(?:'s| is| will))(?: [\w']+){{0,3}}? {_COLD}\b",
    rf"\b{_SOON} (?:[\w']+ ){{0,2}}?{_COLD}\b",
    rf"\b{_WILL} (?:[\w']+ ){{0,2}}?(?:freeze|frost)\b",
    rf"\b(?:{_WILL}|low of|lows of|lows in the|down to)(?: [\w']+){{0,3}}? (?:[12]\d|3[0-2]|teens|20s|twenties)\b"
    rf"(?: [\w']+){{0,3}}? {_DAY}\b",
)
_WET = (
    r"\b(?:too|so|very|really|still|super|pretty|soaking|sopping|way|all|awful) (?:wet|muddy|soggy|swampy|boggy|soaked|"
    r"saturated|waterlogged|sloppy)\b",
    r"\b(?:soggy|muddy|swampy|boggy|sopping|water ?logged|mud pit|mud hole|mud everywhere|soaking wet)\b",
    r"\b(?:ground|lawn|yard|soil|grass|it)(?:'s| is| feels| looks)(?: [\w']+){0,2}? (?:wet|soaked|saturated|swamp|"
    r"marsh|mud|bog)\b(?! (?:places?|spots?|looking))",
    r"\bstanding water\b|\bpuddles\b|\b(?:like a|total|just a) (?:swamp|marsh|sponge|bog)\b",
    r"\b(?:it's|it is|its|been|still|keeps|always|started|now) (?:raining|pouring|rainy|drizzling)\b|^(?:raining|"
    r"pouring)\b|\brain(?:ed|ing)? (?:all (?:day|week|night)|non-?stop|for days|so much|too much|cats and dogs)\b"
    r"|\bwon'?t stop raining\b|\btoo much rain\b",
)
_TROUBLES = tuple(
    (code, tuple(re.compile(pattern) for pattern in patterns))
    for code, patterns in (
        (
            "brown_stem",
            (
                rf"\bbrown(?:ish)? (?:[\w']+ )?{_STEMS}\b",
                rf"\b{_STEMS}(?: [\w']+){{0,3}}? (?:brown|show(?:s|ing)?)\b",
                rf"\b(?:cut|cutting|mowed|mowing) (?:down )?(?:in ?to|through) (?:the |some |"
                rf"my )?(?:[\w']+ )?(?:{_STEMS}|"
                r"runners?)\b",
                r"\bscalp\w*(?: [\w']+){0,6}? brown\b|\bbrown(?: [\w']+){0,6}? scalp(?:ed|ing)\b",
            ),
        ),
        ("frost_again", _FROZE),
        ("frost_ahead", _AHEAD),
        ("frost_again", _ANOTHER),
        ("too_wet", _WET),
    )
)
TROUBLES = tuple(dict.fromkeys(code for code, _ in _TROUBLES))

_CLAUSE = re.compile(r"[^.!?;,:\n]+[.!?;,:\n]*")
_ASKED_OR_SUPPOSED = re.compile(
    r"^(?:(?:and|so|but|ok|okay|well|hey|also|then|or|hi|now|oh|not sure|i wonder|wondering|i don'?t know|"
    r"(?:do|can) you (?:know|tell)) )*"
    r"(?:if|whether|unless|until|till|before|in case|what if|what happens (?:if|when)|what about|when (?:will|would|"
    r"should|does|do|did|is|was|can|it|the)|how (?:do|will|would|can|likely|long|cold)|should|can|is|are|was|were|do|"
    r"does|did|has|have|any|(?:will|would|could|may|might) (?:it|there|we|i|you|they|the|that|this|my|another|more))\b"
    r"(?! (?:had|got|seen|been|having|getting|seeing) )"
)
_DENIED = re.compile(
    r"(?:\b(?:not|never|without|hardly|barely|nor|\w+n'?t)(?: [\w']+){0,3} "
    r"|\b(?:no|zero|any|little)(?: (?:more|new|other|hard|real|second|brown|visible|signs?|sign of|signs of|further|"
    r"late|killing|chance of|risk of|danger of)){0,3} )$"
)
# Words that would read as a denial or a coming frost and are neither
_NO_DENIALS = re.compile(
    r"\bnot (?:good|great|again|fair|happy|only)\b|\b(?:oh|uh) no\b"
    r"|\b(?:last|first|average|avg|final|typical|usual) (?:spring |fall |expected )?(?:frost|freeze)(?: dates?)?\b"
)
_MOST_CLAUSES = 60


def trouble(text: str) -> str | None:
    """The trouble a message tells of, by code (see `TROUBLES`); None if of none."""
    clauses = [clause for clause in map(_as_told, _CLAUSE.findall(plain(text))[:_MOST_CLAUSES]) if clause]
    whole = " ".join(clauses)  # "scalped it, brown"
    for code, patterns in _TROUBLES:
        for said in (*clauses, *([whole] if code == "brown_stem" else [])):
            if any(_tells(pattern, said) for pattern in patterns):
                return code
    return None


def _as_told(clause: str) -> str:
    """A clause's words; none when it asks or supposes."""
    words = " ".join(re.findall(r"[^\W_]+(?:['-][^\W_]+)*", _NO_DENIALS.sub(" ", clause)))
    return "" if _ASKED_OR_SUPPOSED.match(words) else words


def _tells(pattern: re.Pattern[str], said: str) -> bool:
    """Whether a clause says so and does not deny it just before."""
    match = pattern.search(said)
    return match is not None and not _DENIED.search(said[max(match.start() - 60, 0) : match.start()])
