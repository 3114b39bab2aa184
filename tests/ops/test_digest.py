"""The digest: once a week, to whoever has a channel, with what moved, who is stuck and what is due."""

from __future__ import annotations

from collections.abc import AsyncIterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from bot.ops.digest.letter import digest_letter
from bot.ops.digest.weekly import WeeklyDigest, last_monday
from bot.store import digests, operators, schema
from bot.store.digests import Week
from bot.store.operators import NewOperator
from bot.talk.case import Homeowner
from bot.terms import Terms
from bot.words import Words
from tests.courier.conftest import Post
from tests.fakes.far_side import FarSide
from tests.fakes.house import open_house

WORDS = Words()
MONDAY = datetime(2026, 3, 9, 14, 0, tzinfo=UTC)  # 10 o'clock in New York


@pytest.fixture
async def post(tmp_path: Path) -> AsyncIterator[Post]:
    async with open_house(tmp_path) as house:
        house.clock.set(MONDAY)
        opened = Post(house)
        yield opened
        await opened.close()


def weekly(post: Post) -> WeeklyDigest:
    desk = "https://x.example/desk"
    return WeeklyDigest(post.house.store, post.house.clock, WORDS, short=("sms",), desk=desk)


async def let_in(post: Post, name: str, channel: str | None, address: str | None) -> int:
    async with post.house.store.database.write() as tx:
        operator_id = await operators.add(tx, NewOperator(name=name, role="advisor", made_ms=1))
        await operators.set_channel(tx, operator_id, channel, address)
    return operator_id


def shown(week: Week, before: dict[str, int] | None = None) -> str:
    letter = digest_letter(week, before or {}, date(2026, 3, 9), "https://x.example/desk")
    return WORDS.render(letter, Homeowner()).text


async def test_it_goes_out_once_a_week_to_whoever_has_a_channel(post: Post) -> None:
    """Asked again nothing goes out, a week later it does; after a month away it goes out once."""
    await let_in(post, "Ada", "web", "ada")
    await let_in(post, "Ben", None, None)
    assert [await weekly(post).run() for _ in range(3)] == [1, 0, 0]
    far = FarSide()
    post.start(far, terms={"web": Terms()})
    await post.settle()
    assert [one.address for one in far.arrived] == ["ada"]
    assert "The week of" in far.arrived[0].text

    post.house.pass_time(hours=6 * 24)
    assert await weekly(post).run() == 0
    post.house.pass_time(hours=24)
    assert await weekly(post).run() == 1
    post.house.pass_time(hours=29 * 24)
    assert [await weekly(post).run() for _ in range(2)] == [1, 0]


async def test_it_stands_behind_everything_else_and_keeps_hours(post: Post) -> None:
    """At night it waits, and a reply is never behind it."""
    await let_in(post, "Ada", "web", "ada")
    post.house.clock.set(MONDAY.replace(hour=11, minute=30))  # 7:30 there
    await weekly(post).run()
    ((urgency, hours),) = post.house.rows("SELECT urgency, hours FROM outbox")

    assert (urgency, hours) == (schema.DIGEST, "America/New_York 8 20")


async def test_who_was_let_go_gets_none(post: Post) -> None:
    """From the same moment."""
    ada = await let_in(post, "Ada", "web", "ada")
    async with post.house.store.database.write() as tx:
        await operators.end(tx, ada, 2)

    assert await weekly(post).run() == 0


async def test_what_is_counted_is_what_is_there(post: Post) -> None:
    """Beside the rows themselves, and compared with the week before."""
    for name in ("anna", "bert"):
        await post.house.hear(name, "hello")
    await post.house.hear("anna", "person why is it brown")
    now_ms = int(MONDAY.timestamp() * 1000)
    async with post.house.store.database.read() as tx:
        week = await digests.week(tx, now_ms)
        later = await digests.week(tx, now_ms + 8 * 24 * 3_600_000)

    assert (week.newcomers, week.heard) == (2, 2)
    assert (later.newcomers, later.heard) == (0, 0)
    assert later.questions_open == week.questions_open
    assert later.oldest_question_days == (8 if week.questions_open else 0)


async def test_stages_are_compared_with_the_last_digest(post: Post) -> None:
    """Also one that nobody is in any more."""
    async with post.house.store.database.write() as tx:
        await digests.keep_stages(tx, {"waiting": 5, "judged": 1})
        await digests.keep_stages(tx, {"judged": 4})
        assert await digests.stages_before(tx) == {"waiting": 0, "judged": 4}


def test_it_says_what_moved_who_is_stuck_and_what_is_due() -> None:
    """In that order, each in a line of its own."""
    week = Week(
        stages={"waiting": 7, "judged": 4},
        newcomers=1,
        heard=9,
        questions_open=2,
        oldest_question_days=4,
        silent=3,
        due={"judge": 5, "photo": 12, "held": 9},
        advised=40,
    )
    told = shown(week, {"waiting": 10, "judged": 1})

    assert "1 new homeowner, 9 wrote." in told
    assert "waiting for spring 7 (-3)" in told
    assert "judged 4 (+3)" in told
    assert "2 questions wait for you, the oldest for 4 days." in told
    assert "12 × photo and 5 × judging day" in told
    assert "held" not in told
    assert told.endswith("https://x.example/desk")


def test_a_quiet_week_is_said_to_be_one() -> None:
    """No line about nothing, but that nobody is stuck."""
    told = shown(Week())

    assert "Nobody is stuck." in told
    assert "Nothing is due in the next seven days." in told
    assert "given up" not in told


@pytest.mark.parametrize("hours", range(0, 7 * 24, 11))
def test_the_last_monday_is_never_more_than_a_week_ago(hours: int) -> None:
    """Whatever the hour it is asked at."""
    now = MONDAY + timedelta(hours=hours)
    monday = last_monday(now, "America/Chicago")

    assert timedelta() <= now - monday <= timedelta(days=7)
