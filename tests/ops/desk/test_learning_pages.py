"""What survived, at the desk: as operators of each role see it, adopt it and take it back, without scripts."""

from __future__ import annotations

import asyncio
import csv
import io
import re
import shutil
from collections.abc import AsyncIterator
from dataclasses import dataclass
from pathlib import Path
from xml.etree import ElementTree

import httpx
import pytest

from bot.ops.desk.learning_pages import LearningRoom
from bot.ops.learning.curve_drawing import BOTTOM, LEFT, RIGHT, TOP
from bot.ops.learning.seeing import Seen
from bot.ops.learning.standing import standing
from bot.ops.regions.book import RegionBook
from bot.ops.regions.shapes import Shape
from bot.ops.roles import Role
from bot.store import homeowners
from bot.store.homeowners import NewHomeowner
from bot.store.rows import dump_homeowner
from rules.grasses import GrassCode, tolerance
from rules.units import c_to_f
from tests.fakes.desk import DeskHouse, Sitting, open_desk
from tests.fakes.house import House, open_house
from tests.ops.learning.town import AFTER, BIBB, GLYNN, case_of, green, owner, settle, town_of
from tests.talk.conversation import KNOWN, WORDS

AT_ONCE, FOR_LONG = 0.0, 60.0
CHANGE = "/learning/change?grass=st_augustine"
TOLD, SILENT, FEW = 110, 9, 7


def no_zip(latitude: float, longitude: float) -> str | None:
    return None


async def settled(folder: Path) -> None:
    """A town whose St. Augustine is softer than published, with a few bermuda lawns elsewhere."""
    few = [owner(case_of(green(0.4), grass="bermuda/tifway", place=BIBB, air_c=-12.0)) for _ in range(FEW)]
    silent = [owner(case_of()) for _ in range(SILENT)]
    async with open_house(folder, at=AFTER) as house:
        await settle(house.store, [*town_of(TOLD, softer_dc=1.5), *silent, *few])
        await RegionBook(house.store.database, house.clock).add("County", Shape(counties=frozenset({"13127"})), by=None)


