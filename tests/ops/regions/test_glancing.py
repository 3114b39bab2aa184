"""Rows of glances follow what homeowners told, and nothing else."""

from __future__ import annotations

import asyncio
import logging
from dataclasses import replace

import pytest

from bot.conversation import GAZETTEER
from bot.ops.regions.glancing import BATCH, Glancing
from bot.ops.regions.whereabouts import Geography
from bot.store import glances, homeowners
from bot.store.glances import OutOfDate, StoredGlance
from bot.store.homeowners import NewHomeowner
from bot.store.rows import dump_homeowner
from bot.talk.case import Homeowner
from tests.fakes.house import House
from tests.talk.conversation import KNOWN, confirmed, two_parts


def glancing_of(house: House) -> Glancing:
    return Glancing(house.store, KNOWN, Geography(GAZETTEER))


async def keep(house: House, *people: Homeowner | str | None) -> list[int]:
    """Store homeowners as their talks left them; their ids."""
    docs = [each if isinstance(each, str) or each is None else dump_homeowner(each) for each in people]
    rows = [
        NewHomeowner(doc=doc, rev=3, channel="web", address=f"a{number}", heard_ms=77)
        for number, doc in enumerate(docs)
    ]
    async with house.store.database.write() as tx:
        return list(await homeowners.add(tx, rows))


async def rows_of(house: House, *ids: int) -> list[StoredGlance]:
    async with house.store.database.read() as tx:
        return await glances.of_homeowners(tx, ids)


def person() -> Homeowner:
    homeowner = confirmed().homeowner
    assert homeowner is not None
    return homeowner


async def test_a_lawn_is_told_with_its_county_and_in_whole_parts(house: House) -> None:
    """Hundredths of a degree, tenths of a degree C, percent, and the county's code beside the names that were told."""
    (of_id,) = await keep(house, person())

    assert await glancing_of(house).run() == 1
    (row,) = await rows_of(house, of_id)
    assert (row.latitude_e2, row.longitude_e2, row.zip, row.county, row.state) == (3123, -8135, "31522", "13127", "GA")
    assert (row.grass, row.stage, row.language, row.zone) == ("st_augustine", "waiting", "en", "America/New_York")
    assert (row.is_quiet, row.heard_ms) == (0, 77)
    assert row.crown_min_dc is not None
    assert -200 < row.crown_min_dc < 0
    assert row.alive_percent is not None
    assert 0 <= row.alive_percent <= 100


async def test_a_town_with_many_zip_codes_gets_the_nearest(house: House) -> None:
    """Whoever sends by ZIP prefix reaches homes that told a town."""
    homeowner = person()
    case = homeowner.lawns[0]
    (savannah,) = GAZETTEER.find("Savannah, GA")
    assert savannah.zip_code is None
    told = [
        replace(each, value=replace(each.value, candidates=(savannah,))) if each.question == "place" else each  # type: ignore[arg-type]
        for each in case.answers
    ]
    (of_id,) = await keep(house, replace(homeowner, lawns=(replace(case, answers=tuple(told)),)))
    await glancing_of(house).run()

    (row,) = await rows_of(house, of_id)
    assert (row.county, (row.zip or "")[:3]) == ("13051", "314")


async def test_nobody_is_worked_out_twice(house: House) -> None:
    """Who has taken no turn since is left alone; who has is looked at again, with fewer lawns as with more."""
    first, second = await keep(house, person(), two_parts().homeowner)
    glancing = glancing_of(house)
    assert [await glancing.run(), await glancing.run()] == [2, 0]

    await house.change("UPDATE homeowner SET rev = rev + 1, doc = ? WHERE id = ?", dump_homeowner(Homeowner()), first)
    assert [await glancing.run(), await glancing.run()] == [1, 0]
    assert await rows_of(house, first) == []
    assert len(await rows_of(house, second)) == 1


