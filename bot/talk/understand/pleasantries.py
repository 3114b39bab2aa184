"""Messages that are nothing but manners: "thanks", "good morning", "ok". The whole message must be made of them.

Whether it counts as such is for the caller to say: after a question "ok" may be a yes.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from types import MappingProxyType

from bot.talk.understand.plain_words import plain

_PHRASES: Mapping[str, str] = {
    "thanks": "thanks|thank you|thank u|thankyou|thx|thnx|thanx|tks|ty|tysm|thanks a lot|many thanks|thnaks|thansk|"
    "tahnks|thank|much appreciated|appreciated|appreciate it|i appreciate it|appreciate you|i appreciate you|"
    "i appreciate that|appreciate that|i appreciate your help|appreciate your help|cheers|bless you|god bless|"
    "god bless you|gracias|awesome|amazing|wonderful|fantastic|excellent|lovely|brilliant|perfect|great|"
    "you're the best|youre the best|you rock|very helpful|so helpful|that helps|that helped|that was helpful|"
    "love it|love this",
    "hello": "hello|hi|hey|hiya|howdy|hola|greetings|yo|good morning|good afternoon|good evening|good day|mornin|"
    "hello there|hi there|hey there",
    "ok": "ok|okay|k|kk|okey dokey|okie dokie|okey|oki|got it|gotcha|got you|i got it|sounds good|sounds great|"
    "sounds like a plan|cool|alright|all right|alrighty|good|all good|nice|fine|understood|i understand|noted|roger|"
    "roger that|10-4|copy that|will do|makes sense|that makes sense|good to know|i see|fair enough|right on|"
    "good deal|very good|very well",
}
_SIGNS: Mapping[str, str] = {
    **dict.fromkeys("👍👌🙏❤🧡💛💚💙💜🤎🖤💕💗💖♥😊🙂😀😃😄😁☺👏🤗🥰😍💯🌱✨🙌", "thanks"),
    **dict.fromkeys("👋", "hello"),
    **dict.fromkeys("🆗", "ok"),
}
_AROUND = frozenset(  # what may stand around them without making it another message
    "so much very a lot bunch ton again you u for the your help advice info information all everything that this "
    "really and oh well then now there y'all yall friend buddy bot man sir ma'am everyone quick reply tip tips answer "
    "guys folks team dear my ha haha lol yay just".split()
)
_WORD = re.compile(r"[^\W_]+(?:['-][^\W_]+)*")
_DRAWN_OUT = re.compile(r"([^\W\d_])\1{2,}")
_LONGEST, _LONGEST_PHRASE = 100, 4

_CODE_OF: Mapping[str, str] = MappingProxyType(
    {phrase: code for code, phrases in _PHRASES.items() for phrase in phrases.split("|")}
)
PLEASANTRIES = tuple(_PHRASES)


def pleasantry(text: str) -> str | None:
    """Which manners a whole message is, by code: thanks, hello, ok; the first of these where it is several."""
    said = plain(text)
    if not said or len(said) > _LONGEST or "?" in said:
        return None
    words = _WORD.findall(_DRAWN_OUT.sub(r"\1", said))
    found = _codes_in(words)
    signs = {char for char in said if unicodedata.category(char) == "So"}
    if found is None or not signs <= _SIGNS.keys():  # a thumb down is no thanks
        return None
    found |= {_SIGNS[sign] for sign in signs}
    return next((code for code in PLEASANTRIES if code in found), None)


def _codes_in(words: list[str]) -> set[str] | None:
    """The codes of the phrases that words are made of, longest first; None where anything else stands among them."""
    found: set[str] = set()
    position = 0
    while position < len(words):
        for length in range(min(_LONGEST_PHRASE, len(words) - position), 0, -1):
            code = _CODE_OF.get(" ".join(words[position : position + length]))
            if code:
                found.add(code)
                break
        else:
            if words[position] not in _AROUND:
                return None
            length = 1
        position += length
    return found
