from __future__ import annotations

import json
import math
from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from bot.errors import StoreError
from bot.store.rows import dump_homeowner, dump_incoming, dump_rendered, load_homeowner, load_incoming, load_rendered
from bot.talk.case import (
    CASE_VERSION,
    Answer,
    AnswerValue,
    AreaTold,
    Case,
    CheckIn,
    DayTold,
    FeedGiven,
    Homeowner,
    LabelTold,
    NamesTold,
    NotSure,
    NumberTold,
    Picked,
    PickedMany,
    Place,
    PlacesTold,
    SideTalk,
    Skipped,
    Task,
    TaskState,
    TemperatureTold,
)
from bot.talk.incoming import (
    Arrived,
    Chose,
    DueReminder,
    Incoming,
    PhotoRefused,
    RemindersDue,
    Said,
    SentPhoto,
    SharedPlace,
)
from bot.talk.ports import Rendered, RenderedChoice, as_stored

MAY_1 = date(2026, 5, 1)
AT = datetime(2026, 3, 8, 7, 30, 0, 123_456, tzinfo=UTC)
PLACE = Place(name="Brunswick", county="Glynn", state="GA", zone="America/New_York", latitude=31.15, longitude=-81.49)
VALUES: tuple[AnswerValue, ...] = (
    NotSure(),
    Skipped(),
    Picked(code="zoysia"),
    PickedMany(codes=("a", "b")),
    TemperatureTold(mean_c=-8.3, sd_dc=1.5),
    NumberTold(value=3.0),
    DayTold(on=date(2028, 2, 29), give_or_take_days=3),
    PlacesTold(candidates=(PLACE, replace(PLACE, zip_code="31522"))),
    AreaTold(area_sqft=2400.5, paced=True),
    LabelTold(n_percent=16, p2o5_percent=4, k2o_percent=8),
    NamesTold(names=("front", "north side ❄")),
)
FULL = Homeowner(
    metric=True,
    lawns=(
        Case(
            number=1,
            opened_at=AT,
            answers=tuple(Answer(question=f"q{n}", value=value, words="…", at=AT) for n, value in enumerate(VALUES)),
            planned_on=date(2026, 3, 1),
            tasks=(
                Task(key="cut", kind="cut", on=MAY_1, until_on=MAY_1, state=TaskState.DONE, told_on=(MAY_1,)),
                Task(key="look", kind="look", on=MAY_1, until_on=MAY_1, moved_to=date(2026, 5, 9), spot="front"),
            ),
            checkins=(CheckIn(on=date(2026, 3, 9), spot="front", task="look", green=0.14, plugs_alive=0),),
            feeds=(
                FeedGiven(
                    on=date(2026, 5, 1),
                    n_lb_per_1000_sqft=0.5,
                    p2o5_lb_per_1000_sqft=0,
                    soluble_n_lb_per_1000_sqft=0.25,
                ),
            ),
            told=("summary",),
        ),
        Case(number=2, opened_at=AT),
    ),
    active_lawn=2,
    side=SideTalk(topic="later", about=("cut-1", "front")),
    last_told_task=(1, "cut-1"),
)


def test_a_homeowner_with_every_kind_of_answer_comes_back_the_same() -> None:
    """What is stored is what was there, to the microsecond and the last digit."""
    assert load_homeowner(dump_homeowner(FULL), as_stored) == FULL


@pytest.mark.parametrize(
    "incoming",
    [
        Arrived(),
        Said(text="it's brown ❄ \0"),
        Chose(tokens=()),
        SharedPlace(latitude=31.1, longitude=-81.5),
        SentPhoto(photo_id="ab"),
        PhotoRefused(reason="too-big"),
        RemindersDue(reminders=(DueReminder(lawn=1, task="cut", due_on=date(2026, 3, 9)),)),
    ],
)
def test_everything_that_can_come_in_comes_back_the_same(incoming: Incoming) -> None:
    """No kind of incoming is lost or turned into another."""
    assert load_incoming(dump_incoming(incoming)) == incoming


def test_a_rendered_message_comes_back_the_same() -> None:
    """The outbox keeps final text with everything a channel needs."""
    choice = RenderedChoice(token="q1:3", label="not sure")
    rendered = Rendered(text="Is it dead?\n\nNo.", choices=(choice,), several=True, step=3, steps=8, photos=("ab",))

    assert load_rendered(dump_rendered(rendered)) == rendered


def test_an_unknown_stored_field_is_an_error() -> None:
    """Dropping it in silence would lose an answer; at the top and deep inside."""
    stored = json.loads(dump_homeowner(FULL))
    deep = json.loads(dump_homeowner(FULL))
    stored["mood"] = "blue"
    deep["lawns"][0]["answers"][4]["value"]["feels_like_c"] = -12

    for document in (stored, deep):
        with pytest.raises(StoreError, match="does not fit"):
            load_homeowner(json.dumps(document), as_stored)


@pytest.mark.parametrize(
    "damaged",
    [
        replace(FULL, first_hour="nine"),  # type: ignore[arg-type]
        replace(FULL, language="\ud800"),
        replace(FULL, lawns=(Case(number=1, opened_at=AT, planned_on=AT),)),  # an instant where a day belongs
        replace(FULL, lawns=(Case(number=1, opened_at=AT, told=["a"]),)),  # type: ignore[arg-type]
        replace(
            FULL,
            lawns=(
                Case(
                    number=1,
                    opened_at=AT,
                    answers=(Answer(question="q", value=NumberTold(value=math.nan), words="", at=AT),),
                ),
            ),
        ),
    ],
)
def test_what_could_not_be_loaded_again_is_not_stored(damaged: Homeowner) -> None:
    """A homeowner that cannot be read back would be stuck for good, so it never gets that far."""
    with pytest.raises(StoreError, match="not stored"):
        dump_homeowner(damaged)


def test_an_older_version_is_brought_up_to_date() -> None:
    """A field that today's type does not know goes through the upgrade first."""
    older = {"version": 0, "uses_metric": True}

    def upgrade(stored: dict[str, object]) -> dict[str, object]:
        return {"version": CASE_VERSION, "metric": stored["uses_metric"]}

    assert load_homeowner(json.dumps(older), upgrade) == Homeowner(metric=True)


def test_an_older_version_that_still_fits_is_brought_up_to_date_too() -> None:
    """Fitting today's fields is not the same as meaning the same."""

    def upgrade(stored: dict[str, object]) -> dict[str, object]:
        return {**stored, "version": CASE_VERSION, "language": "es"}

    assert load_homeowner('{"version": 0}', upgrade) == Homeowner(language="es")


def test_a_newer_version_is_refused() -> None:
    """An older Afterfrost must not write over what it does not understand."""
    with pytest.raises(StoreError, match=f"of version {CASE_VERSION + 1}"):
        load_homeowner(json.dumps({"version": CASE_VERSION + 1}), as_stored)


def test_an_upgrade_that_leaves_something_out_is_an_error() -> None:
    """It says which version could not be read."""
    with pytest.raises(StoreError, match="of version 0 could not"):
        load_homeowner('{"version": 0, "colour": "green"}', as_stored)


@pytest.mark.parametrize("load", [load_incoming, load_rendered])
def test_a_damaged_row_is_a_store_error(load: object) -> None:
    """Whoever reads a row gets our error, not the library's."""
    with pytest.raises(StoreError, match="does not fit"):
        load("{}")  # type: ignore[operator]
