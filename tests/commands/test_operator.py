"""`afterfrost operator`: the first keeper is made here, beside a running service or without one."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from bot.__main__ import main
from bot.store.operators import by_name
from bot.store.store import DATABASE_FILE
from bot.words import Words
from tests.fakes.desk import open_desk
from tests.fakes.house import open_house


@pytest.fixture
def data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("AFTERFROST_DATA", str(tmp_path / "data"))
    return tmp_path / "data"


def typed(*words: str) -> Result:
    return CliRunner().invoke(main, ["operator", *words])


def listed() -> dict[str, tuple[str, bool]]:
    """By name the role, and whether they were let go."""
    return {
        each["name"]: (each["role"], each["let_go"] is not None) for each in json.loads(typed("list", "--json").output)
    }


def test_the_first_operator_is_made_by_a_command(data: Path) -> None:
    """On a folder that was never started; the link leads to where the page will be."""
    nobody = typed("list")
    made = typed("add", "Ruth Ward", "--role", "keeper")

    assert "operator add NAME --role keeper" in nobody.output
    assert made.exit_code == 0
    assert made.output.splitlines()[-1].startswith("http://127.0.0.1:8090/desk/link/")
    assert listed() == {"Ruth Ward": ("keeper", False)}


def test_links_lead_to_the_public_address(data: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where there is one."""
    monkeypatch.setenv("AFTERFROST_PUBLIC_URL", "https://lawn.example")
    made = json.loads(typed("add", "Ruth", "--role", "keeper", "--json").output)

    assert made["link"].startswith("https://lawn.example/desk/link/")
    assert (made["name"], made["role"], made["has_password"]) == ("Ruth", "keeper", False)


def test_roles_change_and_people_go(data: Path) -> None:
    """Each command says what it did."""
    typed("add", "Ruth", "--role", "keeper")
    typed("add", "Ann", "--role", "reader")
    changed = typed("role", "ann", "approver")
    gone = typed("let-go", "ANN")

    assert changed.output == "Ann: approver, signs in by link\n"
    assert gone.output == "Ann: let go, was approver\n"
    assert listed() == {"Ruth": ("keeper", False), "Ann": ("approver", True)}
    assert [row["name"] for row in json.loads(typed("list", "--json").output)] == ["Ruth", "Ann"]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("add", "ruth", "--role", "reader"), "Take another"),
        (("add", "<>", "--role", "reader"), "A name has up to 40"),
        (("link", "Nobody"), "operator list"),
        (("role", "Ruth", "keeper"), "have already"),
        (("role", "Ruth", "reader"), "the only keeper"),
        (("let-go", "Ruth"), "the only keeper"),
        (("add", "Bo"), "--role"),
        (("add", "Bo", "--role", "owner"), "reader"),
    ],
)
def test_what_cannot_be_done_says_what_to_do(data: Path, words: tuple[str, ...], told: str) -> None:
    """One message, exit code 2, no traceback, and nothing is changed."""
    typed("add", "Ruth", "--role", "keeper")
    result = typed(*words)

    assert result.exit_code == 2
    assert told in result.output
    assert "Traceback" not in result.output
    assert listed() == {"Ruth": ("keeper", False)}


def test_a_link_of_the_command_line_opens_a_desk_that_is_running(data: Path, words: Words) -> None:
    """The folder's lock is held by the service meanwhile; what the command line did is in the record without a name."""
    import asyncio

    async def run() -> tuple[str, list[tuple[object, ...]]]:
        async with open_house(data) as house, open_desk(house, words) as at:
            made = await asyncio.to_thread(typed, "add", "Ruth", "--role", "keeper", "--json")
            link = json.loads(made.output)["link"].partition("/desk")[2]
            house.clock.set(await _made_at(house))
            ruth = at.nobody()
            await ruth.look(link)
            await ruth.send(link)
            return ruth.text, house.rows("SELECT operator_id, act FROM audit ORDER BY id")

    shown, deeds = asyncio.run(run())

    assert "Ruth, keeper" in shown
    assert deeds == [(None, "let in"), (1, "signed in by link")]


async def _made_at(house):  # type: ignore[no-untyped-def]
    """The command goes by the machine's clock, the house by its own."""
    from bot.store.database import instant

    async with house.store.database.read() as tx:
        known = await by_name(tx, "Ruth")
    assert known is not None
    return instant(known.made_ms)


@pytest.fixture(scope="session")
def words() -> Words:
    return Words()


def test_a_digest_goes_where_it_is_wanted_and_nowhere_after_that(data: Path) -> None:
    """A number is kept as the network writes it; "none" ends it."""

    def rows(statement: str) -> list[tuple[object, ...]]:
        with closing(sqlite3.connect(data / DATABASE_FILE)) as connection:
            return connection.execute(statement).fetchall()

    assert typed("add", "Ruth", "--role", "keeper").exit_code == 0
    assert typed("channel", "Ruth", "sms", "12").exit_code == 2
    assert typed("channel", "Ruth", "sms", "(912) 555-0123").exit_code == 0
    assert rows("SELECT channel, address FROM operator") == [("sms", "+19125550123")]
    assert rows("SELECT address, source FROM consent") == [("+19125550123", "an operator's own")]

    assert typed("channel", "Ruth", "none").exit_code == 0
    assert rows("SELECT channel, address FROM operator") == [(None, None)]


def test_only_an_approver_hands_in_a_list_of_people(data: Path, tmp_path: Path) -> None:
    """It writes to many; a reader is told so, and nobody is asked."""
    people = tmp_path / "people.csv"
    people.write_text("phone,agreed_on,agreed_to,where\n9125550123,2026-10-03,text me please now,counter\n")
    for name, role in (("Ruth", "reader"), ("Ann", "approver")):
        assert typed("add", name, "--role", role).exit_code == 0
    refused = CliRunner().invoke(main, ["enrol", str(people), "--as", "Ruth"])
    taken = CliRunner().invoke(main, ["enrol", str(people), "--as", "Ann"])

    assert (refused.exit_code, "Ruth may not" in refused.output) == (2, True)
    assert json.loads(taken.output) == {"people": 1, "wrong_lines": [], "asked": 1, "left_out": {}}
