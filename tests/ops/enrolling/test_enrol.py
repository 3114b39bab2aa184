"""Whoever stands on a list is asked once, in their hours, and gets nothing else before they answer."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.arrivals import Consent, ConsentNote
from bot.ops.enrolling.enrol import Enrolled, enrol
from bot.ops.enrolling.invites import code_of, region_of, telegram_link, web_link
from bot.ops.enrolling.lists import Agreed
from bot.store import reaches
from bot.talk.incoming import INVITE
from bot.terms import Terms
from bot.words import Words
from tests.courier.conftest import Post
from tests.fakes.far_side import FarSide
from tests.fakes.house import open_house

WORDS = Words()
NOON = datetime(2026, 10, 20, 19, 0, tzinfo=UTC)  # 15 o'clock in New York
NEEDS_CONSENT = {"sms": Terms(in_flight=2, needs_consent=True)}


def people(count: int) -> list[Agreed]:
    return [
        Agreed(
            line=number + 2,
            number=f"+1912555{100 + number:04d}",
            agreed_at=NOON - timedelta(days=9),
            agreed_to="Text me about my lawn after a freeze",
            where="form at the counter",
        )
        for number in range(count)
    ]


@pytest.fixture
async def post(tmp_path: Path):  # type: ignore[no-untyped-def]
    async with open_house(tmp_path) as house:
        house.clock.set(NOON)
        opened = Post(house)
        yield opened
        await opened.close()


async def test_everybody_is_asked_once_however_often_the_list_comes(post: Post) -> None:
    """The question goes out although nobody has agreed yet; a second time nobody gets anything."""
    store = post.house.store
    assert await enrol(store, WORDS, people(3), NOON, None) == Enrolled(asked=3)
    far = FarSide(name="sms")
    post.start(far, terms=NEEDS_CONSENT)
    await post.settle()
    again = await enrol(store, WORDS, people(3), NOON, None)

    assert again == Enrolled(left_out={"asked before": 3})
    assert sorted(one.address for one in far.arrived) == [each.number for each in people(3)]
    assert all("reply YES" in one.text and "STOP" in one.text for one in far.arrived)


async def test_the_proof_stands_in_the_record(post: Post) -> None:
    """What they agreed to, where and when; and who handed the list in."""
    await enrol(post.house.store, WORDS, people(1), NOON, None)
    async with post.house.store.database.read() as tx:
        (note,) = await reaches.record_of(tx, "sms", people(1)[0].number)

    assert note.consent is Consent.ASKED
    assert note.said == "Text me about my lawn after a freeze"
    assert note.source == "list: form at the counter, 2026-10-11"
    assert post.house.rows("SELECT act, about, detail FROM audit") == [("enrolled", "a list", "1 asked")]


async def test_who_said_no_or_is_with_us_is_left_out(post: Post) -> None:
    """A no counts more than any paper, also after everything else about the number was erased."""
    no, erased, yes = people(3)
    async with post.house.store.database.write() as tx:
        for each, consent in ((no, Consent.WITHDRAWN), (erased, Consent.WITHDRAWN), (yes, Consent.GIVEN)):
            note = ConsentNote(consent=consent, said="", shown="", source="text")
            await reaches.note_consent(tx, "sms", each.number, [note], 1)
        await reaches.erase(tx, [("sms", erased.number)], 2)

    found = await enrol(post.house.store, WORDS, people(4), NOON, None)
    assert found == Enrolled(asked=1, left_out={"said no": 2, "with us already": 1})
    assert post.house.rows("SELECT address FROM outbox") == [(people(4)[3].number,)]


async def test_at_night_nobody_is_asked(post: Post) -> None:
    """Nobody knows where a number lives: the question waits for hours that are right everywhere."""
    post.house.clock.set(NOON.replace(hour=3))
    await enrol(post.house.store, WORDS, people(1), post.house.clock.now(), None)
    far = FarSide(name="sms")
    courier = post.start(far, terms=NEEDS_CONSENT)
    await post.until(lambda: post.house.value("SELECT due_ms FROM outbox") > 0)

    assert far.arrived == []
    post.house.clock.set(NOON)
    courier.wake()
    await post.settle()
    assert len(far.arrived) == 1


@given(st.integers(1, 10**8), st.binary(min_size=32, max_size=32))
def test_a_code_tells_whose_it_is_and_fits_every_link(region_id: int, secret: bytes) -> None:
    """Made here it is known, made elsewhere not."""
    code = code_of(secret, region_id)

    assert region_of(secret, code) == region_id
    assert region_of(secret[::-1] + b"x", code) is None
    assert INVITE.fullmatch(code)


@pytest.mark.parametrize("code", ["", "r1", "r1-", "r-abcdefgh", "r1-ABCDEFGH", "r1-abcdefgh ", "r1-abcdefg1"])
def test_what_is_no_code_is_nobody_s(code: str) -> None:
    """Without an error."""
    assert region_of(b"secret", code) is None


def test_links_lead_to_page_and_chat() -> None:
    """As they stand on a leaflet."""
    assert web_link("https://lawn.example/", "r3-abcdefgh") == "https://lawn.example/?from=r3-abcdefgh"
    assert telegram_link("@lawn_example_bot", "r3-abcdefgh") == "https://t.me/lawn_example_bot?start=r3-abcdefgh"
