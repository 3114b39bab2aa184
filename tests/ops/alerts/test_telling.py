"""Operators hear of a new draft: once, those who can do something about it, and at night only when it cannot wait."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.channels.sms.segments import gsm_text, segments_of
from bot.hours import opens_at
from bot.ops.alerts.telling import STILL_NEWS, DraftNews, hours_for
from bot.ops.roles import Role
from bot.store import operators, schema
from bot.store.operators import NewOperator
from bot.store.rows import load_rendered
from bot.terms import Terms
from bot.words import Words
from tests.courier.conftest import Post
from tests.fakes.far_side import FarSide
from tests.fakes.house import House, open_house
from tests.ops.alerts.made import NOW
from tests.ops.alerts.test_keeping import FREEZE, Desk

WORDS = Words()
ZONE = "America/New_York"
NIGHT = datetime(2027, 1, 15, 4, 0, tzinfo=UTC)  # 11 in the evening in New York, on the 14th


class Told(Desk):
    """A desk whose operators have channels."""

    def __init__(self, house: House, public: str = "https://lawn.example/desk/") -> None:
        super().__init__(house)
        self.public = public

    def news(self) -> DraftNews:
        """As a service has it after a start."""
        return DraftNews(self.house.store, self.house.clock, WORDS, short=("sms",), desk=self.public)

    async def let_in(self, name: str, role: Role, channel: str | None, address: str | None) -> int:
        async with self.house.store.database.write() as tx:
            operator_id = await operators.add(tx, NewOperator(name=name, role=role, made_ms=1))
            await operators.set_channel(tx, operator_id, channel, address)
        return operator_id

    def letters(self) -> list[tuple[str, str]]:
        rows = self.house.rows("SELECT address, body FROM outbox ORDER BY id")
        return [(address, load_rendered(body).text) for address, body in rows]


@asynccontextmanager
async def telling(folder: Path) -> AsyncIterator[Told]:
    async with open_house(folder) as house:
        house.clock.set(NOW)
        yield Told(house)


@pytest.fixture
async def desk(tmp_path: Path) -> AsyncIterator[Told]:
    async with telling(tmp_path) as opened:
        yield opened


async def test_whoever_may_write_drafts_hears_of_a_new_one_once(tmp_path: Path) -> None:
    """Not readers, not those without a channel or let go; not again after a restart or an update of the draft."""
    async with telling(tmp_path) as desk:
        for name, role, channel in (
            ("Ada", Role.ADVISOR, "web"), ("Ben", Role.READER, "web"), ("Cas", Role.KEEPER, "sms"),
            ("Dee", Role.APPROVER, None), ("Eve", Role.APPROVER, "web"),
        ):  # fmt: skip
            operator_id = await desk.let_in(name, role, channel, channel and name.lower())
        async with desk.house.store.database.write() as tx:
            await operators.end(tx, operator_id, 2)
        assert await desk.news().run() == 0
        await desk.take(FREEZE)
        assert [await desk.news().run() for _ in range(2)] == [2, 0]
        letters = desk.letters()
    async with telling(tmp_path) as desk:
        await desk.take(FREEZE.later(5, ends="2027-01-16T14:00:00-05:00"))
        assert await desk.news().run() == 0

    assert letters == [
        (
            "ada",
            "Draft 1 waits for you: Freeze warning, Sat, Jan 16: Tarrow; Sound. Nobody gets it until a person approves "
            "it.\n\nSee https://lawn.example/desk/advisories/1",
        ),
        (
            "cas",
            "Draft 1: Freeze warning, Sat, Jan 16: Tarrow; Sound. Nobody gets it unless approved.\n"
            "See https://lawn.example/desk/advisories/1",
        ),
    ]


async def test_it_stands_in_the_record_with_no_address(desk: Told) -> None:
    """Who did what tells that they were told, and how many."""
    await desk.let_in("Ada", Role.ADVISOR, "web", "ada")
    await desk.take(FREEZE)
    await desk.news().run()

    told = desk.house.rows("SELECT operator_id, about, detail FROM audit WHERE act = 'told operators of'")
    assert told == [(None, "advisory 1", "1 letters")]


async def test_the_letter_arrives(tmp_path: Path) -> None:
    """By the courier, as any other."""
    async with telling(tmp_path) as desk:
        await desk.let_in("Ada", Role.ADVISOR, "web", "ada")
        await desk.take(FREEZE)
        await desk.news().run()
        post = Post(desk.house)
        far = FarSide()
        post.start(far, terms={"web": Terms()})
        await post.settle()
        assert [(one.address, one.text[:22]) for one in far.arrived] == [("ada", "Draft 1 waits for you:")]
        await post.close()


async def test_a_draft_that_was_decided_on_or_is_old_is_no_news(desk: Told) -> None:
    """Approved, dropped, of no more use; and one from days before anybody had a channel."""
    await desk.take(FREEZE)
    await desk.approve(1)
    second = FREEZE.later(1, identifier="urn:made:b", msg_type="Alert", references="", vtec="")
    await desk.take(second)
    await desk.drafts.drop(2, None)
    await desk.let_in("Ada", Role.ADVISOR, "web", "ada")
    assert await desk.news().run() == 0

    late = FREEZE.later(
        2, identifier="urn:made:c", msg_type="Alert", references="", vtec="", ends="2027-01-25T10:00:00-05:00"
    )
    await desk.take(late)
    desk.house.clock.set(NOW + STILL_NEWS + timedelta(minutes=1))
    assert await desk.news().run() == 0
    assert len(await desk.all()) == 3


async def test_a_letter_is_one_text_message_where_the_link_is_short(desk: Told) -> None:
    """However much the name of a draft says."""
    await desk.let_in("Ada", Role.ADVISOR, "sms", "+15555550100")
    await desk.take(FREEZE.later(1, msg_type="Alert", references="", polygons=("31,-81 31,-82 32,-82 31,-81",)))
    await desk.house.change(
        "UPDATE advisory SET doc = json_set(doc, '$.name', ?)", "Own estimate, Wed, Sep 22, " + "Coast " * 20
    )
    await desk.news().run()
    ((_, letter),) = desk.letters()

    assert "..." in letter
    assert letter.endswith("See https://lawn.example/desk/advisories/1")
    assert segments_of(gsm_text(letter)) == 1


@pytest.mark.parametrize(
    ("begins", "now", "hours"),
    [
        ("2027-01-16T00:00-05:00", "2027-01-15T13:00-05:00", "by day"),
        ("2027-01-15T03:00-05:00", "2027-01-14T23:00-05:00", "at once"),
        ("2027-01-15T11:59-05:00", "2027-01-14T23:00-05:00", "at once"),
        ("2027-01-15T12:00-05:00", "2027-01-14T23:00-05:00", "by day"),
        ("2027-01-16T00:00-05:00", "2027-01-15T05:00-05:00", "by day"),
        ("2027-01-15T10:00-05:00", "2027-01-15T05:00-05:00", "at once"),
        ("2027-01-14T20:00-05:00", "2027-01-14T23:00-05:00", "at once"),
    ],
)
def test_a_letter_at_night_waits_unless_the_cold_begins_before_the_next_noon(begins: str, now: str, hours: str) -> None:
    """By the clock where most lawns are."""
    expected = None if hours == "at once" else f"{ZONE} 7 21"

    assert hours_for(datetime.fromisoformat(begins), datetime.fromisoformat(now), ZONE) == expected


@given(st.integers(0, 400 * 24 * 60), st.integers(-48 * 60, 10 * 24 * 60))
def test_a_letter_never_comes_too_late_to_do_anything(minute: int, ahead: int) -> None:
    """Whenever it is written, over clock changes too: it leaves at once, or hours before the cold begins."""
    now = datetime(2027, 1, 1, tzinfo=UTC) + timedelta(minutes=minute)
    begins = now + timedelta(minutes=ahead)
    hours = hours_for(begins, now, ZONE)
    leaves = now if hours is None else opens_at(hours, now) or now

    assert leaves == now or begins - leaves >= timedelta(hours=4)


async def test_at_night_it_waits_in_the_outbox(desk: Told) -> None:
    """With the hours it keeps, and not behind a digest."""
    desk.house.clock.set(NIGHT)
    await desk.let_in("Ada", Role.ADVISOR, "web", "ada")
    await desk.take(FREEZE)
    await desk.news().run()

    assert desk.house.rows("SELECT urgency, hours FROM outbox") == [(schema.ADVISORY, f"{ZONE} 7 21")]
