"""Wishes to be left alone. A plain one stops at once; a doubtful one is asked about once; garden talk is neither.

Plain: the whole message is one of the words the FCC's consent rule and the carriers name (stop, quit, end, revoke,
opt out, cancel, unsubscribe, stopall), dressed with a please or not, or says the same in everyday words.
"When should I stop mowing?" is about mowing.
"""

from __future__ import annotations

import re
from enum import Enum

_KEYWORDS = frozenset(
    "stop stopp sstop sotp stpo stopall quit end revoke optout cancel unsubscribe unsuscribe unsubcribe arret arrêt "
    "alto parar para pare paren basta cancelar detener".split()
)
_ONE_WORD = (
    (re.compile(r"\bopt[ -](?=out\b)"), "opt"),
    (re.compile(r"\bstop[ -](?=all\b)"), "stop"),
    (re.compile(r"\bs[ -]t[ -]o[ -]p\b"), "stop"),
)
_POLITE = frozenset(
    "please pls plz now thanks thank you thx it this immediately already ok okay sir ma'am all everything me and reply "
    "send afterfrost".split()
)

# What may follow "stop texting" without making it another wish ("stop texting me about mowing" is another)
_TAIL_WORDS = _POLITE | frozenset(
    "us these them any more anymore messages message texts text reminders reminder stuff altogether for ever forever "
    "at "
    "again so much good txts txt msgs msg sms to my phone "
    "number things notifications alerts updates the your and right away from crap spam junk "
    "with list service program chat system subscription of that those about so".split()
)
_TELLING = (
    r"(?:te?xt|messag|msg|send|contact|bother|writ|email|e-mail|remind|pester|annoy|spam|spamm|harass|call|ping|bug|bugg)"
    r"(?:e|ing|ting|s)?"
)
_ASKING = re.compile(
    r"(?:(?:please|just|pls|ok|okay|now|can you|could you|would you|will you|i said|i want you to|you need to|hey|"
    r"kindly|"
    r"and|seriously|i already said|i told you to|i asked you to|(?:stop|quit)(?= (?:stop|quit)\b)) )*"
)
_NATURAL = tuple(
    re.compile(rf"(?:{words})(?![\w'-])")
    for words in (
        rf"(?:stop|quit) {_TELLING}",
        rf"(?:do not|don'?t|dont|never) (?:ever )?{_TELLING}(?= (?:me|us|any|this|these|to|my|again|more)|$)",
        r"(?:leave|let) me (?:alone|be)",
        r"remove me|(?:remove|delete|erase) (?:my|this) (?:phone )?number",
        r"(?:take|unsubscribe|drop|delete|get) (?:me|my number|this number) (?:off|from|out of)",
        r"(?:unsubscribe|opt) (?:me|us)(?: out)?",
        r"(?:no more|enough|no further) (?:te?xts?|msgs?|sms|messages?|reminders?|notifications?|of these|of this|"
        r"alerts?|texting)",
        r"(?:stop|cancel|end|turn off|switch off|disable|shut off) (?:(?:the|these|all|of|your|my|those|sending) )*"
        r"(?:reminders?|messages?|msgs?|te?xts?|sms|notifications?|texting|subscription|service|alerts?|updates?|chat|"
        r"conversation|bot|spam)",
        r"(?:i )?(?:no longer want|don'?t want|dont want|do not want)(?: to (?:get|receive|have))?"
        r"(?: (?:any|more|these|your))* (?:texts?|messages?|reminders?|of these|notifications?)",
        r"(?:i )?(?:want|need|would like|i'?d like|wish)(?: to)? (?:stop|opt out|unsubscribe|cancel|quit|be removed|"
        r"be left alone)",
        r"(?:opt|opting|opted|let me|get me|i want) out",
        r"(?:i )?(?:revoke|withdraw) (?:my )?(?:consent|permission)",
        r"stop (?:contacting|reaching out|following up)",
        r"(?:stop|quit) (?:for good|forever)",
        r"go away|get lost|piss off|f\w* off|buzz off|shut up|stfu",
        r"(?:you|u)(?:'ve| have)?(?: got)? (?:the|a) wrong (?:number|person)",
        r"wrong (?:number|person)",
        r"no m[aá]s(?: (?:mensajes?|textos?))?",
        r"lose (?:my|this) number",
    )
)
_MAY_YOU_STOP = re.compile(
    r"(?:can|could|would|will) you (?:please )?(?:just )?(?:stop|quit)(?: (?:now|it|this|please))*$"
)

_STOP_SIGN = "🛑"

