"""The regions at the desk: as operators of each role see them, draw them and end them, without scripts."""

from __future__ import annotations

import html
import json
import re
from collections.abc import AsyncIterator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.ops.advisories.advisory import NewAdvisory
from bot.ops.advisories.drafts import Advisories
from bot.ops.cases.soil_map import FEWEST_HOMES
from bot.ops.desk.region_form import MOST_BYTES, RegionForm
from bot.ops.desk.region_pages import RegionRoom
from bot.ops.learning.adopting import Adopting
from bot.ops.regions.audience import Audience
from bot.ops.regions.book import RegionBook
from bot.ops.regions.refused import ShapeRefused
from bot.ops.regions.shapes import Shape, shape_from
from bot.ops.regions.typed import shape_of
from bot.ops.roles import Role
from bot.store import local_rules
from bot.store.local_rules import NewLocalRule
from bot.words import Words
from tests.fakes.desk import DeskHouse, Sitting, open_desk
from tests.fakes.house import House
from tests.ops.learning.test_adopting import found, no_zip, wanted
from tests.ops.regions.homes import Homes

FOR_LONG = 60.0
TRIANGLE = "31.0, -82.0\n31.0, -81.0\n32.0, -81.5"
BOW_TIE = b'{"type": "Polygon", "coordinates": [[[-82, 31], [-81, 32], [-81, 31], [-82, 32], [-82, 31]]]}'
GEORGIA, GLYNN = Shape(states=frozenset({"GA"})), Shape(counties=frozenset({"13127"}))
ATLANTA = {"latitude_e2": 3375, "longitude_e2": -8439, "zip": "30301", "county": "13121"}


@pytest.fixture
async def at(house: House, words: Words) -> AsyncIterator[DeskHouse]:
    async with open_desk(house, words, [RegionRoom(FOR_LONG)]) as opened:
        yield opened


@pytest.fixture
def book(house: House) -> RegionBook:
    return RegionBook(house.store.database, house.clock)


async def settle(house: House, near: int = 6, far: int = 7) -> None:
    """Homes on the coast, and others far from it."""
    homes = Homes(house)
    for _ in range(near):
        await homes.add({})
    for _ in range(far):
        await homes.add(ATLANTA)


def shape_in(sitting: Sitting) -> str:
    """The area the page would keep."""
    written = re.search(r'name="shape" value="([^"]*)"', sitting.seen)
    assert written, sitting.text
    return html.unescape(written[1])


async def keep(sitting: Sitting, name: str, **also: object) -> int:
    """Keep the area the page in front shows; the status."""
    return (await sitting.send("/regions", {"name": name, "shape": shape_in(sitting)} | also)).status_code


def regions(house: House) -> list[tuple[str, int | None]]:
    return house.rows("SELECT name, ended_ms IS NOT NULL FROM region ORDER BY id")  # type: ignore[return-value]


# --- looking ---------------------------------------------------------------------------------------------------------


async def test_every_region_tells_its_homes_and_each_home_has_one_owner(
    at: DeskHouse, house: House, book: RegionBook
) -> None:
    """The county's homes are the county's, the state keeps the others; who answers is told."""
    await settle(house)
    ann = await at.sits(Role.READER, "Ann")
    await book.add("State", GEORGIA, by=None)
    await book.add("County", GLYNN, by=None, answered_by=ann.operator_id)
    await book.add("Nowhere", Shape(states=frozenset({"HI"})), by=None)
    await ann.look("/regions")

    assert "State 13 homes, 7 of them its own GA Nobody answers for it yet." in ann.text
    assert "County 6 homes Glynn, GA Ann answers for it." in ann.text
    assert "Nowhere 0 homes HI" in ann.text
    assert "/desk/regions/new" not in ann.seen
    tallied = await book.tally()
    assert [(each.homes, each.own) for each in tallied] == [(13, 7), (6, 6), (0, 0)]
    await ann.look("/regions/1")
    assert "13 homes with 13 lawns" in ann.text
    assert "bermuda: plan under way, 13" in ann.text
    assert "6 of these homes are in County too. They belong to County." in ann.text


