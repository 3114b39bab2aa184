from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from bot.talk.case import Homeowner
from bot.talk.effects import Reminder
from bot.talk.incoming import RemindersDue
from tests.fakes.house import House, open_house
from tests.fakes.small_talk import TALK

EIGHT = datetime(2026, 3, 7, 13, 0, tzinfo=UTC)  # 8 in the morning in New York, the day before the spring change


@pytest.fixture
async def spring(tmp_path: Path) -> AsyncIterator[House]:
    async with open_house(tmp_path, at=EIGHT) as opened:
        yield opened


async def test_a_reminder_is_brought_up_once_when_its_instant_has_come(spring: House) -> None:
    """Not a second before, and never again."""
    await spring.hear("anna", "remind cut 2026-03-07 09:00")
    spring.pass_time(minutes=59, seconds=59)
    assert await spring.bring_up_all() == 0

    spring.pass_time(seconds=1)
    assert await spring.bring_up_all() == 1
    assert await spring.bring_up_all() == 0
    assert (await spring.told("anna"))[-1] == "due 2 1/cut"
    assert spring.rows("SELECT task, state FROM reminder") == [("cut", 1)]


async def test_what_a_reminder_says_goes_out_as_a_reminder(spring: House) -> None:
    """Its message lets replies go first."""
    await spring.hear("anna", "remind cut 2026-03-07 09:00")
    spring.pass_time(hours=2)
    await spring.bring_up_all()

    assert spring.rows("SELECT urgency FROM outbox ORDER BY id") == [(0,), (2,)]


async def test_planning_again_makes_no_second_row(spring: House) -> None:
    """The same wish ten times over is one reminder."""
    for _ in range(10):
        await spring.hear("anna", "remind cut 2026-03-09 09:00")

    assert spring.value("SELECT count(*) FROM reminder") == 1


async def test_a_wish_taken_back_is_cancelled_and_comes_back_when_wished_again(spring: House) -> None:
    """Rows follow wishes both ways."""
    await spring.hear("anna", "remind cut 2026-03-09 09:00")
    await spring.hear("anna", "skip cut")
    assert spring.rows("SELECT state FROM reminder") == [(2,)]

    await spring.hear("anna", "remind cut 2026-03-09 09:00")
    assert spring.rows("SELECT state FROM reminder") == [(0,)]


async def test_a_wish_made_and_taken_back_in_one_batch_leaves_no_pending_row(spring: House) -> None:
    """Only the difference over the whole batch counts."""
    await asyncio.gather(spring.hear("anna", "remind cut 2026-03-09 09:00"), spring.hear("anna", "skip cut"))

    assert spring.value("SELECT count(*) FROM reminder WHERE state = 0") == 0


async def test_a_wish_moved_to_another_day_leaves_one_pending_row(spring: House) -> None:
    """The old day is cancelled, the new one waits."""
    await spring.hear("anna", "remind cut 2026-03-09 09:00")
    await spring.hear("anna", "remind cut 2026-03-12 10:15")

    assert spring.rows("SELECT due_on, hour, minute, state FROM reminder ORDER BY id") == [
        ("2026-03-09", 9, 0, 2),
        ("2026-03-12", 10, 15, 0),
    ]


async def test_a_wish_moved_to_another_hour_moves_its_row(spring: House) -> None:
    """Same day, new hour: one row, at the new instant, also when the old one was brought up already."""
    await spring.hear("anna", "remind cut 2026-03-07 09:00")
    spring.pass_time(hours=2)
    await spring.bring_up_all()
    await spring.hear("anna", "remind cut 2026-03-07 17:00")

    assert spring.rows("SELECT hour, state FROM reminder") == [(17, 0)]
    spring.pass_time(hours=8)
    assert await spring.bring_up_all() == 1


async def test_the_same_wish_after_it_was_brought_up_stays_brought_up(spring: House) -> None:
    """One instant is brought up once, however the plan is made again."""
    await spring.hear("anna", "remind cut 2026-03-07 09:00")
    spring.pass_time(hours=2)
    await spring.bring_up_all()
    await spring.hear("anna", "remind cut 2026-03-07 09:00")

    assert spring.rows("SELECT state FROM reminder") == [(1,)]
    assert await spring.bring_up_all() == 0


