"""Which of the offered choices: by number, by place in the list, by name with slips. No guess when two are near."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import islice

from rapidfuzz import fuzz

from bot.talk.understand.answers import yes_no
from bot.talk.understand.plain_words import Unclear, figures, plain

Options = Sequence[tuple[str, Sequence[str]]]  # code and the words it goes by
_Fixed = tuple[tuple[str, tuple[str, ...]], ...]  # the same, to be looked up by

LIKE_ENOUGH = 82.0  # of 100
LEAD = 8.0  # by how much the best must beat the next
SHORTEST_FUZZY, SHORTEST_OPENING = 4, 3
NONE_OF_THEM = "none"  # the code of a choice that says that no other fits: "all" does not mean that one
MOST_REPEATS = 10  # of one choice's words looked at in a text

_PLACES = {
    word: number
    for number, word in enumerate(
        "first second third fourth fifth sixth seventh eighth ninth tenth".split(), start=1
    )
}  # fmt: skip
_FILLERS = frozenset(
    "a an the is it its it's i think guess probably maybe mostly please just one ones option options number numbers "
    "no. "
    "choice answer pick i'd say would go with for that's that those these looks like my was were are so um uh well "
    "# ok okay and or of them".split()
)
_WORD = re.compile(r"[^\W_]+(?:['-][^\W_]+)*")
_NEGATION = re.compile(
    r"\b(?:not|no|never|without|isn'?t|wasn'?t|aren'?t|don'?t|doesn'?t|didn'?t|except)"
    r"(?: (?:a|an|any|the|really|very|much|all|that|so|in|it's|it|think|have|see))* ?$"
)
_DENIAL = re.compile(r"\b(?:not|no|never|none|without|nothing|\w+n't|dont|isnt|wasnt|didnt)\b")
_ORDINAL_ONE = re.compile(rf"\b({'|'.join(_PLACES)}|last|\d+(?:st|nd|rd|th)) ones?\b")


def pick_one(text: str, options: Options) -> str | Unclear:
    """The code of the one choice meant."""
    said = plain(text)
    if not said:
        return Unclear("empty")
    by_name = _exactly(said, options)
    if by_name:
        return by_name
    number = _only_number(said, len(options))
    if number is not None:
        return options[number - 1][0] if 1 <= number <= len(options) else Unclear("which", 1, len(options))
    return _by_answer_word(said, options) or _contained(said, options) or _alike(said, options)


def is_exactly(text: str, options: Options) -> bool:
    """Whether words are, as they stand, those of one of the choices."""
    return _exactly(plain(text), options) is not None


def picks(text: str, options: Options) -> tuple[str, ...] | Unclear:
    """The codes of all choices meant, in the order offered; () for "none"."""
    said = plain(text)
    if not said:
        return Unclear("empty")
    single = _exactly(said, options)
    if single:
        return (single,)
    whole = _all_or_none(said, options)
    if whole is not None:
        return whole
    return _several(said, options)


def _several(said: str, options: Options) -> tuple[str, ...] | Unclear:
    chosen: set[str] = set()
    for part in _parts(said):
        found = _picked_in(part, options)
        if isinstance(found, Unclear):
            return found
        chosen.update(found)
    return tuple(code for code, _ in options if code in chosen) if chosen else Unclear("which", 1, len(options))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Offered:
    """The words of some choices, bare, as each way of reading looks them up."""

    whole: Mapping[str, str]  # words to the first choice that goes by them
    after_comma: Mapping[str, str | None]  # a part of a choice's words to the choice; None where it is of several
    bare: tuple[tuple[str, tuple[str, ...]], ...]  # code and its words
    longest_first: tuple[tuple[str, str], ...]  # words of two letters or more with their code, to be found in a text


def _offered(options: Options) -> _Offered:
    return _looked_through(tuple((code, tuple(spoken)) for code, spoken in options))


@lru_cache(maxsize=512)
def _looked_through(options: _Fixed) -> _Offered:
    """Choices are the same in every talk, but for names of places and of parts of a lawn: worked out once, and kept."""
    whole: dict[str, str] = {}
    after_comma: dict[str, str | None] = {}
    for code, spoken in options:
        for words in (code, *spoken):
            whole.setdefault(_bare(words), code)
        for part in {part for words in spoken for part in _parts_of(words)}:
            after_comma[part] = None if part in after_comma else code
    whole.pop("", None)
    bare = tuple((code, tuple(_bare(words) for words in spoken)) for code, spoken in options)
    phrases = sorted(((words, code) for code, spoken in bare for words in spoken), key=lambda each: -len(each[0]))
    return _Offered(
        whole=whole,
        after_comma=after_comma,
        bare=bare,
        longest_first=tuple((words, code) for words, code in phrases if len(words) > 1),
    )


def _exactly(said: str, options: Options) -> str | None:
    bare, offered = _bare(said), _offered(options)
    return offered.whole.get(bare) or offered.after_comma.get(bare)


def _parts_of(label: str) -> set[str]:
    """What stands between the commas of a choice, where it is more than a word: "no, only in places"."""
    return {bare for part in label.split(",")[1:] if " " in (bare := _bare(part))}


def _bare(words: str) -> str:
    return " ".join(_WORD.findall(plain(words).replace("_", " ").replace("-", " ")))


def _only_number(said: str, count: int) -> int | None:
    """The number if the text is one, dressed or not: "2", "#2", "option two", "the second one", "last"."""
    numbers = _numbers(said, count)
    return numbers[0] if numbers is not None and len(numbers) == 1 else None


def _numbers(said: str, count: int) -> list[int] | None:
    """All numbers of a text that holds nothing else; None if it holds anything else, or none."""
    found: list[int] = []
    said = _ORDINAL_ONE.sub(r"\1", said)
    for word in re.findall(r"\d+(?:st|nd|rd|th)?(?![\w%°])|[^\s,;.!&+/()\d]+|\d+\S*", figures(said, parts=False)):
        digits = re.fullmatch(r"(\d{1,4})(?:st|nd|rd|th)?", word)
        if digits:
            found.append(int(digits[1]))
        elif word in _PLACES:
            found.append(_PLACES[word])
        elif word == "last":
            found.append(count)
        elif word.strip("#'\"") and word not in _FILLERS:
            return None
    return found or None


def _by_answer_word(said: str, options: Options) -> str | None:
    codes = {code for code, _ in options}
    answer = yes_no(said) if {"yes", "no"} <= codes else None
    return None if answer is None else "yes" if answer else "no"


def _contained(said: str, options: Options) -> str | Unclear | None:
    """The choice whose words stand in the text as whole words. Longer words first; a "not" before them spoils them."""
    bare = _bare(said)
    spans: list[tuple[int, int]] = []
    hits: set[str] = set()
    for phrase, code in _offered(options).longest_first:
        for span in islice(_whole_words(phrase, bare), MOST_REPEATS):
            if any(span != taken and span[0] < taken[1] and taken[0] < span[1] for taken in spans):
                continue  # "green" within "mostly green"
            spans.append(span)
            if not _NEGATION.search(bare[: span[0]]):
                hits.add(code)
    if not hits:
        return Unclear("which", 1, len(options)) if spans else None
    return hits.pop() if len(hits) == 1 else Unclear("two_near")


def _whole_words(phrase: str, text: str) -> Iterator[tuple[int, int]]:
    """Where a phrase stands in a text with no letter or digit of another word at either end."""
    start = text.find(phrase)
    while start >= 0:
        end = start + len(phrase)
        stands_alone = not (text[start - 1 : start].isalnum() or text[end : end + 1].isalnum())
        if stands_alone:
            yield start, end
        start = text.find(phrase, end if stands_alone else start + 1)


def _alike(said: str, options: Options) -> str | Unclear:
    """The choice that begins so, or is spelled nearly so, when no other is near."""
    bare, offered = _bare(said), _offered(options).bare
    opening = {code for code, spoken in offered if any(words.startswith(bare) for words in spoken)}
    if len(bare) >= SHORTEST_OPENING and opening:
        return opening.pop() if len(opening) == 1 else Unclear("two_near")
    if not SHORTEST_FUZZY <= len(bare) <= 60:
        return Unclear("which", 1, len(options))
    stripped = " ".join(word for word in bare.split() if word not in _FILLERS) or bare
    scored = sorted(((_likeness(stripped, spoken), code) for code, spoken in offered), reverse=True)
    if not scored or scored[0][0] < LIKE_ENOUGH:
        return Unclear("which", 1, len(options))
    if len(scored) > 1 and scored[0][0] - scored[1][0] < LEAD:
        return Unclear("two_near")
    return scored[0][1]


def _likeness(bare: str, spoken: Sequence[str]) -> float:
    """How alike the nearest of a choice's bare words is, 0 to 100; "not green" is never like "green"."""
    denied = bool(_DENIAL.search(bare))
    same = [words for words in spoken if bool(_DENIAL.search(words)) == denied]
    return max((fuzz.ratio(bare, words) for words in same), default=0.0)


