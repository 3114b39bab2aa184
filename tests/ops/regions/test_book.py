"""Regions: drawn, ended, and whose a place is where they overlap."""

from __future__ import annotations

from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.ops.regions.book import Region, RegionBook, RegionRefused, owner_of
from bot.ops.regions.selecting import holds
from bot.ops.regions.shapes import Circle, Shape
from bot.ops.regions.whereabouts import Whereabouts
from bot.store import audits, operators
from bot.store.operators import NewOperator
from tests.fakes.house import House
from tests.ops.regions.homes import Homes
from tests.ops.regions.test_shapes import shapes

GEORGIA, GLYNN = Shape(states=frozenset({"GA"})), Shape(counties=frozenset({"13127"}))
COAST = Shape(circles=(Circle(latitude=31.2, longitude=-81.5, km=40),))
BRUNSWICK = Whereabouts(latitude=31.15, longitude=-81.49, state="GA", county="13127", zip_code="31520")


@pytest.fixture
def book(house: House) -> RegionBook:
    return RegionBook(house.store.database, house.clock)


async def drawn(book: RegionBook, *named: tuple[str, Shape]) -> list[Region]:
    for name, shape in named:
        await book.add(name, shape, by=None)
    return await book.all()


async def test_a_place_belongs_to_the_smallest_region_that_holds_it(book: RegionBook) -> None:
    """The county before the coast, the coast before the state, whichever was drawn first."""
    regions = await drawn(book, ("State", GEORGIA), ("Coast", COAST), ("County", GLYNN))

    def owner(where: Whereabouts) -> str | None:
        found = owner_of(regions, where)
        return found.name if found else None

    assert owner(BRUNSWICK) == "County"
    assert owner(Whereabouts(latitude=31.4, longitude=-81.4, state="GA", county="13191")) == "Coast"
    assert owner(Whereabouts(state="GA")) == "State"
    assert owner(Whereabouts(state="FL")) is None


async def test_of_equal_regions_the_older_has_the_place(book: RegionBook, house: House) -> None:
    """Drawing the same area again takes nothing away from whoever has it."""
    await book.add("First", GLYNN, by=None)
    house.pass_time(hours=1)
    await book.add("Second", GLYNN, by=None)
    regions = await book.all()

    for order in (regions, regions[::-1]):
        found = owner_of(order, BRUNSWICK)
        assert found is not None
        assert found.name == "First"


@given(st.lists(shapes, max_size=5), st.permutations(range(5)))
def test_every_place_has_at_most_one_owner_whatever_the_order(drawn_shapes: list[Shape], order: list[int]) -> None:
    """The owner is one of those that hold the place, none of those is smaller, and the order of asking is no matter."""
    regions = [
        Region(id=number, name=str(number), shape=shape, operator_id=None, answered_by="", made_ms=0)
        for number, shape in enumerate(drawn_shapes)
    ]
    holding = [each for each in regions if holds(each.shape, BRUNSWICK)]
    owner = owner_of([regions[number] for number in order if number < len(regions)], BRUNSWICK)

    assert (owner is None) == (not holding)
    if owner is not None:
        assert owner in holding
        assert owner.area_km2 == min(each.area_km2 for each in holding)
        assert owner.id == min(each.id for each in holding if each.area_km2 == owner.area_km2)


async def test_a_region_comes_back_as_it_was_drawn(book: RegionBook, house: House) -> None:
    """Name, area, who answers for it, and when."""
    async with house.store.database.write() as tx:
        ann = await operators.add(tx, NewOperator(name="Ann", role="approver", made_ms=0))
    await book.add("  The   coast ", GLYNN | COAST, by=ann, answered_by=ann)

    region = await book.named("the COAST")
    assert (region.name, region.shape, region.operator_id, region.answered_by) == (
        "The coast",
        GLYNN | COAST,
        ann,
        "Ann",
    )


@pytest.mark.parametrize("name", ["", "   ", "x" * 61, "a\nb\x00"])
async def test_a_name_is_needed(book: RegionBook, name: str) -> None:
    """Something to call it by, that can be read."""
    with pytest.raises(RegionRefused):
        await book.add(name, GLYNN, by=None)


async def test_two_regions_never_share_a_name(book: RegionBook) -> None:
    """Not even an ended one's: what was done in that one stays told under its name."""
    await book.add("Coast", GLYNN, by=None)
    with pytest.raises(RegionRefused, match="is a region 'Coast'"):
        await book.add("COAST", COAST, by=None)

    await book.end(await book.named("Coast"), by=None)
    with pytest.raises(RegionRefused, match="was a region 'Coast'"):
        await book.add("coast", COAST, by=None)


async def test_an_ended_region_counts_no_more(book: RegionBook) -> None:
    """It is not listed, not found, owns nothing, and cannot be ended twice."""
    (region,) = await drawn(book, ("Coast", GLYNN))
    await book.end(region, by=None)

    assert await book.all() == []
    with pytest.raises(RegionRefused):
        await book.named("Coast")
    with pytest.raises(RegionRefused):
        await book.end(region, by=None)


async def test_who_drew_and_ended_is_written_down(book: RegionBook, house: House) -> None:
    """Each deed once, with who and what, and none for what was refused."""
    await book.add("Coast", GLYNN, by=None)
    with pytest.raises(RegionRefused):
        await book.add("Coast", GLYNN, by=None)
    house.pass_time(minutes=1)
    await book.end(await book.named("Coast"), by=None)
    async with house.store.database.read() as tx:
        deeds = [deed for _, deed in await audits.latest(tx)]

    assert [(deed.act, deed.about) for deed in deeds] == [("ended", "region 1"), ("drew", "region 1")]
    assert deeds[0].at_ms - deeds[1].at_ms == timedelta(minutes=1) // timedelta(milliseconds=1)


async def test_what_is_in_a_region_is_counted(book: RegionBook, homes: Homes) -> None:
    """Homes, their lawns by grass and stage, those that cannot be placed, and those shared with other regions."""
    await homes.add({}, {"grass": "zoysia", "state": "FL", "county": "12031", "latitude_e2": 3000})
    await homes.add({"grass": None, "stage": "asking"})
    await homes.add({"county": "13191", "latitude_e2": 3140, "longitude_e2": -8140})
    await homes.add({"latitude_e2": None, "longitude_e2": None, "county": None})
    coast, county, *_ = await drawn(book, ("Coast", COAST), ("County", GLYNN), ("Far", Shape(states=frozenset({"TX"}))))

    seen = await book.seen(coast)
    assert (seen.homes, seen.nowhere, seen.behind) == (3, 1, 0)
    assert sorted(seen.lawns, key=str) == [("bermuda", "waiting", 2), ("zoysia", "waiting", 1), (None, "asking", 1)]
    assert [(each.other, each.homes, each.owner) for each in seen.overlaps] == [("County", 2, "County")]
    assert (await book.seen(county)).nowhere == 0