async def test_a_whole_plan_is_stored_moved_and_cancelled_at_once(spring: House) -> None:
    """Twelve wishes of one turn are twelve rows; a later plan moves them all."""
    await spring.hear("anna", "plan 2026-03-10 12")
    assert spring.value("SELECT count(*) FROM reminder WHERE state = 0") == 12

    await spring.hear("anna", "plan 2026-04-10 12")
    assert spring.rows("SELECT state, count(*) FROM reminder GROUP BY state ORDER BY state") == [(0, 12), (2, 12)]

    await spring.hear("anna", "zone America/Chicago")
    assert spring.rows("SELECT zone, count(*) FROM reminder WHERE state = 0 GROUP BY zone") == [("America/Chicago", 12)]


async def test_two_lawns_have_reminders_of_their_own(spring: House) -> None:
    """The same task on the same day for two lawns is two rows, and one thing that comes in."""
    await spring.hear("anna", "remind cut 2026-03-07 09:00")
    await spring.hear("anna", "remind cut 2026-03-07 09:00 2")
    assert spring.rows("SELECT lawn FROM reminder ORDER BY lawn") == [(1,), (2,)]

    spring.pass_time(hours=2)
    assert await spring.bring_up_all() == 1
    assert (await spring.told("anna"))[-1] == "due 3 1/cut, 2/cut"


async def test_a_week_asleep_brings_up_everything_at_once_for_each_homeowner(spring: House) -> None:
    """One `RemindersDue` each, with all that fell due, in the order of their days."""
    for address in ("anna", "bert"):
        for day in ("09", "08", "11"):
            await spring.hear(address, f"remind task-{day} 2026-03-{day} 09:00")
    spring.pass_time(days=7)

    assert await spring.bring_up_all() == 2
    assert (await spring.told("anna"))[-1] == "due 4 1/task-08, 1/task-09, 1/task-11"
    assert (await spring.told("bert"))[-1] == "due 4 1/task-08, 1/task-09, 1/task-11"


async def test_a_homeowner_is_never_split_by_the_limit(spring: House) -> None:
    """A limit smaller than what is due for one homeowner still brings up all of theirs, the longest waiting first."""
    for number in range(5):
        await spring.hear("anna", f"remind task-{number} 2026-03-07 09:0{number}")
    await spring.hear("bert", "remind cut 2026-03-07 08:30")
    spring.pass_time(hours=2)

    assert await spring.service.reminders_due(limit=1) == 1
    assert (await spring.told("bert"))[-1] == "due 2 1/cut"
    assert await spring.service.reminders_due(limit=2) == 1
    assert (await spring.told("anna"))[-1].count("task-") == 5
    assert await spring.service.reminders_due(limit=2) == 0


async def test_a_local_time_that_does_not_exist_comes_as_much_after_the_change(spring: House) -> None:
    """02:30 on the spring night is 03:30 daylight time."""
    await spring.hear("anna", "remind cut 2026-03-08 02:30")

    assert _due_instants(spring) == [datetime(2026, 3, 8, 7, 30, tzinfo=UTC)]


async def test_a_local_time_that_exists_twice_is_the_first(spring: House) -> None:
    """01:30 on the autumn night is still daylight time, and is brought up once that night."""
    await spring.hear("anna", "remind cut 2026-11-01 01:30")
    first = datetime(2026, 11, 1, 5, 30, tzinfo=UTC)
    assert _due_instants(spring) == [first]

    spring.clock.set(first)
    assert await spring.bring_up_all() == 1
    spring.pass_time(hours=1)
    assert await spring.bring_up_all() == 0


@pytest.mark.parametrize(
    ("day", "hour", "instant"),
    [
        ("2026-03-07", "09:00", datetime(2026, 3, 7, 14, 0, tzinfo=UTC)),  # the day before the change
        ("2026-03-08", "09:00", datetime(2026, 3, 8, 13, 0, tzinfo=UTC)),  # the day of it
        ("2026-10-31", "09:00", datetime(2026, 10, 31, 13, 0, tzinfo=UTC)),
        ("2026-11-01", "09:00", datetime(2026, 11, 1, 14, 0, tzinfo=UTC)),
        ("2028-02-29", "09:00", datetime(2028, 2, 29, 14, 0, tzinfo=UTC)),  # leap day
        ("2026-12-31", "19:30", datetime(2027, 1, 1, 0, 30, tzinfo=UTC)),  # next year already, in UTC
    ],
)
async def test_the_hour_is_the_homeowners_own_on_every_day(
    spring: House, day: str, hour: str, instant: datetime
) -> None:
    """Nine in the morning is nine in the morning, on both sides of a clock change and at the ends of the calendar."""
    await spring.hear("anna", f"remind cut {day} {hour}")

    assert _due_instants(spring) == [instant]


