"""Words that ask for the bot while a person holds the talk. Looked for then only: at other times nobody misses it."""

from __future__ import annotations

import re

from bot.talk.understand.plain_words import plain

_POLITE = re.compile(r"\b(?:please|pls|plz|thanks|thank you|thx|ok|okay|hey|hi|hello|now|again|just|back)\b")
_ASKING = re.compile(
    r"(?:(?:can|could|may) (?:i|we|you) )?(?:(?:i|we)(?:'?d| would)? )?(?:(?:want|need|like|have|get|give|bring|let|"
    r"go|talk|speak|switch|return|me|us|to|with|the|my) )*"
)
_BOT = re.compile(r"(?:/?bot|robot|chat ?bot|assistant|afterfrost)")
_LONGEST = 60


def wants_bot(text: str) -> bool:
    """Whether a whole message asks for the bot: "bot", "the bot please", "can I have the bot back?"."""
    said = plain(text)
    if len(said) > _LONGEST or re.search(r"\b(?:not|no|don'?t|dont|without|are you|is this|who|why)\b", said):
        return False
    words = " ".join(re.findall(r"/?[^\W_]+(?:'[^\W_]+)*", _POLITE.sub(" ", said)))
    asked = _ASKING.match(words)
    return bool(_BOT.fullmatch(words[asked.end() :] if asked else words))