# --- several at once -------------------------------------------------------------------------------------------

_ALL = re.compile(
    r"^(?:yes,? )?(?:all(?: of)?(?: them| these| it| the above| \d+)?|both|everything|every one)(?P<rest>\b.*)$"
)
_EXCEPT = re.compile(r"^,? (?:but|except|except for|without|not|minus) (?P<those>.+)$")
_NONE = re.compile(r"^(?:none|nothing|neither|no|nope|none of (?:them|these|the above|it|those))$")


def _all_or_none(said: str, options: Options) -> tuple[str, ...] | Unclear | None:
    bare = said.strip(" .!")
    if _NONE.match(bare):
        return ()
    match = _ALL.match(bare)
    if not match:
        return None
    codes = tuple(code for code, _ in options if code != NONE_OF_THEM)
    rest = _EXCEPT.match(match["rest"])
    if rest:
        left_out = _several(rest["those"], options)
        return left_out if isinstance(left_out, Unclear) else tuple(code for code in codes if code not in left_out)
    return codes if not _WORD.findall(match["rest"]) else None


def _parts(said: str) -> list[str]:
    """Pieces between commas, "and", plus signs; a piece may still hold several numbers ("1 3 5")."""
    return [part for part in re.split(r"[,;&+\n]|\band\b|\bplus\b|\bor\b", said) if _WORD.search(part)][:100]


def _picked_in(part: str, options: Options) -> list[str] | Unclear:
    span = re.fullmatch(r"\D*?(\d{1,2}) ?(?:-|to|through|thru) ?(\d{1,2})\D*", figures(part, parts=False))
    numbers = list(range(int(span[1]), int(span[2]) + 1)) if span else _numbers(part, len(options))
    if numbers:
        if any(not 1 <= number <= len(options) for number in numbers):
            return Unclear("which", 1, len(options))
        return [options[number - 1][0] for number in numbers]
    if all(word in _FILLERS for word in _WORD.findall(part)):
        return []
    found = pick_one(part, options)
    return found if isinstance(found, Unclear) else [found]
