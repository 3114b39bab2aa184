"""The places in an operator's words that are filled with each homeowner's own figures.

1. A place is a name in braces, like `{coldest_soil}`; the names are those of `Figure`. A brace by itself is refused.
2. The figures are those of one lawn: the one being talked about, or where the advisory names grasses, the first of
   those grasses. They are estimates and say so ("about").
3. **A sentence with a figure that is not known for a lawn is left out for it**, and nothing else is. Whoever would be
   left without a word gets nothing, and counts as left out.

    Soil near you fell to {coldest_soil}. Leave the brown top on until {judging_day}.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from bot.ops.advisories.advisory import NewAdvisory
from bot.store.sends import Figures
from bot.talk import answers
from bot.talk.advice import lawn_view
from bot.talk.case import Case, Homeowner
from bot.talk.known import Known
from bot.talk.messages import Day, Share, TemperatureC, Value, text
from bot.talk.questions import place_text
from bot.words import Words

DC_A_DEGREE, PERCENT = 10, 100


class Figure(StrEnum):
    """What may stand in braces."""

    PLACE = "place"  # Glynn County, Georgia
    GRASS = "grass"  # St. Augustine
    COLDEST_SOIL = "coldest_soil"  # about 36 F, in the units they read
    COLDEST_RUNNERS = "coldest_runners"  # the same where the grass itself was
    ALIVE = "alive"  # about 6 in 10
    JUDGING_DAY = "judging_day"  # about May 5


_PLACEHOLDER = re.compile(r"\{([^{}]*)\}")
_SENTENCE_END = re.compile(r"(?<=[.!?])[\"')\]]*[ \t]+|\n+")
_NO_END = re.compile(r"(?:\b(?:St|Mt|Ft|Dr|Mr|Mrs|Ms|No|Nos|approx|vs|etc|e\.g|i\.e|a\.m|p\.m)|\b[A-Z])\.$")
"""A point after one of these ends no sentence: "St. Augustine", "9 a.m. Friday"."""


def placeholders_in(words: str) -> list[str]:
    """The names in braces, each once, in order."""
    return list(dict.fromkeys(found[1] for found in _PLACEHOLDER.finditer(words)))


def has_stray_brace(words: str) -> bool:
    """Whether a brace belongs to no place."""
    return bool(re.search(r"[{}]", _PLACEHOLDER.sub("", words)))


def sentences_of(words: str) -> list[str]:
    """The sentences, each with the blanks behind it; together they are the words."""
    found: list[str] = []
    start = 0
    for end in _SENTENCE_END.finditer(words):
        if end[0].startswith("\n") or not _NO_END.search(words[start : end.start()]):
            found.append(words[start : end.end()])
            start = end.end()
    return [*found, words[start:]] if start < len(words) else found


def filled(words: str, figures: Mapping[str, str]) -> str:
    """The words with the known figures in their places, without the sentences that miss one; "" if none is left."""
    kept = [
        _PLACEHOLDER.sub(lambda place: figures[place[1]], sentence)
        for sentence in sentences_of(words)
        if all(name in figures for name in placeholders_in(sentence))
    ]
    told = re.sub(r"\n{3,}", "\n\n", "".join(kept)).strip()
    return told if re.search(r"\w", told) else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Filler:
    """Fills in one homeowner's figures, as they read them."""

    words: Words
    known: Known

    def fill(self, content: NewAdvisory, homeowner: Homeowner, lawns: Sequence[Figures], *, is_short: bool) -> str:
        """The words as this homeowner gets them; "" when nothing is left to say to them."""
        wanted = placeholders_in(content.words)
        if not wanted:
            return content.words.strip()
        case, seen = lawn_meant(content, homeowner, lawns)
        told = {}
        for name in wanted:
            value = self._value(Figure(name), case, seen)
            if value is not None:
                figure = text("advisory-figure", value=value)
                told[name] = self.words.text(
                    figure, language=homeowner.language, metric=homeowner.metric, is_short=is_short
                )
        return filled(content.words, told)

    def _value(self, figure: Figure, case: Case | None, seen: Figures | None) -> Value | None:
        if figure in _FROM_GLANCE:
            return _FROM_GLANCE[figure](seen) if seen is not None else None
        if case is None or answers.settled_place(case) is None:
            return None
        if figure is Figure.PLACE:
            return place_text(case)
        season = lawn_view(case, self.known).season
        return Day(season.judging_on, season.is_about)


def lawn_meant(
    content: NewAdvisory, homeowner: Homeowner, lawns: Sequence[Figures]
) -> tuple[Case | None, Figures | None]:
    """The lawn whose figures are told, and what is known of it at a glance."""
    seen = seen_meant(content, homeowner.active_lawn, lawns)
    number = seen.lawn if seen is not None else homeowner.active_lawn
    return next((case for case in homeowner.lawns if case.number == number), None), seen


def seen_meant(content: NewAdvisory, active_lawn: int, lawns: Sequence[Figures]) -> Figures | None:
    """Of somebody's lawns, the one whose figures are told."""
    grasses = content.audience.grasses
    in_order = sorted(lawns, key=lambda seen: (seen.lawn != active_lawn, seen.lawn))
    fitting = [seen for seen in in_order if not grasses or seen.grass in grasses]
    return next(iter(fitting or in_order), None)


def known_figures(content: NewAdvisory, active_lawn: int, lawns: Sequence[Figures]) -> frozenset[str]:
    """Which figures are known for somebody, as far as a glance tells."""
    seen = seen_meant(content, active_lawn, lawns)
    return frozenset() if seen is None else figures_known(seen)


def figures_known(seen: Figures) -> frozenset[str]:
    """Which figures are known of a lawn."""
    placed = {Figure.PLACE, Figure.JUDGING_DAY} if seen.state is not None else set()
    return frozenset(placed | {name for name, value_of in _FROM_GLANCE.items() if value_of(seen) is not None})


def is_left(words: str, known: frozenset[str]) -> bool:
    """Whether any sentence is left for somebody of whom these figures are known."""
    kept = [each for each in sentences_of(words) if known.issuperset(placeholders_in(each))]
    return bool(re.search(r"\w", "".join(kept)))


def _about(tenths: int | None) -> Value | None:
    return None if tenths is None else text("advisory-about", figure=TemperatureC(tenths / DC_A_DEGREE))


def _alive(percent: int | None) -> Value | None:
    return None if percent is None else Share(percent / PERCENT)


_FROM_GLANCE: Mapping[Figure, Callable[[Figures], Value | None]] = {
    Figure.GRASS: lambda seen: None if seen.grass is None else text(f"grass-name-{seen.grass}"),
    Figure.COLDEST_SOIL: lambda seen: _about(seen.soil_min_dc),
    Figure.COLDEST_RUNNERS: lambda seen: _about(seen.crown_min_dc),
    Figure.ALIVE: lambda seen: _alive(seen.alive_percent),
}
