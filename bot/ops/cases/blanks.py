"""What the blanks of a template are filled with: one lawn's own figures, as its owner reads them.

The names are those that may stand in an advisory, and the next thing of the plan. A sentence with a blank that is not
known for a lawn is left out, as there.
"""

from __future__ import annotations

from collections.abc import Mapping

from bot.ops.advisories.filling import Figure, filled, has_stray_brace, placeholders_in
from bot.talk import advice, answers, telling
from bot.talk.case import Case, Homeowner
from bot.talk.followup import open_tasks
from bot.talk.glance import glances_of
from bot.talk.known import Known
from bot.talk.messages import Day, Share, TemperatureC, Text, Value, text
from bot.talk.questions import place_text
from bot.words import Words

NEXT_TASK = "next_task"
BLANKS: tuple[str, ...] = (*(str(figure) for figure in Figure), NEXT_TASK)


def unknown_blank(words: str) -> str | None:
    """The first blank of a template that nobody knows, or a brace that belongs to none; None where all is well."""
    strange = next((name for name in placeholders_in(words) if name not in BLANKS), None)
    if strange is not None:
        return strange or "{}"
    return "{" if has_stray_brace(words) else None


def fill_in(words: str, homeowner: Homeowner, known: Known, say: Words) -> str:
    """A template's words for a homeowner, about the lawn being talked about."""
    case = homeowner.lawn
    if case is None or not placeholders_in(words):
        return filled(words, {})
    told = {
        name: say.text(figure, language=homeowner.language, metric=homeowner.metric)
        for name, figure in _figures(homeowner, case, known).items()
    }
    return filled(words, told)


def _figures(homeowner: Homeowner, case: Case, known: Known) -> Mapping[str, Text]:
    """Every blank that is known for a lawn."""
    view = advice.lawn_view(case, known)
    seen = next(each for each in glances_of(homeowner, known) if each.lawn == case.number)
    is_placed = answers.settled_place(case) is not None
    found: dict[str, Value | None] = {
        Figure.PLACE: place_text(case) if is_placed else None,
        Figure.GRASS: telling.named_grass(seen.grass, seen.cultivar or "") if seen.grass is not None else None,
        Figure.COLDEST_SOIL: _about(seen.soil_min_c),
        Figure.COLDEST_RUNNERS: _about(seen.crown_min_c),
        Figure.ALIVE: None if seen.alive_fraction is None else Share(seen.alive_fraction),
        Figure.JUDGING_DAY: Day(view.season.judging_on, view.season.is_about) if is_placed else None,
        NEXT_TASK: telling.next_line(case, open_tasks(case)) if case.planned_on is not None else None,
    }
    return {str(name): text("cases-figure", value=value) for name, value in found.items() if value is not None}


def _about(minimum_c: float | None) -> Value | None:
    return None if minimum_c is None else text("cases-about", value=TemperatureC(minimum_c))
