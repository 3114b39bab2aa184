"""Adopting what was learned: who may, what counts then, what would change, and how it is taken back."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bot.ops.learning.adopted import AdoptedBook
from bot.ops.learning.adopting import Adopting, AdoptionRefused, Wanted, why_not_enough
from bot.ops.learning.changes import changes
from bot.ops.learning.correction import CorrectionDoc, correction_doc
from bot.ops.learning.fitting import learn
from bot.ops.learning.outcomes import Gathered, gather
from bot.ops.regions.book import RegionBook
from bot.ops.regions.by_place import KeepingUp
from bot.ops.regions.shapes import Shape
from bot.ops.roles import Operator, Role
from bot.store import audits, operators
from bot.store.operators import NewOperator
from bot.talk.case import Place
from bot.talk.known import as_published
from rules.grasses import GrassCode
from rules.lt50_fit import FoundShift
from rules.lt50_grids import Spread
from rules.lt50_shift import LimitShift
from tests.fakes.house import House
from tests.ops.learning.town import AFTER, BIBB, GLYNN, case_of, owner, pots, settle, town_of
from tests.talk.conversation import KNOWN

CODE = GrassCode.ST_AUGUSTINE
GEORGIA, GLYNN_COUNTY = Shape(states=frozenset({"GA"})), Shape(counties=frozenset({"13127"}))


def no_zip(latitude: float, longitude: float) -> str | None:
    return None


def adopting_in(house: House) -> Adopting:
    return Adopting(house.store.database, house.clock, no_zip)


def found(middle_dc: float, near: float = 400, width_dc: float = 1.5) -> FoundShift:
    return FoundShift(
        cultivar=None,
        prior=Spread(low_dc=-2.5, middle_dc=0.0, high_dc=2.5, sd_dc=1.5),
        found=Spread(
            low_dc=middle_dc - width_dc / 2, middle_dc=middle_dc, high_dc=middle_dc + width_dc / 2, sd_dc=width_dc / 3.3
        ),
        lawns=near,
        near=near,
        tested=near / 2,
    )


def doc(shift_dc: float) -> CorrectionDoc:
    return correction_doc(learn(CODE, Gathered()), found(shift_dc), 0)


def wanted(shift_dc: float, region_id: int | None = None, cultivar: str | None = None) -> Wanted:
    return Wanted(region_id=region_id, code=CODE, cultivar=cultivar, doc=doc(shift_dc))


async def operator(house: House, role: Role) -> Operator:
    async with house.store.database.write() as tx:
        of_id = await operators.add(tx, NewOperator(name=f"Ann the {role}", role=role, made_ms=0))
    return Operator(id=of_id, name=f"Ann the {role}", role=role)


async def book_of(house: House) -> AdoptedBook:
    book = AdoptedBook(no_zip)
    await book.refresh(house.store.database)
    return book


def shift(book: AdoptedBook, place: Place | None, cultivar: str | None = None) -> float | None:
    held = book.shift_at(place, CODE, cultivar)
    return held.shift_dc if held else None


async def test_what_is_adopted_counts_until_it_is_taken_back(house: House) -> None:
    """Two in a row: the newer counts; taken back, the older; taken back, the published figure. Each is written down."""
    adopting, by = adopting_in(house), await operator(house, Role.APPROVER)
    first = await adopting.adopt(wanted(-1.0), found(-1.0), by)
    second = await adopting.adopt(wanted(-1.5), found(-1.5), by)
    counted = [shift(await book_of(house), GLYNN)]
    for each in (second, first):
        await adopting.undo(each, by)
        counted.append(shift(await book_of(house), GLYNN))

    assert counted == [-1.5, -1.0, None]
    async with house.store.database.read() as tx:
        deeds = [deed for _, deed in await audits.latest(tx)]
    assert [(each.act, each.about, each.operator_id) for each in reversed(deeds)] == [
        ("adopted", f"correction {first}", by.id),
        ("adopted", f"correction {second}", by.id),
        ("took back", f"correction {second}", by.id),
        ("took back", f"correction {first}", by.id),
    ]


async def test_only_who_may_approve_adopts_and_takes_back(house: House) -> None:
    """A reader and an advisor are refused and nothing is written; whoever runs this at the command line may."""
    adopting = adopting_in(house)
    for role in (Role.READER, Role.ADVISOR):
        by = await operator(house, role)
        with pytest.raises(AdoptionRefused, match="Only an approver"):
            await adopting.adopt(wanted(-1.0), found(-1.0), by)
    made = await adopting.adopt(wanted(-1.0), found(-1.0), None)
    with pytest.raises(AdoptionRefused, match="Only an approver"):
        await adopting.undo(made, by)

    assert [each.id for each in await adopting.everything()] == [made]
    assert (await adopting.everything())[0].undone_ms is None


@pytest.mark.parametrize("little", [found(-1.0, near=30), found(-1.0, width_dc=3.0)])
async def test_too_little_is_not_adopted(house: House, little: FoundShift) -> None:
    """Few lawns near the limit, or a range that is still wide."""
    with pytest.raises(AdoptionRefused, match="Not enough"):
        await adopting_in(house).adopt(wanted(-1.0), little, None)

    assert why_not_enough(little)
    assert why_not_enough(found(-1.0)) == ""
    assert await adopting_in(house).everything() == []


async def test_what_was_taken_back_cannot_be_again(house: House) -> None:
    """Nor what never was."""
    made = await adopting_in(house).adopt(wanted(-1.0), found(-1.0), None)
    await adopting_in(house).undo(made, None)

    for each in (made, 99):
        with pytest.raises(AdoptionRefused, match="no correction"):
            await adopting_in(house).undo(each, None)


async def test_the_smallest_region_counts_and_in_it_the_cultivar_before_the_grass(house: House) -> None:
    """State, county and everywhere overlap; a place that is not known has only what counts everywhere."""
    regions = RegionBook(house.store.database, house.clock)
    state = await regions.add("State", GEORGIA, by=None)
    county = await regions.add("County", GLYNN_COUNTY, by=None)
    adopting = adopting_in(house)
    for shift_dc, region_id, cultivar in (
        (-0.6, None, None),
        (-1.0, county, None),
        (-1.2, state, None),
        (-1.4, state, "raleigh"),
    ):
        await adopting.adopt(wanted(shift_dc, region_id, cultivar), found(shift_dc), None)
    book = await book_of(house)

    assert shift(book, GLYNN) == -1.0
    assert shift(book, BIBB) == -1.2
    assert shift(book, BIBB, "raleigh") == -1.4
    assert shift(book, BIBB, "floratam") == -1.2
    assert shift(book, GLYNN, "raleigh") == -1.0
    assert shift(book, None) == -0.6
    assert book.shift_at(GLYNN, GrassCode.BERMUDA, None) is None


async def test_a_region_that_ended_corrects_nothing(house: House) -> None:
    """And nothing is adopted for it, nor for one that never was."""
    regions = RegionBook(house.store.database, house.clock)
    await regions.add("County", GLYNN_COUNTY, by=None)
    county = await regions.named("County")
    await adopting_in(house).adopt(wanted(-1.0, county.id), found(-1.0), None)
    await regions.end(county, by=None)

    assert shift(await book_of(house), GLYNN) is None
    for region_id in (county.id, 99):
        with pytest.raises(AdoptionRefused, match="no such region"):
            await adopting_in(house).adopt(wanted(-1.0, region_id), found(-1.0), None)


async def test_the_book_says_whether_anything_changed(house: House) -> None:
    """A running service asks it every minute, and works out anew only then."""
    book = AdoptedBook(no_zip)
    looks = [await book.refresh(house.store.database)]
    made = await adopting_in(house).adopt(wanted(-1.0), found(-1.0), None)
    looks += [await book.refresh(house.store.database), await book.refresh(house.store.database)]
    before = shift(book, GLYNN)
    await adopting_in(house).undo(made, None)
    looks.append(await book.refresh(house.store.database))

    assert looks == [False, True, False, True]
    assert (before, shift(book, GLYNN)) == (-1.0, None)


async def test_a_running_service_hears_of_what_is_adopted_beside_it(house: House) -> None:
    """What counted before it started is no news; what comes or goes while it runs is, once each."""
    adopting, book, heard = adopting_in(house), AdoptedBook(no_zip), []

    async def changed() -> None:
        heard.append(shift(book, GLYNN))

    await adopting.adopt(wanted(-0.7), found(-0.7), None)
    keeping = KeepingUp([book], house.store.database, changed)
    await keeping.run()
    made = await adopting.adopt(wanted(-1.0), found(-1.0), None)
    await keeping.run()
    await keeping.run()
    await adopting.undo(made, None)
    await keeping.run()

    assert heard == [-1.0, -0.7]


async def test_what_would_change_is_shown_beforehand(house: House) -> None:
    """Lawns at the edge get other odds, those far from it keep theirs, other counties and grasses are not touched."""
    near, far, elsewhere, other = await settle(
        house.store,
        [
            owner(case_of(air_c=-9.0)),
            owner(case_of(air_c=2.0)),
            owner(case_of(air_c=-9.0, place=BIBB)),
            owner(case_of(air_c=-9.0, grass="bermuda")),
        ],
    )
    county = await RegionBook(house.store.database, house.clock).add("County", GLYNN_COUNTY, by=None)
    adopting = adopting_in(house)
    after = replace(KNOWN, shift_at=await adopting.shift_with(wanted(-2.0, county)))
    would = await changes(house.store, KNOWN, after, AFTER)

    assert would.lawns == 2
    assert {each.case_id for each in would.changed} == {near}
    (change,) = would.changed
    assert change.after.alive_tenths > change.before.alive_tenths
    assert not {far, elsewhere, other} & {each.case_id for each in would.changed}
    assert await adopting.everything() == []


async def test_the_preview_is_what_happens(house: House) -> None:
    """What is told after adopting is what the preview said would be."""
    await settle(house.store, [owner(case_of(*pots(1), air_c=air_c)) for air_c in (-7.0, -8.0, -9.0, -10.0)])
    adopting = adopting_in(house)
    before = await adopting.shift_now()
    would = await adopting.shift_with(wanted(-1.5))
    await adopting.adopt(wanted(-1.5), found(-1.5), None)
    book = await book_of(house)

    assert before(GLYNN, CODE, None) is None
    for cultivar in (None, "raleigh"):
        assert would(GLYNN, CODE, cultivar) == book.shift_at(GLYNN, CODE, cultivar)
    shown = await changes(house.store, KNOWN, replace(KNOWN, shift_at=would), AFTER)
    happened = await changes(house.store, KNOWN, replace(KNOWN, shift_at=book.shift_at), AFTER)
    assert shown == happened
    assert shown.changed_lawns > 0


async def test_learning_goes_on_from_the_published_figure(house: House) -> None:
    """Lawns learned from twice say the same twice: an adopted correction does not feed itself."""
    await settle(house.store, town_of(60, softer_dc=1.5))
    plain = await gather(house.store, KNOWN, AFTER.date())

    def corrected(place: Place | None, code: GrassCode, cultivar: str | None) -> LimitShift | None:
        return LimitShift(shift_dc=3.0, sd_dc=0.5)

    again = await gather(house.store, replace(KNOWN, shift_at=corrected), AFTER.date())

    assert learn(CODE, again).fit == learn(CODE, plain).fit
    assert as_published(GLYNN, CODE, None) is None
