"""What an album holds, out of a homeowner's lawns: photos in order, what was seen beside them, the chart, the dates.

Pure: message keys and values, no words and no pictures yet.

1. Only lawns with a kept photo have an album; nothing in it is finer than county and state.
2. The green of a photo is told as the talk tells it, and not before the owner was asked about weeds. Its colour is told
   here only, in a word: light moves it as much as feeding does, so there is nothing to do about it.
3. A verdict is told from the judging day on, or where life showed before it; until then, how the photos stand.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

from bot.talk import advice, answers, judging, photos, telling
from bot.talk.case import Case, CheckIn, Homeowner, Task, TaskState
from bot.talk.cover import CoverSeen
from bot.talk.cover_chart import CoverChart
from bot.talk.known import Known
from bot.talk.messages import AreaSqft, Cover, Day, Number, Several, Text, text, where_text
from bot.talk.photo_chart import photo_chart
from bot.talk.questions import place_text
from bot.talk.seen import recoveries
from bot.talk.telling_cover_chart import cover_alt
from bot.talk.turn import Turn
from rules.facts.evidence import RETURNS_FROM_ALIVE_FRACTION
from rules.recovery import Weeds
from rules.recovery_state import Recovery
from rules.season import Season, spring_year
from rules.verdict import Verdict, verdict_on

_WEEDS = {
    Weeds.SOME: "album-weeds-some",
    Weeds.MOST: "album-weeds-most",
    Weeds.NOT_SURE: "album-weeds-not_sure",
}
_TASKS = {
    TaskState.DONE: "album-task-done",
    TaskState.SKIPPED: "album-task-skipped",
    TaskState.OPEN: "album-task-open",
    TaskState.PASSED: "album-task-passed",
}
"""What became of a task. One that the plan itself let go is not told."""
_NO_VERDICT_YET = (Verdict.TOO_EARLY, Verdict.TEST_AGAIN)
_MOST_CHANCES = 19  # of 20: never told as certain


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """A kept photo: its day, and the green on it as it is told. `colour` is None where it is not sure, or not the
    grass's; `weeds` where there is no word on them.
    """

    photo_id: str
    on: date
    green: Text
    colour: Text | None = None
    weeds: Text | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """What the owner told of a spot on a day. `words`: as they wrote it, "" where they pressed a button."""

    on: date
    told: Text
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotAlbum:
    """One spot. `name` is "" where the lawn is all alike; `state` is how it stands now."""

    name: str
    where: Text
    state: Text
    shots: tuple[Shot, ...] = ()
    reports: tuple[Report, ...] = ()
    chart: CoverChart | None = None
    chart_alt: Text | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanDate:
    """A task of the plan: the day it was done or is meant for, and what became of it."""

    on: date
    task: Text
    state: Text


@dataclass(frozen=True, slots=True, kw_only=True)
class Album:
    """One lawn through one spring. `place` is county and state at the most; None where none was told."""

    lawn: int
    place: Text | None
    grass: Text
    year: int
    made_on: date
    spots: tuple[SpotAlbum, ...]
    plan: tuple[PlanDate, ...] = ()

    @property
    def photo_ids(self) -> tuple[str, ...]:
        """Every photo in it."""
        return tuple(shot.photo_id for spot in self.spots for shot in spot.shots)


def albums_of(homeowner: Homeowner, known: Known, now: datetime, own_photos: Collection[str]) -> tuple[Album, ...]:
    """An album of every lawn with a kept photo. `own_photos`: the ids of this homeowner's own; no others are shown."""
    with_photos = (case for case in homeowner.lawns if _has_photo(case, own_photos))
    return tuple(_album(homeowner, case, known, now, own_photos) for case in with_photos)


def _has_photo(case: Case, own_photos: Collection[str]) -> bool:
    names = answers.spots(case)
    return any(each.photo_id in own_photos and each.spot in names for each in case.checkins)


def _album(homeowner: Homeowner, case: Case, known: Known, now: datetime, own_photos: Collection[str]) -> Album:
    told = replace(case, checkins=tuple(map(_without_untold, case.checkins)))
    turn = Turn(homeowner=homeowner, now=now, known=known)
    turn.put_case(told)
    view = advice.lawn_view(told, known)
    read = recoveries(told, view.season)
    return Album(
        lawn=case.number,
        place=None if view.place_is_stand_in else place_text(case),
        grass=telling.grass_text(case, view),
        year=spring_year(advice.freeze_on(case, known)),
        made_on=turn.today,
        spots=tuple(
            _spot(turn, name, view.season, read.get(name), shots_of(case, name, own_photos))
            for name in answers.spots(case)
        ),
        plan=plan_dates(case),
    )


def _without_untold(checkin: CheckIn) -> CheckIn:
    """A check-in without the green that waits for the owner's word on weeds."""
    return replace(checkin, cover=None, green=None) if _waits(checkin.cover) else checkin


def _waits(cover: CoverSeen | None) -> bool:
    return cover is not None and not cover.reason and not cover.weeds and cover.percent >= photos.WEEDS_FROM_PERCENT


def _spot(turn: Turn, name: str, season: Season, recovery: Recovery | None, shots: tuple[Shot, ...]) -> SpotAlbum:
    where = where_text(name)
    chart = photo_chart(recovery, season) if recovery else None
    return SpotAlbum(
        name=name,
        where=where,
        state=state_of(turn, name, season, recovery),
        shots=shots,
        reports=reports_of(turn.case, name),
        chart=chart,
        chart_alt=cover_alt(chart, where) if chart else None,
    )


# --- photos ----------------------------------------------------------------------------------------------------------