async def test_counts_of_few_homes_are_shown_to_those_who_may_see_single_lawns(
    at: DeskHouse, house: House, book: RegionBook
) -> None:
    """Neither in the list, nor on the page, nor in what overlaps, nor on its map."""
    await settle(house, near=FEWEST_HOMES - 1, far=FEWEST_HOMES)
    await book.add("Coast", shape_of(RegionForm(points=TRIANGLE).parts)[0], by=None)
    await book.add("State", GEORGIA, by=None)
    seen = {}
    for role in (Role.READER, Role.ADVISOR):
        sitting = await at.sits(role)
        told = ""
        for path in ("/regions", "/regions/1", "/regions/2"):
            await sitting.look(path)
            told += sitting.text + str(sitting.seen.count('class="lawns"'))
        seen[role] = told

    few = FEWEST_HOMES - 1
    assert f"{few} home" in seen[Role.ADVISOR] and f"{few} of these homes" in seen[Role.ADVISOR]
    assert not re.search(rf"\b{few} (of these )?(homes|lawns)", seen[Role.READER])
    assert "A few of these homes are in Coast too." in seen[Role.READER]
    assert "fewer than 5 homes" in seen[Role.READER]
    assert "Glynn, GA" in seen[Role.ADVISOR] and "Glynn, GA" not in seen[Role.READER]


async def test_long_counts_are_not_waited_for(house: House, words: Words, book: RegionBook) -> None:
    """The names come at once, the counts with a later look."""
    await settle(house)
    await book.add("State", GEORGIA, by=None)
    async with open_desk(house, words, [RegionRoom(0.0)]) as at:
        reader = await at.sits(Role.READER)
        await reader.look("/regions")
        assert "State" in reader.text and "still counting" in reader.text
        for _ in range(500):
            await reader.look("/regions")
            if "still counting" not in reader.text:
                break
        assert "State 13 homes" in reader.text


async def test_without_regions_or_homes_the_pages_say_so(at: DeskHouse) -> None:
    """And a region there is not is not there."""
    approver = await at.sits(Role.APPROVER)
    await approver.look("/regions")
    assert "No region is drawn yet." in approver.text
    assert (await approver.look("/regions/new")).status_code == 200
    for number in ("1", "9" * 30):
        assert (await approver.look(f"/regions/{number}")).status_code == 404
        assert (await approver.send(f"/regions/{number}/end", {"sure": "yes"})).status_code == 404


# --- drawing ---------------------------------------------------------------------------------------------------------


async def test_points_that_are_typed_are_counted_first_and_kept_then(at: DeskHouse, house: House) -> None:
    """The page tells homes and shows the map before anything is kept; then the region is there, and written down."""
    await settle(house)
    approver = await at.sits(Role.APPROVER)
    await approver.look("/regions/new")
    fields = {"name": " The  coast ", "answering": str(approver.operator_id), "points": TRIANGLE}
    answer = await approver.send("/regions/new", fields)

    assert answer.status_code == 200
    assert "The coast: what would be in it" in approver.text
    assert "6 homes with 6 lawns" in approver.text
    assert "Nothing is kept yet." in approver.text
    assert 'class="looked-at"' in approver.seen
    assert regions(house) == []

    assert await keep(approver, "The coast", answering=str(approver.operator_id)) == 200
    assert "The region is kept." in approver.text
    assert f"{approver.name} answers for it." in approver.text
    assert regions(house) == [("The coast", 0)]
    assert house.rows("SELECT act, about, operator_id FROM audit") == [("drew", "region 1", approver.operator_id)]


async def test_everything_typed_is_in_the_area(at: DeskHouse) -> None:
    """States, counties, ZIP digits, circles and codes, between commas, spaces or lines as people write them."""
    approver = await at.sits(Role.APPROVER)
    fields = {
        "name": "All",
        "states": "fl, SC",
        "counties": "Glynn, GA\r\n13191\r\n",
        "zips": "316 31701",
        "circles": "31.2,-81.5,40",
        "codes": "same 013039",
        "points": TRIANGLE.replace("\n", "\r\n"),
    }
    await approver.send("/regions/new", fields)
    shape = shape_from(shape_in(approver))

    assert (shape.states, shape.counties) == ({"FL", "SC"}, {"13127", "13191"})
    assert (shape.zip_prefixes, shape.codes) == ({"316", "31701"}, {"SAME 013039"})
    assert (len(shape.circles), len(shape.polygons)) == (1, 1)
    assert shape == shape_of(RegionForm(**fields).parts)[0]


