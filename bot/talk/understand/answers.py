"""Yes or no, in many words."""

from __future__ import annotations

import re

from bot.talk.understand.plain_words import plain

_WORD = re.compile(r"[^\W_]+(?:['-][^\W_]+)*")
_YES = frozenset(
    "y yes yep yeah yea yup ya yah yess yesss yas aye si sí affirmative absolutely definitely certainly indeed "
    "uh-huh mhm".split()
)
_NO = frozenset("n no nope nah naw nay negative noo nooo never".split())
_WEAK_YES = frozenset(
    "sure|ok|okay|k|kk|right|correct|fine|true|please|please do|do it|go ahead|go for it|sounds good|sounds right|good|"
    "that's right|thats right|that is right|that's correct|thats correct|of course|you bet|i think so|i guess so|"
    "i believe so|i do|it is|it does|it did|i did|i have|let's do it|lets do it|why not|alright|all right|looks right|"
    "looks good|exactly|perfect|great|cool|okey dokey|uh huh|by all means|very much|it was|they are|they did|"
    "sure thing|for sure|most likely|probably|remind me".split("|")
)
_WEAK_NO = frozenset(
    "not really|i don't think so|i dont think so|don't think so|dont think so|not yet|not at all|no way|wrong|"
    "incorrect|"
    "false|it isn't|it isnt|it's not|its not|it didn't|it doesn't|it wasn't|i don't|i dont|i didn't|i haven't|"
    "that's wrong|thats wrong|that's not right|thats not right|not correct|not right|absolutely not|definitely not|"
    "certainly not|of course not|please don't|don't|dont|rather not|i'd rather not|not this time|not now|nothing|none|"
    "probably not|i guess not|i think not|of course not|hardly|not so|they didn't|they don't|uh-uh|unlikely|"
    "sure not|not today".split("|")
)
_THUMBS = {
    "👍": True,
    "✅": True,
    "👌": True,
    "✔": True,
    "🆗": True,
    "💯": True,
    "👎": False,
    "❌": False,
    "🚫": False,
    "✖": False,
}
_POLITE = re.compile(r"\b(?:please|thanks|thank you|thx|ty|sir|ma'?am|very much|then|that would be (?:great|nice))\b")
_NEITHER = re.compile(
    r"^no (?:idea|clue|problem|worries|sweat|rush|matter|wait|actually|doubt|kidding)\b"
    r"|\byes (?:and|or|but) no\b|\bno (?:and|or|but) yes\b|\byes(?: or)? no\b|\bno yes\b|\bnot sure\b|\bmaybe\b"
    r"|\bdon'?t know\b|\bhalf\b|\bsort of\b|\bkind of\b|\bkinda\b"
)


def yes_no(text: str) -> bool | None:
    """True for yes, False for no, None when it is neither or both. The first word decides ("no, just cold")."""
    said = plain(text)[:200]
    signs = {answer for sign, answer in _THUMBS.items() if sign in said}
    words = _WORD.findall(said)
    if signs:
        return _with_signs(signs, " ".join(words))
    bare = " ".join(words)
    if not words or _NEITHER.search(bare):
        return None
    whole = " ".join(_POLITE.sub(" ", bare).split())
    if whole in _WEAK_NO or words[0] in _NO:
        return False
    if words[0] in _YES:
        return None if len(words) > 1 and words[1] in _NO else _agreed(bare)
    if {whole, bare} & _WEAK_YES:
        return True
    return _opens_with(whole)


def _with_signs(signs: set[bool], words: str) -> bool | None:
    """A sign by itself is an answer; beside words it only says them again ("yes 👍")."""
    if len(signs) > 1:
        return None
    (sign,) = signs
    return sign if not words or yes_no(words) is sign else None


def _agreed(bare: str) -> bool | None:
    """ "Absolutely not" is no, "yes" and whatever follows is yes."""
    return False if re.match(r"\w+ not\b", bare) else True


def _opens_with(whole: str) -> bool | None:
    """Softer words decide only before more of the kind: "ok yes", "sure go ahead"."""
    for length in (3, 2, 1):
        opening, rest = " ".join(whole.split()[:length]), " ".join(whole.split()[length:])
        if rest and opening in _WEAK_YES:
            return True if rest in _WEAK_YES or rest.split()[0] in _YES else None
        if rest and opening in _WEAK_NO:
            return False
    return None
