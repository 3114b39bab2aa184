"""The keeper's pages: letting people in and out, and the record of who did what."""

from __future__ import annotations

import re

import pytest

from bot.ops.desk.staff import DEEDS_A_PAGE
from bot.ops.roles import Role
from bot.store import audits
from bot.store.audits import Deed
from tests.fakes.desk import DeskHouse
from tests.fakes.house import House

PASSWORD = "seven quiet plugs of grass"


def deeds(house: House) -> list[tuple[object, ...]]:
    """What was written down: who, what, about whom, and what else."""
    return house.rows("SELECT operator_id, act, about, detail FROM audit ORDER BY id")


async def test_the_record_tells_who_did_what(at: DeskHouse, house: House) -> None:
    """Every way in and out, and everything done to operators, by id, with nothing typed in it."""
    keeper = await at.sits_with_password("Ruth", Role.KEEPER, PASSWORD)
    me = keeper.operator_id
    assert me is not None
    await keeper.look("/operators")
    await keeper.send("/operators", {"name": "Ann", "role": "advisor"})
    await keeper.look("/operators")
    await keeper.send(f"/operators/{me + 1}/role", {"role": "approver"})
    await keeper.send(f"/operators/{me + 1}/link")
    link = re.search(r"<code>.*?/desk(/link/.*?)</code>", keeper.seen)
    assert link
    ann = at.nobody()
    await ann.look(link[1])
    await ann.send(link[1])
    await ann.look("/password")
    await ann.send("/password", {"new": "nine loud mowers at dawn", "again": "nine loud mowers at dawn"})
    await ann.send("/sign-out")
    await at.sign_in_at_once("ruth", "not hers at all", "203.0.113.1")
    await at.sign_in_at_once("whoever", "not theirs at all", "203.0.113.1")
    await at.sign_in_at_once("ruth", PASSWORD, "203.0.113.1")
    await keeper.look("/operators")
    await keeper.send(f"/operators/{me + 1}/let-go")

    assert deeds(house) == [
        (me, "let in", f"operator {me + 1}", "advisor"),
        (me, "changed the role of", f"operator {me + 1}", "advisor to approver"),
        (me, "made a link for", f"operator {me + 1}", ""),
        (me + 1, "signed in by link", "desk", ""),
        (me + 1, "changed password", f"operator {me + 1}", ""),
        (me + 1, "signed out", "desk", ""),
        (None, "was not let in", f"operator {me}", ""),
        (None, "was not let in", "no operator", ""),
        (me, "signed in", "desk", ""),
        (me, "let go", f"operator {me + 1}", ""),
    ]


async def test_the_record_is_read_by_name_and_page_by_page(at: DeskHouse, house: House) -> None:
    """Newest first; nobody is called by number; the last page offers no earlier one."""
    keeper = await at.sits(Role.KEEPER, "Ruth")
    async with house.store.database.write() as tx:
        for number in range(DEEDS_A_PAGE + 3):
            about = f"advisory {number}"
            await audits.note(tx, Deed(at_ms=number, operator_id=keeper.operator_id, act="approved", about=about))
        await audits.note(tx, Deed(at_ms=99, operator_id=None, act="let in", about=f"operator {keeper.operator_id}"))
        await audits.note(tx, Deed(at_ms=99, operator_id=None, act="was not let in", about="no operator"))
    await keeper.look("/deeds")
    first = keeper.text
    earlier = re.search(r'href="/desk(/deeds\?before=\d+)"', keeper.seen)
    assert earlier
    await keeper.look(earlier[1])

    assert "Somebody was not let in · no operator" in first
    assert "The command line let in · Ruth" in first
    assert "advisory 52" in first and "advisory 4 " not in f"{first} "
    assert "advisory 4 " in keeper.text and "advisory 5 " not in keeper.text
    assert "Earlier ones" not in keeper.text


@pytest.mark.parametrize("before", ["", "x", "-1", "9" * 30, "0"])
async def test_a_made_up_place_in_the_record_is_a_page(at: DeskHouse, before: str) -> None:
    """Whatever stands in the address."""
    keeper = await at.sits(Role.KEEPER)

    assert (await keeper.look(f"/deeds?before={before}")).status_code == 200


async def test_the_only_keeper_cannot_go_or_be_made_less(at: DeskHouse, house: House) -> None:
    """Somebody always stays who can let others in."""
    keeper = await at.sits(Role.KEEPER, "Ruth")
    told = []
    for path, fields in (
        (f"/operators/{keeper.operator_id}/let-go", {}),
        (f"/operators/{keeper.operator_id}/role", {"role": "reader"}),
    ):
        await keeper.look("/operators")
        await keeper.send(path, fields)
        told.append("That is the only keeper." in keeper.text)

    assert told == [True, True]
    assert house.value("SELECT role FROM operator WHERE ended_ms IS NULL") == "keeper"
    assert deeds(house) == []


async def test_one_keeper_of_two_may_go(at: DeskHouse) -> None:
    """And is out at once, even when it is themselves."""
    keeper, _ = await at.sits(Role.KEEPER, "Ruth"), await at.sits(Role.KEEPER, "Bo")
    await keeper.look("/operators")
    answer = await keeper.send(f"/operators/{keeper.operator_id}/let-go")

    assert str(answer.url).partition("?")[0].endswith("/sign-in")


@pytest.mark.parametrize(
    ("name", "role", "told"),
    [
        ("ruth", "reader", "Somebody has or had that name."),
        ("  RUTH ", "reader", "Somebody has or had that name."),
        ("", "reader", "A name has up to 40"),
        ("x" * 41, "reader", "A name has up to 40"),
        ("<b>Bo</b>", "reader", "A name has up to 40"),
        ("Bo\r\nX", "reader", ""),
        ("Bo", "owner", "Pick one of the roles first."),
    ],
)
async def test_a_name_or_role_that_does_not_do_is_told(at: DeskHouse, name: str, role: str, told: str) -> None:
    """In words, and nobody is let in by it; white space is one space."""
    keeper = await at.sits(Role.KEEPER, "Ruth")
    await keeper.look("/operators")
    await keeper.send("/operators", {"name": name, "role": role})

    assert told in keeper.text if told else "A link for Bo X" in keeper.text


async def test_a_name_that_was_let_go_is_not_given_again(at: DeskHouse) -> None:
    """Who did what stays clear for good."""
    keeper, ann = await at.sits(Role.KEEPER), await at.sits(Role.READER, "Ann")
    await keeper.look("/operators")
    await keeper.send(f"/operators/{ann.operator_id}/let-go")
    await keeper.send("/operators", {"name": "Ann", "role": "reader"})

    assert "Somebody has or had that name." in keeper.text
    assert "Ann, on Tue, Feb 10 2026" in keeper.text


async def test_the_new_link_leads_to_where_the_page_was_opened(at: DeskHouse) -> None:
    """Whole, so that it can be passed on."""
    keeper = await at.sits(Role.KEEPER)
    await keeper.look("/operators")
    await keeper.send("/operators", {"name": "Ann O'Neil-Smith", "role": "advisor"})

    assert re.search(r"<code>http://afterfrost\.test/desk/link/[\w-]{43}</code>", keeper.seen)
