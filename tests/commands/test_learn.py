"""The learning commands, as an operator types them."""

from __future__ import annotations

import asyncio
import csv
import io
import json
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from PIL import Image

from bot.commands.learn import learn
from bot.commands.region import region
from bot.store import audits, glances, operators
from bot.store.beside import beside
from bot.store.operators import NewOperator
from bot.store.store import DATABASE_FILE
from bot.talk.case import Homeowner
from tests.ops.learning.town import AFTER, BIBB, GLYNN, case_of, owner, settle, town_of


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A data folder in the summer after the freeze."""
    now = tmp_path / "shift"
    from bot.clock import SystemClock

    now.write_text(str((AFTER - SystemClock().now()).total_seconds()))
    monkeypatch.setenv("AFTERFROST_CLOCK_SHIFT_FILE", str(now))
    return tmp_path / "data"


def fill(folder: Path, *town: Homeowner) -> None:
    async def put() -> None:
        async with beside(folder) as store:
            await settle(store, town)
            async with store.database.write() as tx:
                for name, role in (("Ann", "approver"), ("Rob", "reader")):
                    await operators.add(tx, NewOperator(name=name, role=role, made_ms=0))

    asyncio.run(put())


def typed(folder: Path, *arguments: str, answer: str = "") -> Result:
    return CliRunner().invoke(learn, [*arguments, "--data", str(folder)], input=answer)


def as_json(folder: Path, *arguments: str) -> Any:
    done = typed(folder, *arguments, "--json")
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


def softer(count: int = 110) -> list[Homeowner]:
    return town_of(count, softer_dc=1.5)


def test_an_empty_house_says_so(folder: Path) -> None:
    """Nothing was told of, nothing is adopted, nothing breaks."""
    fill(folder)
    done = typed(folder, "show")

    assert done.exit_code == 0, done.output
    assert "0 of 0 lawns" in done.output
    assert "Adopted: nothing" in done.output


def test_what_was_learned_is_shown_adopted_and_taken_back(folder: Path) -> None:
    """The whole way of a correction: shown as enough, previewed, asked about, adopted, shown, taken back."""
    fill(folder, *softer(), *(owner(case_of()) for _ in range(9)))
    shown = as_json(folder, "show")
    (grass,) = shown["grasses"]
    (shift,) = grass["shifts"]

    assert (grass["told"], grass["silent"], grass["known_by"]["pot test"]) == (110, 9, 110)
    assert shift["is_enough"]
    assert shift["shift_c"]["low"] <= 1.5 <= shift["shift_c"]["high"]
    assert len(grass["curve"]["points"]) > 20
    told = typed(folder, "show").output
    assert "Enough: 110 lawns" in told
    assert "learn adopt st_augustine" in told
    assert "Nothing was told of 9 others" in told

    refused = typed(folder, "adopt", "st_augustine", "--as", "Rob", "--yes")
    declined = typed(folder, "adopt", "st_augustine", "--as", "Ann", answer="n\n")
    assert (refused.exit_code, "Only an approver" in refused.output) == (2, True)
    assert "lawns it is for would be told something else today" in declined.output
    assert as_json(folder, "show")["adopted"] == []

    say_all_are_glanced_at(folder)
    done = typed(folder, "adopt", "st_augustine", "--as", "Ann", answer="y\n")
    assert done.exit_code == 0, done.output
    assert glances_out_of_date(folder) == 119
    say_all_are_glanced_at(folder)
    (adopted,) = as_json(folder, "show")["adopted"]
    assert adopted["shift_c"] == pytest.approx(shift["shift_c"]["middle"], abs=0.01)
    assert (adopted["by"], adopted["at"][:10]) == ("Ann", str(AFTER.date()))
    assert "by Ann on 2027-08-01" in typed(folder, "show").output
    assert f"learn undo {adopted['id']}" in done.output
    assert as_json(folder, "undo", str(adopted["id"]), "--as", "Ann") == {"undone": adopted["id"]}
    assert as_json(folder, "show")["adopted"] == []
    assert deeds(folder) == ["adopted", "took back"]
    assert glances_out_of_date(folder) == 119


def deeds(folder: Path) -> list[str]:
    async def look() -> list[str]:
        async with beside(folder) as store, store.database.read() as tx:
            return [deed.act for _, deed in reversed(await audits.latest(tx)) if "correction" in deed.about]

    return asyncio.run(look())


def say_all_are_glanced_at(folder: Path) -> None:
    with closing(sqlite3.connect(folder / DATABASE_FILE)) as connection, connection:
        connection.execute("UPDATE homeowner SET glanced_rev = rev")
    assert glances_out_of_date(folder) == 0


def glances_out_of_date(folder: Path) -> int:
    async def look() -> int:
        async with beside(folder) as store, store.database.read() as tx:
            return await glances.count_out_of_date(tx)

    return asyncio.run(look())


def test_a_region_is_learned_from_by_itself(folder: Path) -> None:
    """Lawns of another county do not count, and what is adopted is the region's."""
    fill(folder, *softer(), *town_of(40, BIBB, softer_dc=-1.5))
    CliRunner().invoke(region, ["add", "Coast", "--county", "13127", "--data", str(folder)])
    here = as_json(folder, "show", "--region", "Coast")

    assert (here["region"], here["told"]) == ("Coast", 110)
    made = as_json(folder, "adopt", "st_augustine", "--region", "coast", "--yes")
    assert made["lawns"] == 110
    assert made["changed_lawns"] == len({each["case"] for each in made["changed"]}) > 0
    (adopted,) = as_json(folder, "show")["adopted"]
    assert (adopted["id"], adopted["region"]) == (made["adopted"], "Coast")