def shots_of(case: Case, name: str, own_photos: Collection[str]) -> tuple[Shot, ...]:
    """A spot's photos in order of time. A photo filed twice is the newest."""
    found = {
        each.photo_id: Shot(
            photo_id=each.photo_id,
            on=each.on,
            green=_green_text(each.cover),
            colour=_colour_text(each.cover),
            weeds=_weeds_text(each.cover),
        )
        for each in case.checkins
        if each.spot == name and each.photo_id is not None and each.photo_id in own_photos
    }
    return tuple(sorted(found.values(), key=lambda shot: shot.on))


def _green_text(cover: CoverSeen | None) -> Text:
    if cover is None or cover.reason:
        return text("album-green-unread")
    if _waits(cover):
        return text("album-green-waits")
    if round(cover.high) <= photos.WEEDS_FROM_PERCENT:
        return text("album-green-none")
    key = "album-green-range" if cover.is_range else "album-green"
    now, low, high = (Number(round(each)) for each in (cover.percent, cover.low, cover.high))
    return text(key, now=now, low=low, high=high)


def _colour_text(cover: CoverSeen | None) -> Text | None:
    """The green in a word: to look back on, and not in the talk, where it would read as a mark or as a call to feed."""
    if cover is None or cover.reason or cover.is_range or not cover.colour or _waits(cover):
        return None
    is_grass = cover.weeds in ("", Weeds.NONE)
    return text(f"album-colour-{cover.colour}") if is_grass else None


def _weeds_text(cover: CoverSeen | None) -> Text | None:
    key = _WEEDS.get(Weeds(cover.weeds)) if cover is not None and cover.weeds else None
    return text(key) if key is not None else None


# --- what the owner told ---------------------------------------------------------------------------------------------


def reports_of(case: Case, name: str) -> tuple[Report, ...]:
    """What was seen at first, and each look, count and guess since, in order of time."""
    since = [
        Report(on=each.on, told=told, words="" if number else each.words)
        for each in case.checkins
        if each.spot == name
        for number, told in enumerate(_told_in(each))
    ]
    return tuple(sorted((*_seen_at_first(case, name), *since), key=lambda report: report.on))


def _seen_at_first(case: Case, name: str) -> Iterable[Report]:
    """The signs told of a spot; the first spot's were told for the whole lawn."""
    question = "see" if answers.find(case, "see_spot", name) is None else "see_spot"
    spot = name if question == "see_spot" else ""
    answer, signs = answers.find(case, question, spot), answers.codes(case, question, spot)
    if answer is None or not signs:
        return
    on = answer.at.astimezone(ZoneInfo(answers.zone(case))).date()
    told = text("album-saw", signs=Several(tuple(text(f"see-{sign}") for sign in signs)))
    has_words = any(letter.isalpha() for letter in answer.words)  # a typed "1, 3" says nothing by itself
    yield Report(on=on, told=told, words=answer.words if has_words else "")


def _told_in(checkin: CheckIn) -> Iterable[Text]:
    if checkin.runners:
        yield text("album-runners", found=text(f"do_runners-{checkin.runners}"))
    if checkin.plugs_alive is not None and checkin.plugs_total:
        yield text("album-plugs", alive=Number(checkin.plugs_alive), total=Number(checkin.plugs_total))
    elif checkin.plugs_total:
        yield text("album-potted", n=Number(checkin.plugs_total))
    if checkin.green is not None and checkin.cover is None:
        yield text("album-by-eye", green=Cover(checkin.green))
    if checkin.area_sqft is not None:
        yield text("album-size", size=AreaSqft(checkin.area_sqft))
    if checkin.words and checkin.photo_id:
        yield text("album-beside-photo")


# --- how it stands ---------------------------------------------------------------------------------------------------


def state_of(turn: Turn, name: str, season: Season, recovery: Recovery | None) -> Text:
    """The verdict where one may be told today, else how the photos stand."""
    seen = judging.evidence_now(turn, name)
    lost = judging.odds_now(turn, name).below_probability(RETURNS_FROM_ALIVE_FRACTION.value)
    verdict = verdict_on(turn.today, season, seen, lost)
    if verdict in _NO_VERDICT_YET or (recovery is not None and turn.today < season.judging_on):
        return _photo_state(turn, name, recovery, season) if recovery is not None else text("album-state-early")
    is_tested = verdict is Verdict.LIKELY_DEAD and seen.pot_test_failed
    return text(
        "verdict-likely_dead-tested" if is_tested else f"verdict-{verdict}",
        where=where_text(name),
        chances=Number(min(_MOST_CHANCES, round(20 * lost))),
        day=Day(season.likely_dead_on, season.is_about),
    )


def _photo_state(turn: Turn, name: str, recovery: Recovery, season: Season) -> Text:
    """The sentence the talk tells beside a photo; of a winter's photos without what is to come."""
    told = photos.state_text(turn, name, recovery, season)
    return text("album-state-cold") if told.key == "photo-state-cold" else told


# --- the plan --------------------------------------------------------------------------------------------------------


def plan_dates(case: Case) -> tuple[PlanDate, ...]:
    """The dates of a confirmed plan in order, but for what the plan itself let go."""
    if case.planned_on is None:
        return ()
    dates = [
        PlanDate(on=_day_of(task), task=telling.task_name(task.kind, task.spot), state=text(_TASKS[task.state]))
        for task in case.tasks
        if task.state in _TASKS
    ]
    return tuple(sorted(dates, key=lambda each: each.on))


def _day_of(task: Task) -> date:
    """The day it was done, or the one it is or was meant for."""
    return task.closed_on if task.state is TaskState.DONE and task.closed_on is not None else task.due_on