_SURE_WORDS = re.compile(r"\b(?:unsubscribe|opt(?:ing|ed)?[ -]?out|revoke|stop all|stopall)\b")
_STOP_WORD = re.compile(r"\b(?:stop|quit|cancel|end)\b")
_STOP_THIS = re.compile(
    r"\b(?:stop|quit|cancel|end) (?:this|it|that|these|all this|all of this|now|everything|me|doing (?:this|that)|"
    r"please)(?: \w+){0,2}$"
    r"|\bstop$|^stop\b(?! (?:sign|light|watch))"
)
_NOT_FOR_ME = re.compile(
    r"(?:(?:i'?m|i am|sorry|no|thanks|we'?re|we are|just|really) )*(?:not|no longer) interested"
    r"(?: in (?:this|that|it|these|those|any of (?:this|it)|(?:your |the |these )?(?:te?xts?|messages?|reminders?|"
    r"service)))?(?: (?:thanks|thank you|anymore|any more|at all|sorry|please|now))*$"
    r"|(?:(?:sorry|no|hi|hey|i think|this is|it's|its|the|a|but) )+wrong (?:number|person)(?: sorry)?$"
    r"|who(?:'?s| is| are)? (?:this|you)\b.*\bstop$"
    r"|(?:(?:but|no|sorry|hey) )*i (?:never|didn'?t|did not) (?:sign(?:ed)? up|subscribed?|opt(?:ed)? in|"
    r"consent(?:ed)?)\b"
)
_ON_THE_CONTRARY = re.compile(
    r"^(?:(?:please|pls|no|oh|ok|okay|hey|wait|sorry|but|and|just|i) )*(?:don'?t|do not|never|didn'?t|did not)"
    r" (?:ever )?(?:(?:want|mean|wish)(?: (?:you|this|it|them|these))? to )?(?:stop|quit|cancel|end)\b"
)
"""A wish to go on, at the beginning of what is said ("you never stop" is none)."""
_MAKE_IT_STOP = re.compile(r"\bmake (?:it|this|them|the (?:texts|messages|reminders|bot)) stop\b")
_ABOUT_US = re.compile(
    r"\b(?:te?xts?|te?xting|msgs?|sms|messages?|messaging|reminders?|reminding|notifications?|you|your|bot|chat|sending|"
    r"subscription|alerts?)\b"
)
_QUESTION = re.compile(
    r"^(?:when|should|shall|how|what|why|can|could|do|does|did|is|are|will|would|where|which|who|if|must|may|has|"
    r"have|am)\b|\?$"
)
_GARDEN = re.compile(
    r"\b(?:stop|quit|cancel|end)(?:ed|s|ping|ting)? (?:the |my |all |from |any )?(?:mow|water|fertili|feed|rak|grow|"
    r"cut|irrigat|spray|us(?:e|ing)|treat|"
    r"weed|seed|sod|plug|prun|trim|edg|aerat|scalp|spread|grub|frost|freez|snow|rain|bleed|run|work|spring|bermuda|"
    r"erosion|fungus|moss|dying|walk|play|digg|sprinkl|of (?:the|january|february|march|april|may|june|july|winter|"
    r"spring|summer|season|this|next|last|my)|at the|by the|here|there)"
    r"|\b(?:mower|engine|rain|snow|grass|lawn|sprinklers?|growth|growing|it|irrigation|water|freeze|cold|weeds?|he|"
    r"she|they|wo|won'?t|"
    r"doesn'?t|didn'?t|to a full|bus|truck|pit|non) (?:to |will |has |have |ever |just |not |a |the )?(?:stop|quit|"
    r"end)\w*\b"
    r"|\bcancel (?:that |the |my |this )?(?:last |previous )?(?:answer|reply|response|entry|choice|number|date|photo|"
    r"picture|change)s?$"
    r"|\b(?:the|this|that|at|by|in the|dead|bitter|front|back|north|south|east|west|other|far|one|each|either|"
    r"weekend?|year|month) end\b"
    r"|\bend (?:of|up|in)\b|\bwe(?:ek)?[ -]?end\b"
)
_SHORT, _LONGEST_PLAIN = 60, 160


class Stopping(Enum):
    """How clearly somebody wants no more messages."""

    PLAIN = "plain"
    DOUBTFUL = "doubtful"


def stopping(said: str) -> Stopping | None:
    """Whether a plain text (see `plain_words.plain`) is a wish to stop, a doubtful one, or neither."""
    words = _words(said)
    if not words and _STOP_SIGN in said:
        return Stopping.PLAIN
    if _is_keyword(words) or _is_said_plainly(words):
        return Stopping.PLAIN
    return Stopping.DOUBTFUL if _is_doubtful(said, words) else None


def _is_keyword(words: str) -> bool:
    """The whole message is a keyword, alone or repeated, with nothing around it but politeness."""
    for pattern, joined in _ONE_WORD:
        words = pattern.sub(joined, words)
    tokens = set(words.split())
    return bool(tokens & _KEYWORDS) and tokens <= _KEYWORDS | _POLITE


def _is_said_plainly(words: str) -> bool:
    if len(words) > _LONGEST_PLAIN:
        return False
    if _MAY_YOU_STOP.match(words):
        return True
    opening = _ASKING.match(words)
    asked = words[opening.end() :] if opening else words
    if _is_keyword(asked):
        return True
    for pattern in _NATURAL:
        match = pattern.match(asked)
        if match and set(asked[match.end() :].split()) <= _TAIL_WORDS:
            return True
    return False


def _words(said: str) -> str:
    words = " ".join(re.findall(r"[^\W_]+(?:['-][^\W_]+)*", said))
    return re.sub(r"\bun[ -](?=subscribe\b)", "un", words)


def _has_keyword_by_itself(said: str) -> bool:
    """Whether a sentence of several is nothing but a keyword: "Who is this? Stop." "End." alone may end a list."""
    sentences = re.split(r"(?<=[.!?])\s+", said)
    return len(sentences) > 1 and any(
        _is_keyword(words) and "end" not in words.split()
        for words in (_words(sentence) for sentence in sentences if not sentence.endswith("?"))
    )


def _is_doubtful(said: str, words: str) -> bool:
    words = _ON_THE_CONTRARY.sub("", words)
    if _has_keyword_by_itself(said):
        return True
    if _SURE_WORDS.search(words) or _MAKE_IT_STOP.search(words) or _NOT_FOR_ME.match(words):
        return True
    if not _STOP_WORD.search(words) or _GARDEN.search(words):
        return False
    if _ABOUT_US.search(words):
        return not _QUESTION.search(said) or bool(
            re.search(r"\b(?:texts?|texting|messages?|messaging|sending|asking)\b", words)
        )
    if _QUESTION.search(said):
        return False
    return bool(_STOP_THIS.search(words)) and len(words) <= _SHORT