async def test_a_turn_taken_meanwhile_is_not_lost(house: House) -> None:
    """Rows tell of the revision that was read; a turn between reading and writing leaves them out of date."""
    (of_id,) = await keep(house, person())
    async with house.store.database.read() as tx:
        (read,) = await glances.out_of_date(tx, 10)
    await house.change("UPDATE homeowner SET rev = rev + 1 WHERE id = ?", of_id)
    async with house.store.database.write() as tx:
        await glances.replace_of(tx, [(read.id, read.rev)], [])

    assert await glancing_of(house).run() == 1


async def test_who_was_erased_meanwhile_gets_no_row(house: House) -> None:
    """Nothing about somebody comes back after they asked to be forgotten."""
    gone, stays = await keep(house, person(), person())
    async with house.store.database.read() as tx:
        people = await glances.out_of_date(tx, 10)
    async with house.store.database.write() as tx:
        await homeowners.erase(tx, [gone])
    rows = glancing_of(house)._work_out(people)
    async with house.store.database.write() as tx:
        await glances.replace_of(tx, [(each.id, each.rev) for each in people], rows)

    assert {row.homeowner_id for row in await rows_of(house, gone, stays)} == {stays}


async def test_erasing_takes_the_rows_along(house: House) -> None:
    """The statement that erases a homeowner's rows leaves the others'."""
    gone, stays = await keep(house, person(), person())
    await glancing_of(house).run()
    async with house.store.database.write() as tx:
        await glances.erase_of(tx, [gone])
        await homeowners.erase(tx, [gone])

    assert [row.homeowner_id for row in await rows_of(house, gone, stays)] == [stays]


async def test_one_who_cannot_be_read_does_not_hold_up_the_others(
    house: House, caplog: pytest.LogCaptureFixture
) -> None:
    """A broken document is logged, without what stands in it, and is not tried again until something changes."""
    broken, empty, fine = await keep(house, '{"version": 1, "secret words": 1}', None, person())
    glancing = glancing_of(house)
    with caplog.at_level(logging.ERROR):
        assert [await glancing.run(), await glancing.run()] == [3, 0]

    assert [row.homeowner_id for row in await rows_of(house, broken, empty, fine)] == [fine]
    assert f"homeowner {broken}" in caplog.text
    assert "secret words" not in caplog.text


async def test_everybody_is_brought_up_to_date_batch_by_batch(house: House) -> None:
    """Before an advisory nobody is left out of date, and no transaction holds more than a batch."""
    ids = await keep(house, *[Homeowner()] * (BATCH + 5))
    glancing = glancing_of(house)
    before = house.commits

    assert await glancing.run_all() == len(ids)
    assert house.commits == before + 2
    assert await glancing.run_all() == 0


async def test_everybody_can_be_looked_at_again(house: House) -> None:
    """When what is known beside the answers changes, all rows are worked out anew."""
    await keep(house, person(), person())
    glancing = glancing_of(house)
    await glancing.run()
    await glancing.look_again()

    assert await glancing.run() == 2


async def test_two_who_want_it_at_once_do_not_do_it_twice(house: House) -> None:
    """The ticker and a preview share the work."""
    await keep(house, person(), person())
    glancing = glancing_of(house)

    assert sorted(await asyncio.gather(glancing.run(), glancing.run())) == [0, 2]


def test_out_of_date_homeowners_are_found_through_their_index(house: House) -> None:
    """A million homeowners who are up to date cost nothing: the condition stands as the index has it."""
    statement = str(glances._OUT_OF_DATE.compile(house.store.database.writer.sync_engine))
    (plan,) = house.rows(f"EXPLAIN QUERY PLAN {statement}", *[1] * statement.count("?"))

    assert "ix_homeowner_unglanced" in plan[3]
    assert "TEMP B-TREE" not in plan[3]


def test_an_owner_may_read_their_rows(house: House) -> None:
    """What is kept of a lawn for operators goes into its owner's copy of their data, without ids of ours."""
    person_row = OutOfDate(id=7, doc=dump_homeowner(person()), rev=1, heard_ms=0)
    (row,) = glancing_of(house)._work_out([person_row])

    assert glances.plain(row)["county"] == "13127"
    assert "homeowner_id" not in glances.plain(row)
