"""The command that says what holds in a region, as an operator types it."""

from __future__ import annotations

import asyncio
import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from bot.commands.local import local
from bot.commands.region import region
from bot.store import operators
from bot.store.beside import beside
from bot.store.operators import NewOperator


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    data = tmp_path / "data"
    assert CliRunner().invoke(region, ["add", "Glynn", "--county", "13127", "--data", str(data)]).exit_code == 0
    return data


def typed(folder: Path, *arguments: str) -> Result:
    return CliRunner().invoke(local, [*arguments, "--data", str(folder)])


def as_json(folder: Path, *arguments: str) -> Any:
    done = typed(folder, *arguments, "--json")
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


def test_rules_are_set_shown_ended_and_taken_back(folder: Path) -> None:
    """What is not named stays; each change can be seen with who made it."""
    ban = ("--no-feeding", "Jun to Sep, 12-01..02-15", "--feeding-code", "County code 19")
    days = ("--last-frost", "03-20", "--last-frost-sure", "--note", "Office hours are Tuesday.")
    assert as_json(folder, "set", "--region", "glynn", *ban, *days)["changed"] == ["nitrogen_ban", "last_frost", "note"]
    assert as_json(folder, "set", "--region", "Glynn", "--note", "New.", "--end", "last_frost")["changed"] == [
        "note",
        "last_frost",
    ]
    (seen,) = as_json(folder, "show", "--region", "Glynn")
    assert seen["holds"] == {
        "nitrogen_ban": {"code": "County code 19", "spans": ["06-01..09-30", "12-01..02-15"], "until": None},
        "note": {"words": "New."},
    }
    assert [(each["piece"], each["ends"]) for each in seen["history"]] == [
        ("last_frost", True),
        ("note", False),
        ("note", False),
        ("last_frost", False),
        ("nitrogen_ban", False),
    ]
    assert as_json(folder, "undo", "--region", "Glynn", "last_frost")["piece"] == "last_frost"
    assert as_json(folder, "undo", "--region", "Glynn", "note")["piece"] == "note"
    shown = typed(folder, "show", "--region", "Glynn").output
    assert "nitrogen_ban: County code 19: from Jun 1 to Sep 30 and from Dec 1 to Feb 15" in shown
    assert "last_frost: Mar 20, every year, sure" in shown
    assert "note: Office hours are Tuesday." in shown
    assert "note: New. (taken back)" in shown


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("set", "--region", "Nowhere", "--note", "x"), "There is no region"),
        (("set", "--region", "Glynn"), "Say something"),
        (("set", "--region", "Glynn", "--no-feeding", "summer", "--feeding-code", "x"), "no span of days"),
        (("set", "--region", "Glynn", "--no-feeding", "06-01..09-30"), "Name the local code"),
        (("set", "--region", "Glynn", "--warm-soil-sure"), "say which day"),
        (
            ("set", "--region", "Glynn", "--freeze-day", "2099-01-01", "--freeze-days", "3", "--freeze-snow", "0"),
            "future",
        ),
        (("set", "--region", "Glynn", "--end", "weather"), "nothing that can be said"),
        (("undo", "--region", "Glynn", "note"), "Nothing was said of note"),
    ],
)
def test_what_cannot_be_kept_is_refused_with_what_to_do(folder: Path, arguments: tuple[str, ...], said: str) -> None:
    """By a sentence and an exit code; nothing is kept."""
    done = typed(folder, *arguments)

    assert done.exit_code == 2
    assert said in done.output
    assert as_json(folder, "show")[0]["holds"] == {}


def test_somebody_who_may_not_is_refused_by_name(folder: Path) -> None:
    """The record tells who did what."""

    async def let_in(name: str, role: str) -> None:
        async with beside(folder) as store, store.database.write() as tx:
            await operators.add(tx, NewOperator(name=name, role=role, made_ms=0))

    asyncio.run(let_in("Rea", "reader"))
    asyncio.run(let_in("Ada", "approver"))
    refused = typed(folder, "set", "--region", "Glynn", "--note", "x", "--as", "Rea")
    assert refused.exit_code == 2 and "Only an approver" in refused.output
    as_json(folder, "set", "--region", "Glynn", "--note", "x", "--as", "ada")

    assert as_json(folder, "show", "--region", "Glynn")[0]["history"][0]["by"] == "Ada"
