"""What counts of what was said of regions: the smallest, piece by piece; and a ban that no longer reads stays a ban."""

from __future__ import annotations

import logging
from datetime import date

import pytest

from bot.ops.local.book import LocalBook
from bot.ops.local.pieces import Piece
from bot.ops.local.refused import LocalRefused
from bot.ops.regions.book import RegionBook
from bot.ops.regions.by_place import KeepingUp
from bot.ops.roles import Operator, Role
from bot.store import audits, operators
from bot.store.operators import NewOperator
from bot.talk.case import Place
from rules.feed_bans import FeedBan
from tests.ops.learning.town import BIBB, GLYNN
from tests.ops.local.conftest import Office

SUMMER = {"spans": "06-01..09-30", "code": "County code 19"}
YEAR = {"spans": "01-01..12-31", "code": "State act"}


def no_zip(latitude: float, longitude: float) -> str | None:
    return None


def ban_of(rules: object) -> FeedBan:
    ban = getattr(rules, "nitrogen_ban", None)
    assert isinstance(ban, FeedBan)
    return ban


async def test_the_smallest_region_counts_piece_by_piece(office: Office) -> None:
    """A county that says nothing of a piece has the state's; a place in no region and one not known have none. But a
    county's ban does not lift its state's: both hold.
    """
    await office.say(office.county, Piece.NITROGEN_BAN, **SUMMER)
    await office.say(office.state, Piece.NITROGEN_BAN, **YEAR)
    await office.say(office.state, Piece.NOTE, words="Of the state.")
    in_county, in_state = await office.at(GLYNN), await office.at(BIBB)
    elsewhere = Place(name="", county="", state="FL", zone="America/New_York", latitude=28.0, longitude=-82.0)

    assert in_county is not None and in_state is not None
    assert [each.code for each in ban_of(in_county).each] == ["County code 19", "State act"]
    assert ban_of(in_county).is_on(date(2027, 1, 2)), "the state's, in a month the county leaves free"
    assert in_county.note == "Of the state."
    assert (ban_of(in_state).code, in_state.note) == ("State act", "Of the state.")
    assert await office.at(elsewhere) is None
    assert await office.at(None) is None


async def test_a_piece_said_anew_counts_and_taken_back_the_older_one_does(office: Office) -> None:
    """Nothing said any more lets the region around it count; each change stands in the record of who did what."""
    await office.say(office.state, Piece.NOTE, words="Of the state.")
    await office.say(office.county, Piece.NOTE, words="First.")
    second = await office.say(office.county, Piece.NOTE, words="Second.")
    notes = [(await office.at(GLYNN)).note]  # type: ignore[union-attr]
    await office.keeping.undo(office.county, second, None)
    notes.append((await office.at(GLYNN)).note)  # type: ignore[union-attr]
    ended = await office.say(office.county, Piece.NOTE)
    notes.append((await office.at(GLYNN)).note)  # type: ignore[union-attr]
    await office.keeping.undo(office.county, ended, None)
    notes.append((await office.at(GLYNN)).note)  # type: ignore[union-attr]

    assert notes == ["Second.", "First.", "Of the state.", "First."]
    async with office.house.store.database.read() as tx:
        deeds = [deed for _, deed in await audits.latest(tx)]
    of_county = [each.act for each in reversed(deeds) if each.about == f"region {office.county}"]
    assert of_county == [
        "drew",
        "set local rule",
        "set local rule",
        "took back local rule",
        "ended local rule",
        "took back local rule",
    ]


async def test_only_the_newest_word_can_be_taken_back_and_only_once(office: Office) -> None:
    """Nor by way of another region."""
    first = await office.say(office.county, Piece.NOTE, words="First.")
    second = await office.say(office.county, Piece.NOTE, words="Second.")
    for region, rule in ((office.county, first), (office.state, second), (office.county, 99)):
        with pytest.raises(LocalRefused, match="not the newest"):
            await office.keeping.undo(region, rule, None)
    await office.keeping.undo(office.county, second, None)
    with pytest.raises(LocalRefused, match="taken back before"):
        await office.keeping.undo(office.county, second, None)