async def test_a_drawing_from_a_file_is_put_right_told_and_still_there(at: DeskHouse, house: House) -> None:
    """Nobody hands it in twice; it can be left out; a new one takes its place."""
    await settle(house)
    approver = await at.sits(Role.APPROVER)
    file = {"file": ("bow.geojson", BOW_TIE, "application/geo+json")}
    await approver.send("/regions/new", {"name": "Bow"}, files=file)
    assert "An outline crossed itself and was put right." in approver.text
    assert "The drawing you handed in is still here." in approver.text
    kept = re.search(r'name="kept" value="([^"]*)"', approver.seen)
    assert kept
    again = {"name": "Bow", "kept": html.unescape(kept[1]), "states": "FL"}
    await approver.send("/regions/new", again)
    shape = shape_from(shape_in(approver))
    assert (len(shape.polygons), shape.states) == (2, {"FL"})
    await approver.send("/regions/new", again | {"leave_out": "yes"})
    assert shape_from(shape_in(approver)).polygons == ()


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"<gml/>", "cannot be read as JSON"),
        (b"\xff\xfe\x00", "cannot be read as JSON"),
        (b"[" * 200_000, "nested too deeply"),
        (b'{"type": "Point", "coordinates": [-81, 31]}', "is no area"),
        (b'{"type": "Polygon", "coordinates": [[[31, -81], [32, -81], [31, -181], [31, -81]]]}', "not on the globe"),
        (b'{"type": "Polygon", "coordinates": [[[-81, 31], [-80, 31], [-80, 32]]]}', "at least four points"),
        (b'{"type": "Polygon", "coordinates": [[[-81, 31], [-80, 31], [-80, 32], [-82, 32]]]}', "end where it began"),
        (b'{"type": "Polygon", "coordinates": "<script>alert(1)</script>"}', "list of points is wanted"),
        (b'{"type": "Polygon", "coordinates": [[[1e999, 31], [NaN, 31], [-80, 32], [1e999, 31]]]}', "on the globe"),
        (b'{"type": "FeatureCollection", "features": []}', "no polygon in it"),
        (b" " * (MOST_BYTES + 1), "larger than 5 MB"),
    ],
)
async def test_a_hostile_drawing_is_refused_with_its_reason(
    at: DeskHouse, house: House, content: bytes, said: str
) -> None:
    """On the form, with what was typed beside it; nothing of the file stands in the page, and nothing is kept."""
    approver = await at.sits(Role.APPROVER)
    file = {"file": ("x.geojson", content, "application/geo+json")}
    answer = await approver.send("/regions/new", {"name": "Coast", "zips": "315"}, files=file)

    assert answer.status_code == 422
    assert said in approver.text
    assert 'role="alert"' in approver.seen
    assert "<script>alert" not in approver.seen and 'name="kept"' not in approver.seen
    assert len(approver.seen) < 30_000
    assert regions(house) == []
    if len(content) < MOST_BYTES:
        assert 'value="315"' in approver.seen


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"name": "", "states": "GA"}, "needs a name"),
        ({"name": "x" * 61, "states": "GA"}, "at most 60 letters"),
        ({"name": "Old", "states": "GA"}, "There is a region 'Old'"),
        ({"name": "Coast"}, "names no place"),
        ({"name": "Coast", "states": "Georgia"}, "Use two letters"),
        ({"name": "Coast", "counties": "Nowhere, GA"}, "no county we know"),
        ({"name": "Coast", "zips": "31520-1234"}, "one to five digits"),
        ({"name": "Coast", "circles": "31.2;-81.5"}, "31.2,-81.5,40"),
        ({"name": "Coast", "codes": "UGC GAZ154"}, "forecast zone"),
        ({"name": "Coast", "points": "31, -81\nthere"}, "Line 2"),
        ({"name": "Coast", "states": "GA", "answering": "99"}, "not let in any more"),
    ],
)
async def test_a_slip_is_told_with_what_was_typed_still_there(
    at: DeskHouse, house: House, book: RegionBook, fields: dict[str, str], said: str
) -> None:
    """The same sentences as at the command line."""
    await book.add("Old", GEORGIA, by=None)
    approver = await at.sits(Role.APPROVER)
    answer = await approver.send("/regions/new", fields)

    assert answer.status_code == 422
    assert said in approver.text
    for value in fields.values():
        assert html.escape(value, quote=True).replace("&#x27;", "&#39;") in approver.seen
    assert len(regions(house)) == 1