async def test_somebody_who_moves_gets_their_reminders_at_their_new_hours(spring: House) -> None:
    """A new zone moves every pending reminder and no other."""
    await spring.hear("anna", "remind cut 2026-03-07 09:00")
    await spring.hear("anna", "remind feed 2026-03-09 09:00")
    await spring.hear("bert", "remind cut 2026-03-09 09:00")
    spring.pass_time(hours=2)
    await spring.bring_up_all()

    await spring.hear("anna", "zone America/Chicago")

    assert spring.rows("SELECT homeowner_id, task, zone, state FROM reminder ORDER BY id") == [
        (1, "cut", "America/New_York", 1),
        (1, "feed", "America/Chicago", 0),
        (2, "cut", "America/New_York", 0),
    ]
    assert _due_instants(spring)[1] == datetime(2026, 3, 9, 14, 0, tzinfo=UTC)


async def test_a_clock_that_jumps_back_and_forth_brings_nothing_up_twice(spring: House) -> None:
    """What was brought up stays brought up, and what is still to come waits for its instant."""
    await spring.hear("anna", "remind cut 2026-03-07 09:00")
    await spring.hear("anna", "remind feed 2026-03-10 09:00")
    for jump, expected in ((2, 1), (-50, 0), (50, 0), (-2, 0), (80, 1), (-80, 0), (90, 0)):
        spring.pass_time(hours=jump)
        assert await spring.bring_up_all() == expected

    assert [words for words in await spring.told("anna") if words.startswith("due")] == ["due 3 1/cut", "due 4 1/feed"]


async def test_reminders_go_to_where_the_homeowner_was_last_heard(spring: House) -> None:
    """Somebody who moved to another device is reminded there."""
    await spring.hear("phone", "remind cut 2026-03-07 09:00")
    await spring.change("INSERT INTO contact (channel, address, homeowner_id) VALUES ('web', 'laptop', 1)")
    await spring.hear("laptop", "hello")
    spring.pass_time(hours=2)
    await spring.bring_up_all()

    assert spring.rows("SELECT address FROM outbox WHERE urgency = 2") == [("laptop",)]
    assert spring.value("SELECT address FROM homeowner") == "laptop"


async def test_a_reminder_that_breaks_is_tried_again_later_and_holds_up_nobody(
    spring: House, caplog: pytest.LogCaptureFixture
) -> None:
    """After a fault of ours: 1, 2, 4 and 8 hours later, then given up with an error in the log. Nothing is said."""
    await spring.hear("anna", "remind break 2026-03-07 09:00")
    await spring.hear("bert", "remind cut 2026-03-07 09:00")
    spring.pass_time(hours=2)

    tries = 0
    for hours in (0, 1, 2, 4, 8, 100):
        spring.pass_time(hours=hours)
        tries += await spring.bring_up_all()

    assert tries == 6  # five for anna, one for bert
    assert spring.rows("SELECT state, attempts FROM reminder ORDER BY id") == [(3, 5), (1, 0)]
    assert await spring.told("anna") == ["counted 1 remind break 2026-03-07 09:00"]
    assert (await spring.told("bert"))[-1] == "due 2 1/cut"
    assert caplog.text.count("could not be taken") == 5


@pytest.mark.usefixtures("refusals")
async def test_reminders_the_database_refuses_hold_up_nobody(tmp_path: Path) -> None:
    """The one whose rows are refused is found and put off; everybody else is reminded."""

    def too_many_lawns(homeowner: Homeowner) -> frozenset[Reminder]:
        wanted = TALK.wanted_reminders(homeowner)
        huge = Reminder(lawn=2**70, task="x", due_on=EIGHT.date(), hour=9, minute=0)
        return wanted | {huge} if homeowner.language == "xx" else wanted

    def reduce(*args: object) -> object:
        outcome = TALK.reduce(*args)  # type: ignore[arg-type]
        if isinstance(args[1], RemindersDue) and any(one.task == "huge" for one in args[1].reminders):
            return replace(outcome, homeowner=replace(outcome.homeowner, language="xx"))
        return outcome

    talk = replace(TALK, reduce=reduce, wanted_reminders=too_many_lawns)  # type: ignore[arg-type]
    async with open_house(tmp_path, talk=talk, at=EIGHT) as house:
        for address, task in (("anna", "cut"), ("bert", "huge"), ("carl", "cut")):
            await house.hear(address, f"remind {task} 2026-03-07 09:00")
        house.pass_time(hours=2)

        assert await house.bring_up_all() == 3
        assert house.rows("SELECT state, attempts FROM reminder ORDER BY id") == [(1, 0), (0, 1), (1, 0)]
        assert (await house.told("carl"))[-1] == "due 2 1/cut"
        assert len(await house.told("bert")) == 1