async def test_only_who_may_draw_regions_says_what_holds_in_them(office: Office) -> None:
    """A reader and an advisor are refused and nothing is written."""
    for role in (Role.READER, Role.ADVISOR):
        async with office.house.store.database.write() as tx:
            new = await operators.add(tx, NewOperator(name=f"Ann the {role}", role=role, made_ms=0))
        with pytest.raises(LocalRefused, match="Only an approver"):
            await office.keeping.say(office.county, {Piece.NOTE: "{}"}, Operator(id=new, name="Ann", role=role))

    assert office.house.value("SELECT count(*) FROM local_rule") == 0


async def test_what_is_typed_over_an_older_state_is_refused(office: Office) -> None:
    """Two people at the same form: the second is told, and undoes nothing unseen."""
    seen = (await office.keeping.kept(office.county)).newest
    await office.say(office.county, Piece.NITROGEN_BAN, **SUMMER)
    with pytest.raises(LocalRefused, match="Somebody else"):
        await office.keeping.say(office.county, {Piece.NITROGEN_BAN: None}, None, seen=seen)

    assert ban_of(await office.at(GLYNN)).code == "County code 19"


async def test_a_region_that_ended_says_nothing(office: Office) -> None:
    """And nothing can be said of it, nor of one that never was."""
    await office.say(office.county, Piece.NOTE, words="Of the county.")
    book = RegionBook(office.house.store.database, office.house.clock)
    await book.end(await book.named("County"), by=None)

    assert await office.at(GLYNN) is None
    for region in (office.county, 99):
        with pytest.raises(LocalRefused, match="no such region"):
            await office.say(region, Piece.NOTE, words="More.")


@pytest.mark.parametrize(
    "doc", ["", "{}", "{", '{"code": "x", "spans": []}', '{"code": "x", "spans": ["06-31..07-01"]}']
)
async def test_a_ban_that_no_longer_reads_is_a_ban_for_every_day(
    office: Office, doc: str, caplog: pytest.LogCaptureFixture
) -> None:
    """It is an error in the log, once; other pieces that no longer read are left out."""
    await office.say(office.county, Piece.NITROGEN_BAN, **SUMMER)
    await office.say(office.county, Piece.NOTE, words="Of the county.")
    await office.say(office.county, Piece.CONTACT, words="555-0100")
    await office.house.change("UPDATE local_rule SET doc = ? WHERE piece <> 'contact'", doc)
    book = LocalBook(no_zip)
    with caplog.at_level(logging.ERROR, logger="bot.ops.local.book"):
        await book.refresh(office.house.store.database)
        await book.refresh(office.house.store.database)
    rules = book.at(GLYNN)

    assert ban_of(rules).is_unread
    assert rules is not None and (rules.note, rules.contact_line) == ("", "555-0100")
    assert [("every day" in each.message, "left out" in each.message) for each in caplog.records] == [
        (True, False),
        (False, True),
    ]


async def test_a_ban_of_an_unknown_kind_or_of_a_region_that_cannot_be_drawn_is_one(office: Office) -> None:
    """The first where it holds, the second everywhere, since nobody knows where."""
    await office.say(office.county, Piece.NOTE, words="Of the county.")
    await office.house.change("UPDATE local_rule SET piece = 'potash_ban'")
    assert ban_of(await office.at(GLYNN)).is_unread
    assert await office.at(BIBB) is None

    await office.say(office.county, Piece.NITROGEN_BAN, **SUMMER)
    await office.house.change("UPDATE region SET shape = '{' WHERE id = ?", office.county)
    for place in (GLYNN, BIBB, None):
        rules = await office.at(place)
        assert ban_of(rules).is_unread
        assert rules is not None and rules.note == ""


async def test_a_running_service_hears_of_it(office: Office) -> None:
    """What held before it started is no news; what comes or goes while it runs is, once each."""
    book, heard = LocalBook(no_zip), []

    async def changed() -> None:
        rules = book.at(GLYNN)
        heard.append(rules.note if rules is not None else None)

    await office.say(office.county, Piece.NOTE, words="First.")
    keeping = KeepingUp([book], office.house.store.database, changed)
    await keeping.run()
    second = await office.say(office.county, Piece.NOTE, words="Second.")
    await keeping.run()
    await keeping.run()
    await office.keeping.undo(office.county, second, None)
    await keeping.run()

    assert heard == ["Second.", "First."]
