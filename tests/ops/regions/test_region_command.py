"""The command that draws regions, as an operator types it."""

from __future__ import annotations

import asyncio
import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from bot.commands.region import region
from bot.store import operators
from bot.store.beside import beside
from bot.store.operators import NewOperator


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "data"


def typed(folder: Path, *arguments: str) -> Result:
    return CliRunner().invoke(region, [*arguments, "--data", str(folder)])


def as_json(folder: Path, *arguments: str) -> Any:
    done = typed(folder, *arguments, "--json")
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


async def _let_in(folder: Path, name: str, role: str) -> None:
    async with beside(folder) as store, store.database.write() as tx:
        await operators.add(tx, NewOperator(name=name, role=role, made_ms=0))


def test_an_area_is_drawn_listed_shown_and_ended(folder: Path, tmp_path: Path) -> None:
    """Everything that was named is in it, and each command tells the same of it."""
    drawing = tmp_path / "bow_tie.geojson"
    drawing.write_text('{"type": "Polygon", "coordinates": [[[-82, 31], [-81, 32], [-81, 31], [-82, 32], [-82, 31]]]}')
    parts = ("--state", "fl", "--county", "Glynn, GA", "--zip", "315", "--circle", "31.2,-81.5,40")
    done = typed(folder, "add", "South coast", *parts, "--geojson", str(drawing), "--code", "same 013191")

    assert done.exit_code == 0, done.output
    assert "FL; Glynn, GA; SAME 013191; ZIP 315...; 40 km around 31.2, -81.5; 2 drawn areas" in done.output
    assert "put right" in done.output
    (listed,) = as_json(folder, "list")
    assert listed["shape"]["counties"] == ["13127"]
    assert as_json(folder, "show", "south COAST")["homes"] == 0
    assert "0 homes with 0 lawns" in typed(folder, "show", "South coast").output
    ended = {"ended": "South coast", "advisories_going_on": [], "corrections_ended": [], "local_rules_ended": 0}
    assert as_json(folder, "end", "South coast") == ended
    assert as_json(folder, "list") == []
    assert "No area is drawn yet" in typed(folder, "list").output


def test_a_preview_counts_and_keeps_nothing(folder: Path) -> None:
    """A name that is taken is refused before anybody draws."""
    seen = as_json(folder, "add", "Coast", "--state", "GA", "--preview")
    told = typed(folder, "add", "Coast", "--state", "GA", "--preview")

    assert (seen["name"], seen["homes"], seen["overlaps"]) == ("Coast", 0, [])
    assert "0 homes with 0 lawns" in told.output
    assert as_json(folder, "list") == []
    typed(folder, "add", "Coast", "--state", "GA")
    assert "There is a region" in typed(folder, "add", "COAST", "--state", "FL", "--preview").output


@pytest.mark.parametrize(
    ("parts", "said"),
    [
        ((), "names no place"),
        (("--state", "Georgia"), "Use two letters"),
        (("--county", "13128"), "no county we know"),
        (("--zip", "31520-1234"), "one to five digits"),
        (("--circle", "31.2;-81.5;40"), "31.2,-81.5,40"),
        (("--circle", "31.2,-81.5,nan"), "radius"),
        (("--code", "UGC GAZ154"), "forecast zone"),
        (("--state", "GA", "--for", "Nobody"), "is let in"),
        (("--state", "GA", "--as", "Nobody"), "is let in"),
    ],
)
def test_a_slip_is_told_in_one_sentence(folder: Path, parts: tuple[str, ...], said: str) -> None:
    """No traceback, exit code 2, and nothing is drawn."""
    done = typed(folder, "add", "Coast", *parts)

    assert done.exit_code == 2
    assert said in done.output
    assert as_json(folder, "list") == []


def test_only_an_approver_draws_under_their_name(folder: Path) -> None:
    """Whoever is named as doing it must be allowed to; whoever answers for it need not be."""
    asyncio.run(_let_in(folder, "Ann", "approver"))
    asyncio.run(_let_in(folder, "Bo", "advisor"))

    refused = typed(folder, "add", "Coast", "--state", "GA", "--as", "Bo")
    assert (refused.exit_code, as_json(folder, "list")) == (2, [])
    assert "Only an approver" in refused.output
    assert as_json(folder, "add", "Coast", "--state", "GA", "--as", "ann", "--for", "bo")["answered_by"] == "Bo"