async def test_what_is_kept_is_read_as_strictly_as_what_is_shown(at: DeskHouse, house: House) -> None:
    """The area comes back out of the browser: a changed or a missing one is refused, a name taken meanwhile too."""
    approver = await at.sits(Role.APPROVER)
    for shape in ("", "{}", "{", '{"states": ["XX"]}', '{"states": ["GA"], "more": 1}', '{"circles": [{"km": 1}]}'):
        answer = await approver.send("/regions", {"name": "Coast", "shape": shape})
        assert answer.status_code == 422, shape
    assert regions(house) == []
    fields = {"name": "Coast", "shape": '{"states":["GA"]}'}
    assert (await approver.send("/regions", fields)).status_code == 200
    assert (await approver.send("/regions", fields | {"name": "COAST"})).status_code == 422
    assert "There is a region" in approver.text
    assert regions(house) == [("Coast", 0)]


@given(
    st.builds(
        RegionForm,
        states=st.text(max_size=20),
        counties=st.text(max_size=20),
        zips=st.text(max_size=20),
        circles=st.text(max_size=20),
        codes=st.text(max_size=20),
        kept=st.one_of(st.text(alphabet=st.characters(codec="utf-8"), max_size=20), st.just(json.dumps({}))),
    )
)
def test_whatever_is_typed_is_an_area_or_refused_by_name(form: RegionForm) -> None:
    """No other error comes out of a form."""
    try:
        shape, _ = shape_of(form.parts)
    except ShapeRefused as refused:
        assert refused.reason
    else:
        assert shape.all_states | shape.all_counties | shape.zip_prefixes or shape.circles or shape.polygons


# --- ending ----------------------------------------------------------------------------------------------------------


async def test_what_an_end_touches_is_named_and_asked_about(at: DeskHouse, house: House, book: RegionBook) -> None:
    """Open advisories for it go on, a correction for it stops; those of another region are not named."""
    county = await book.add("County", GLYNN, by=None)
    state = await book.add("State", Shape(states=frozenset({"FL"})), by=None)
    drafts = Advisories(house.store.database, house.clock)
    both = GLYNN | Shape(states=frozenset({"FL"}))
    for name, shape in (("Freeze near", both), ("Freeze far", Shape(states=frozenset({"FL"}))), ("Dropped", GLYNN)):
        number = await drafts.draft(NewAdvisory(name=name, words="Cover it.", audience=Audience(shape=shape)), None)
    await drafts.drop(number, None)
    adopting = Adopting(house.store.database, house.clock, no_zip)
    for region_id in (county, state):
        await adopting.adopt(wanted(-1.0, region_id), found(-1.0), None)
    async with house.store.database.write() as tx:
        for region_id in (county, county, state):
            new = NewLocalRule(region_id=region_id, piece="note", doc="x", made_by=None, made_ms=0)
            await local_rules.add(tx, new)
    approver = await at.sits(Role.APPROVER)
    await approver.look("/regions/1")

    assert "One local rule of its own counts no more." in approver.text
    assert "Advisory 1, Freeze near, goes on: it keeps its area." in approver.text
    assert "What was learned of St. Augustine (number 1) counts no more" in approver.text
    assert "Freeze far" not in approver.text and "Dropped" not in approver.text and "number 2" not in approver.text

    answer = await approver.send("/regions/1/end")
    assert answer.status_code == 409 and "Tick the box first" in approver.text
    await approver.send("/regions/1/end", {"sure": "yes"})
    assert "The region has ended." in approver.text
    assert regions(house) == [("County", 1), ("State", 0)]
    assert (await approver.send("/regions/1/end", {"sure": "yes"})).status_code == 404
    assert [each.region for each in await adopting.now()] == ["State"]
