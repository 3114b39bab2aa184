"""The desk's local rules as an operator works with them, without scripts."""

from __future__ import annotations

import re
from collections.abc import AsyncIterator

import pytest

from bot.ops.desk.local_pages import LocalRoom
from bot.ops.local.pieces import Piece
from bot.ops.roles import Role
from tests.fakes.desk import DeskHouse, Sitting, open_desk
from tests.ops.learning.town import GLYNN
from tests.ops.local.conftest import Office
from tests.talk.conversation import WORDS

BAN = {"nitrogen_ban.spans": "June to September", "nitrogen_ban.code": "County code 19"}


@pytest.fixture
async def at(office: Office) -> AsyncIterator[DeskHouse]:
    """The desk with this room."""
    async with open_desk(office.house, WORDS, [LocalRoom()]) as opened:
        yield opened


async def opened(at: DeskHouse, office: Office, role: Role = Role.APPROVER) -> Sitting:
    """Somebody with the county in front of them."""
    sitting = await at.sits(role, f"Ann the {role}")
    await sitting.look(f"/local/{office.county}")
    return sitting


def seen_of(sitting: Sitting) -> dict[str, str]:
    found = re.search(r'name="seen" value="(\d+)"', sitting.seen)
    assert found
    return {"seen": found[1]}


async def keep(sitting: Sitting, office: Office, **fields: object) -> int:
    return (await sitting.send(f"/local/{office.county}", seen_of(sitting) | fields)).status_code


async def test_what_is_typed_holds_is_listed_and_can_be_taken_back(at: DeskHouse, office: Office) -> None:
    """With who said it and when; then what was said before counts again."""
    sitting = await opened(at, office)
    await keep(sitting, office, **BAN, **{"watering.weekdays": ["tue", "sat"], "watering.code": "District rule"})
    assert "Kept. Homeowners are told" in sitting.text
    assert "County code 19: from Jun 1 to Sep 30" in sitting.text
    assert "District rule: Tuesday and Saturday" in sitting.text
    assert "06-01..09-30</textarea>" in sitting.seen
    assert sitting.seen.count(" checked") == 2
    await sitting.look("/local")
    assert "County code 19: from Jun 1 to Sep 30" in sitting.text
    await sitting.look(f"/local/{office.county}")
    assert "Ann the approver, " in sitting.text
    rule = office.house.value("SELECT id FROM local_rule WHERE piece = 'nitrogen_ban'")
    await sitting.send(f"/local/{office.county}/undo/{rule}")

    assert "Taken back. What was said before counts again." in sitting.text
    rules = await office.at(GLYNN)
    assert rules is not None and rules.nitrogen_ban is None and rules.watering is not None
    assert office.house.rows("SELECT act, detail FROM audit WHERE act LIKE '%local rule'") == [
        ("set local rule", f"nitrogen_ban ({rule})"),
        ("set local rule", f"watering ({rule + 1})"),
        ("took back local rule", f"nitrogen_ban ({rule})"),
    ]


async def test_what_cannot_be_read_keeps_nothing_and_the_form_as_it_was_typed(at: DeskHouse, office: Office) -> None:
    """Neither the ban nor what stands right beside it."""
    sitting = await opened(at, office)
    wrong = {"nitrogen_ban.spans": "summer", "nitrogen_ban.code": "<b>19</b>", "note.words": "Hello."}

    assert await keep(sitting, office, **wrong) == 400
    assert "Feeding ban: 'summer' is no span of days." in sitting.text
    assert "Nothing was kept." in sitting.text
    assert "summer</textarea>" in sitting.seen and 'value="Hello."' in sitting.seen
    assert "&lt;b&gt;19" in sitting.seen and "<b>19" not in sitting.seen
    assert office.house.value("SELECT count(*) FROM local_rule") == 0


async def test_a_form_that_is_older_than_what_holds_changes_nothing(at: DeskHouse, office: Office) -> None:
    """Nor does one that does not tell what it was filled from."""
    sitting = await opened(at, office)
    seen = seen_of(sitting)
    await office.say(office.county, Piece.NITROGEN_BAN, spans="06-01..09-30", code="County code 19")
    for fields in (seen, {}):
        assert (await sitting.send(f"/local/{office.county}", fields)).status_code == 400
        assert "Somebody else changed this region meanwhile" in sitting.text

    assert office.house.value("SELECT count(*) FROM local_rule") == 1


async def test_a_ban_that_no_longer_reads_is_shown_and_is_not_ended_by_its_empty_fields(
    at: DeskHouse, office: Office
) -> None:
    """It goes when somebody types it again, or takes it back."""
    await office.say(office.county, Piece.NITROGEN_BAN, spans="06-01..09-30", code="County code 19")
    await office.house.change("UPDATE local_rule SET doc = '{'")
    sitting = await opened(at, office)
    assert "What was kept here no longer reads." in sitting.text
    await keep(sitting, office, **{"note.words": "Hello."})
    rules = await office.at(GLYNN)
    assert rules is not None and rules.nitrogen_ban is not None and rules.nitrogen_ban.is_unread
    await keep(sitting, office, **BAN, **{"note.words": "Hello."})
    rules = await office.at(GLYNN)

    assert rules is not None and rules.nitrogen_ban is not None and rules.nitrogen_ban.code == "County code 19"


async def test_a_reader_sees_it_and_finds_nothing_to_press(at: DeskHouse, office: Office) -> None:
    """The form is for those who may draw regions."""
    await office.say(office.county, Piece.NOTE, words="Office hours are Tuesday.")
    for role in (Role.READER, Role.ADVISOR):
        sitting = await opened(at, office, role)
        assert "Office hours are Tuesday." in sitting.text
        assert "Keep this" not in sitting.text and "Take this back" not in sitting.text
        assert (await sitting.send(f"/local/{office.county}", {"seen": "1"})).status_code == 403

    assert office.house.value("SELECT count(*) FROM local_rule") == 1


async def test_a_region_that_is_none_is_missing(at: DeskHouse) -> None:
    """Looked at, said of, and taken back in."""
    sitting = await at.sits(Role.APPROVER)
    statuses = [
        (await sitting.look("/local/99")).status_code,
        (await sitting.send("/local/99", {"seen": "0"})).status_code,
        (await sitting.send("/local/99/undo/1")).status_code,
    ]

    assert statuses == [404, 404, 404]