async def test_nothing_due_takes_no_write_lock(spring: House) -> None:
    """The look every second must not stand in anybody's way."""
    await spring.hear("anna", "remind cut 2026-03-09 09:00")
    async with spring.locked():
        assert await spring.service.reminders_due() == 0


async def test_a_brought_up_reminder_is_part_of_the_record(spring: House) -> None:
    """What our own clock brought up stands in the inbox, but not in the conversation."""
    await spring.hear("anna", "remind cut 2026-03-07 09:00")
    spring.pass_time(hours=2)
    await spring.bring_up_all()

    assert spring.rows("SELECT channel, external_digest, homeowner_id FROM inbox ORDER BY id")[1] == ("clock", None, 1)
    assert [bool(entry.incoming) for entry in await spring.conversation("anna")] == [True, False, False]


async def test_mending_sets_rows_right_after_an_upgrade_that_wishes_otherwise(spring: House) -> None:
    """Missing rows are made, wrong instants moved, unwanted rows cancelled; what was brought up is left alone."""
    for task, day in (("cut", "07"), ("feed", "09"), ("water", "10")):
        await spring.hear("anna", f"remind {task} 2026-03-{day} 09:00")
    spring.pass_time(hours=2)
    await spring.bring_up_all()
    await spring.change("UPDATE reminder SET due_ms = due_ms + 3600000 WHERE task = 'feed'")
    await spring.change("DELETE FROM reminder WHERE task = 'water'")
    await spring.change(
        "INSERT INTO reminder (homeowner_id, lawn, task, due_on, hour, minute, zone, due_ms)"
        " VALUES (1, 1, 'old', '2026-03-12', 9, 0, 'America/New_York', 1773320400000)"
    )

    assert await spring.service.mend_reminders() == 1
    assert await spring.service.mend_reminders(after_id=1) is None

    assert dict(spring.rows("SELECT task, state FROM reminder")) == {"cut": 1, "feed": 0, "water": 0, "old": 2}
    assert datetime(2026, 3, 9, 13, 0, tzinfo=UTC) in _due_instants(spring)
    assert datetime(2026, 3, 10, 13, 0, tzinfo=UTC) in _due_instants(spring)


async def test_mending_gives_new_tries_to_what_was_given_up(spring: House) -> None:
    """A fault that lasted a day is mended: the reminder nobody was told is due again. What was told is not."""
    for task in ("cut", "water"):
        await spring.hear("anna", f"remind {task} 2026-03-09 09:00")
    await spring.change("UPDATE reminder SET state = 3, attempts = 5 WHERE task = 'cut'")
    await spring.change("UPDATE reminder SET state = 1 WHERE task = 'water'")
    await spring.service.mend_reminders()

    assert dict(spring.rows("SELECT task, state FROM reminder")) == {"cut": 0, "water": 1}
    assert spring.value("SELECT attempts FROM reminder WHERE task = 'cut'") == 0


async def test_who_wants_quiet_gets_nothing_that_was_still_to_be_sent(spring: House) -> None:
    """A reminder waits in the queue when somebody says stop: it is taken back; the answer to "stop" goes out."""
    await spring.hear("anna", "remind cut 2026-03-07 09:00")
    spring.pass_time(hours=2)
    await spring.bring_up_all()
    assert spring.value("SELECT count(*) FROM outbox WHERE urgency = 2 AND state = 0") == 1
    await spring.hear("anna", "hush")

    assert spring.value("SELECT count(*) FROM outbox WHERE urgency = 2 AND state = 0") == 0
    assert (await spring.told("anna"))[-1] == "counted 3 hush"


async def test_mending_skips_homeowners_who_cannot_be_loaded(spring: House, caplog: pytest.LogCaptureFixture) -> None:
    """One damaged document is an error in the log, and keeps nobody else from being set right."""
    for address in ("anna", "bert"):
        await spring.hear(address, "remind cut 2026-03-09 09:00")
    await spring.change("UPDATE homeowner SET doc = '{\"colour\": 1}' WHERE address = 'anna'")
    await spring.change("DELETE FROM reminder")
    await spring.service.mend_reminders()

    assert spring.rows("SELECT homeowner_id FROM reminder") == [(2,)]
    assert "Homeowner 1 cannot be loaded" in caplog.text


def _due_instants(house: House) -> list[datetime]:
    return [datetime.fromtimestamp(ms / 1000, UTC) for (ms,) in house.rows("SELECT due_ms FROM reminder ORDER BY id")]