@pytest.fixture(scope="module")
def town(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data folder with the town in it."""
    folder = tmp_path_factory.mktemp("town")
    asyncio.run(settled(folder))
    return folder


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """What a reader is shown of the town: the page, its words, the table, and what was worked out for it."""

    page: str
    words: str
    table: httpx.Response
    seen: Seen


@pytest.fixture(scope="module")
def shown(town: Path, tmp_path_factory: pytest.TempPathFactory) -> Shown:
    """Looked at once, for all the tests that only look."""
    folder = shutil.copytree(town, tmp_path_factory.mktemp("shown") / "data")

    async def look() -> Shown:
        async with open_house(folder, at=AFTER) as house:
            room = LearningRoom(KNOWN, no_zip, FOR_LONG)
            async with open_desk(house, WORDS, [room]) as at:
                reader = await at.sits(Role.READER)
                await reader.look("/learning")
                page, words = reader.seen, reader.text
                table = await reader.look("/learning/lawns.csv")
                kept, _ = await room.bench.look(None)
                assert kept
                return Shown(page=page, words=words, table=table, seen=kept.value)

    return asyncio.run(look())


@pytest.fixture
async def house(town: Path, tmp_path: Path) -> AsyncIterator[House]:
    folder = shutil.copytree(town, tmp_path / "data")
    async with open_house(folder, at=AFTER) as opened:
        yield opened


@pytest.fixture
async def at(house: House) -> AsyncIterator[DeskHouse]:
    """The desk, with somebody patient in front of it."""
    async with open_desk(house, WORDS, [LearningRoom(KNOWN, no_zip, FOR_LONG)]) as opened:
        yield opened


def mark_of(sitting: Sitting) -> str:
    found = re.search(r'name="seen" value="([0-9a-f]{32})"', sitting.seen)
    assert found, sitting.text
    return found[1]


def adopted(house: House) -> list[tuple[str, int | None]]:
    """Grass and region of what was adopted and not taken back."""
    return house.rows("SELECT grass, region_id FROM correction WHERE undone_ms IS NULL ORDER BY id")  # type: ignore[return-value]


async def adopt(sitting: Sitting, **also: object) -> int:
    """Look at what would change, and adopt it; the status."""
    await sitting.look(CHANGE)
    fields = {"grass": "st_augustine", "region": "", "seen": mark_of(sitting), "sure": "yes"} | also
    return (await sitting.send("/learning/adopt", fields)).status_code


# --- looking ---------------------------------------------------------------------------------------------------------


def test_each_grass_stands_with_its_figures_and_how_many_lawns_are_missing(shown: Shown) -> None:
    """The published figure beside the found one in both units, as the fit has it; few lawns are said to be few."""
    found = shown.seen.learned[0].fit.grass
    published_c = tolerance(GrassCode.ST_AUGUSTINE).lt50_c
    fitted_c = published_c + found.found.middle_dc
    low_c, high_c = published_c + found.found.low_dc, published_c + found.found.high_dc

    assert f"{TOLD + FEW} of {TOLD + SILENT + FEW} lawns whose season is over were told of to the end." in shown.words
    assert f"{TOLD} lawns: {TOLD} by pot test, 0 by photos, 0 by eye." in shown.words
    assert f"Nothing was told of {SILENT} more lawns." in shown.words
    assert f"{c_to_f(published_c):.1f} F ({published_c:.1f} C)" in shown.words
    assert f"{c_to_f(fitted_c):.1f} F ({fitted_c:.1f} C)" in shown.words
    assert f"{c_to_f(low_c):.1f} to {c_to_f(high_c):.1f} F ({low_c:.1f} to {high_c:.1f} C)" in shown.words
    assert f"Enough lawns: {TOLD} got near the limit" in shown.words
    assert f"{FEW} got near the limit, and it takes {100 - FEW} more." in shown.words
    assert "Tifway bermuda" in shown.words
    assert "Nothing. The figures from the papers count everywhere." in shown.words


def test_the_picture_says_what_the_table_says(shown: Shown) -> None:
    """A title, a description, a dot for each row of the table, all of it within the paper; lines go up to the mild."""
    drawing = re.search(r'<svg viewBox="0 0 480 300".*?</svg>', shown.page, re.DOTALL)
    assert drawing
    picture = ElementTree.fromstring(drawing[0])
    dots = [(float(each.get("cx", "")), float(each.get("cy", ""))) for each in picture.iter("circle")]
    lines = [
        [tuple(map(float, point.split(","))) for point in each.get("points", "").split()]
        for each in (*picture.iter("polyline"), *picture.iter("polygon"))
    ]
    table = shown.page[drawing.end() :].partition("</table>")[0]
    lived = [int(each) for each in re.findall(r'data-of="Lived">(\d+) %', table)]

    assert picture.findtext("title") == "St. Augustine: the share that lived, by how cold the crown got"
    assert f"{TOLD} lawns say" in (picture.findtext("desc") or "")
    assert len(dots) == len(lived) >= 3
    for (_, y), percent in zip(dots, lived, strict=True):
        assert (BOTTOM - y) / (BOTTOM - TOP) == pytest.approx(percent / 100, abs=0.006)
    assert all(LEFT <= x <= RIGHT and TOP <= y <= BOTTOM for each in (dots, *lines) for x, y in each)
    assert len(lines) == 3
    for line in lines[:2]:
        assert [y for _, y in line] == sorted((y for _, y in line), reverse=True)


async def test_a_region_shows_its_own_lawns(at: DeskHouse) -> None:
    """And a region there is not is not there."""
    reader = await at.sits(Role.READER)
    await reader.look("/learning?region=1")
    assert "Lawns of County" in reader.text
    assert "bermuda" not in reader.text.lower()
    for path in ("/learning?region=99", "/learning?region=x", "/learning/lawns.csv?region=99", "/learning/change"):
        assert (await reader.look(path)).status_code == 404, path
    assert (await reader.look(f"{CHANGE}&region=99")).status_code == 404


async def test_what_takes_long_is_not_waited_for(house: House) -> None:
    """The page says that it is being worked out and looks again by itself; then it is there, and stays."""
    room = LearningRoom(KNOWN, no_zip, AT_ONCE)
    async with open_desk(house, WORDS, [room]) as at:
        reader = await at.sits(Role.READER)
        answer = await reader.look("/learning")
        assert (answer.status_code, 'http-equiv="refresh"' in reader.seen) == (202, True)
        assert "The page looks again by itself." in reader.text
        await room.bench.seen.settle()
        answer = await reader.look("/learning")
        assert (answer.status_code, 'http-equiv="refresh"' in reader.seen) == (200, False)
        assert "St. Augustine" in reader.text
        assert (await reader.look("/learning")).status_code == 200
        assert "Something was told since" not in reader.text
        await settle_one(house)
        await reader.look("/learning")
        assert "Something was told since" in reader.text
        await room.bench.seen.settle()
        await reader.look("/learning")
        assert f"{TOLD + FEW + 1} of" in reader.text


async def settle_one(house: House) -> None:
    """One more lawn is told of."""
    async with house.store.database.write() as tx:
        told = owner(case_of(green(0.4), place=GLYNN))
        new = NewHomeowner(doc=dump_homeowner(told), rev=1, channel="web", address="one more", heard_ms=1)
        await homeowners.add(tx, [new])


def test_the_table_of_lawns_holds_nothing_personal(shown: Shown) -> None:
    """As the command writes it: ten homeowners share each row, the few others are left out."""
    rows = list(csv.DictReader(io.StringIO(shown.table.text)))

    assert shown.table.headers["content-type"].startswith("text/csv")
    assert "attachment" in shown.table.headers["content-disposition"]
    assert len(rows) == TOLD
    assert {row["grass"] for row in rows} == {"st_augustine"}
    assert "31520" not in shown.table.text and "Brunswick" not in shown.table.text


# --- adopting --------------------------------------------------------------------------------------------------------


async def test_what_would_change_is_shown_to_each_as_far_as_they_may_see(at: DeskHouse) -> None:
    """Readers see counts and no lawn, advisors see lawns without names, approvers may adopt."""
    shown = {}
    for role in (Role.READER, Role.ADVISOR, Role.APPROVER):
        sitting = await at.sits(role)
        await sitting.look(CHANGE)
        counts = re.search(r"(\d+) of (\d+) lawns it is for would be told something else today", sitting.text)
        assert counts
        assert 0 < int(counts[1]) <= int(counts[2]) == TOLD + SILENT
        shown[role] = ("/desk/cases/" in sitting.seen, "/desk/learning/adopt" in sitting.seen)

    assert shown == {Role.READER: (False, False), Role.ADVISOR: (True, False), Role.APPROVER: (True, True)}


async def test_what_was_looked_at_is_adopted_and_taken_back(at: DeskHouse, house: House) -> None:
    """With who and when; then nothing counts. Each is asked about twice and written down."""
    approver = await at.sits(Role.APPROVER, "Ada")
    assert await adopt(approver, sure="") == 409
    assert "Tick that you looked" in approver.text
    assert adopted(house) == []

    assert await adopt(approver) == 200
    assert "Adopted. The bot uses it within a minute." in approver.text
    assert "By Ada, Sun, Aug 1" in approver.text
    assert adopted(house) == [("st_augustine", None)]
    await approver.look(CHANGE)
    assert "It would change nothing today" in approver.text

    await approver.send("/learning/1/undo")
    assert "Tick the box first" in approver.text
    assert adopted(house) == [("st_augustine", None)]
    await approver.send("/learning/1/undo", {"sure": "yes"})
    assert "Taken back." in approver.text
    assert "Nothing. The figures from the papers count everywhere." in approver.text
    await approver.send("/learning/1/undo", {"sure": "yes"})
    assert "That one was taken back already" in approver.text
    assert adopted(house) == []
    deeds = house.rows("SELECT act, about, operator_id FROM audit WHERE about LIKE 'correction%' ORDER BY id")
    assert deeds == [
        ("adopted", "correction 1", approver.operator_id),
        ("took back", "correction 1", approver.operator_id),
    ]


async def test_what_changed_since_the_look_is_not_adopted(at: DeskHouse, house: House) -> None:
    """Somebody told more, or another one adopted meanwhile: the page shows what would change now."""
    ada, ben = await at.sits(Role.APPROVER, "Ada"), await at.sits(Role.APPROVER, "Ben")
    await ada.look(CHANGE)
    old = mark_of(ada)
    assert await adopt(ben, region="1") == 409  # looked at everywhere, sent for a region
    await ben.look(f"{CHANGE}&region=1")
    fields = {"grass": "st_augustine", "region": "1", "seen": mark_of(ben), "sure": "yes"}
    assert (await ben.send("/learning/adopt", fields)).status_code == 200

    answer = await ada.send("/learning/adopt", {"grass": "st_augustine", "region": "", "seen": old, "sure": "yes"})

    assert answer.status_code == 409
    assert "Something was told since you looked." in ada.text
    assert adopted(house) == [("st_augustine", 1)]


async def test_too_little_is_not_offered_and_not_taken(at: DeskHouse, house: House) -> None:
    """Nor a grass nobody told of, nor one there is not."""
    approver = await at.sits(Role.APPROVER)
    for grass, status in (("bermuda", 409), ("zoysia/meyer", 409), ("moss", 404), ("", 404)):
        assert (await approver.look(f"/learning/change?grass={grass}")).status_code == status, grass
        fields = {"grass": grass, "seen": "0" * 32, "sure": "yes"}
        assert (await approver.send("/learning/adopt", fields)).status_code == status, grass

    assert adopted(house) == []


async def test_a_correction_that_counts_no_more_says_why(at: DeskHouse, house: House) -> None:
    """Its region has ended, or a newer one counts in its place; the command lists neither."""
    approver = await at.sits(Role.APPROVER)
    await approver.look(f"{CHANGE}&region=1")
    fields = {"grass": "st_augustine", "region": "1", "seen": mark_of(approver), "sure": "yes"}
    await approver.send("/learning/adopt", fields)
    assert await adopt(approver) == 200
    await settle_one(house)
    assert await adopt(approver) == 200
    book = RegionBook(house.store.database, house.clock)
    await book.end(await book.named("County"), by=None)
    await approver.look("/learning")
    cards = re.findall(r'<li class="card">(.*?)</li>\s*(?=<li class="card">|</ul>\s*<hr>)', approver.seen, re.DOTALL)
    async with house.store.database.read() as tx:
        stands = await standing(tx)

    assert [each.counts for each in stands] == [False, False, True]
    assert ["Its region has ended" in card for card in cards] == [False, False, True]  # the newest first
    assert ["A newer one counts" in card for card in cards] == [False, True, False]