def test_thirty_lawns_cannot_be_adopted(folder: Path) -> None:
    """They are shown with why they are not enough, and adopting is refused."""
    fill(folder, *softer(30))
    refused = typed(folder, "adopt", "st_augustine", "--yes")

    assert "Only 30 lawns got near the limit. It takes 100." in typed(folder, "show").output
    assert refused.exit_code == 2
    assert "Not enough to adopt" in refused.output
    assert as_json(folder, "show")["adopted"] == []


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("adopt", "moss"), "No grass is called"),
        (("adopt", "zoysia/raleigh"), "no cultivar of zoysia"),
        (("adopt", "st_augustine/raleigh"), "No lawn whose season is over"),
        (("undo", "7"), "no correction 7"),
        (("show", "--region", "Nowhere"), "no region"),
        (("show", "--plot", "curve.jpg"), "does not end in .png"),
        (("adopt", "st_augustine", "--as", "Nobody"), "Nobody called"),
    ],
)
def test_what_cannot_be_is_told_in_one_line(folder: Path, arguments: tuple[str, ...], says: str) -> None:
    """No traceback: what is wrong, and what to do."""
    fill(folder, *softer(5))
    done = typed(folder, *arguments)

    assert done.exit_code == 2
    assert says in done.output


def test_the_curve_is_drawn(folder: Path, tmp_path: Path) -> None:
    """A PNG of the one grass there is, in either unit."""
    fill(folder, *softer(40))
    pictures = [tmp_path / "us.png", tmp_path / "metric.png"]
    for file, units in zip(pictures, ((), ("--metric",)), strict=True):
        done = typed(folder, "show", "--plot", str(file), *units)
        assert f"Drawn: {file}" in done.output, done.output

    assert [Image.open(io.BytesIO(file.read_bytes())).size for file in pictures] == [(720, 640)] * 2
    assert pictures[0].read_bytes() != pictures[1].read_bytes()


def test_the_table_is_written_without_personal_data(folder: Path, tmp_path: Path) -> None:
    """Rows of the county with enough homeowners; those of the other grass are left out and counted."""
    fill(folder, *softer(20), *(owner(case_of(*each, grass="zoysia")) for each in few()))
    file = tmp_path / "outcomes.csv"
    counts = as_json(folder, "export", str(file))

    assert (counts["rows"], counts["left_out"], counts["k"]) == (20, 4, 10)
    rows = list(csv.DictReader(file.read_text(encoding="utf-8").splitlines()))
    assert {(row["state"], row["county"], row["grass"]) for row in rows} == {("GA", GLYNN.county, "st_augustine")}
    assert "Left out: 4" in typed(folder, "export", str(file)).output
    assert "protects nobody" in typed(folder, "export", str(file), "--share", "1").output


def few() -> list[tuple[Any, ...]]:
    from tests.ops.learning.town import pots

    return [pots(3) for _ in range(4)]
