"""Our own look ahead by itself: where it is asked, who decides, how often, and that one spell is drafted for once."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from bot.channels.sms.segments import gsm_text, is_gsm, segments_of
from bot.conversation import GAZETTEER
from bot.ops.alerts import ahead
from bot.ops.alerts.ahead import EVERY, NOWHERE_PAUSE, Ground, LookingAhead
from bot.ops.alerts.notes import Notebook, RegionNote, read_notes
from bot.ops.alerts.own_cold import ColdAhead, grasses_at_risk, own_draft
from bot.ops.alerts.quitting import Quit, Quitting
from bot.ops.alerts.spots import APART_KM, MOST_SPOTS, Spot, spots_of
from bot.ops.alerts.watching import Watching
from bot.ops.regions.book import RegionBook
from bot.ops.regions.ground import km_from
from bot.ops.regions.selecting import holds
from bot.ops.regions.shapes import Circle, Polygon, Shape
from bot.ops.regions.whereabouts import Whereabouts
from bot.places.gazetteer import ZipArea
from bot.weather.live.services import LiveSettings, open_services
from bot.words import Words
from tests.fakes.house import House, open_house
from tests.fakes.weather_services import Json, Slow, WeatherServices, grid_body, serving, status
from tests.ops.alerts.made import NOW
from tests.ops.alerts.test_keeping import Desk
from tests.weather.live.conftest import QUICK

ONCE = replace(QUICK, tries=1)

SOUND = Shape(zip_prefixes=frozenset({"990"}))
FAR = Shape(zip_prefixes=frozenset({"991"}))


def area(zip_code: str, town: str, latitude: float, longitude: float) -> ZipArea:
    """A ZIP code of a place that is on no map, but in Georgia."""
    return ZipArea(
        zip_code=zip_code, town=town, county="Glynn", state="GA", zone="America/New_York",
        latitude=latitude, longitude=longitude, standard=True, active=True,
    )  # fmt: skip


AREAS = (
    area("99001", "Tarrow", 31.60, -81.70),
    area("99002", "High Tarrow", 32.40, -82.10),
    area("99003", "Tarrow Sound", 31.10, -81.40),
    area("99004", "Next Door", 32.39, -82.11),
    area("99101", "Far Key", 19.00, -81.00),
)


class Hills(WeatherServices):
    """The services with a forecast of its own for each place: the night's lowest by latitude, to a tenth. [degC]"""

    lows_c: dict[str, float]
    coldest_on: date

    def _point(self, request: Request, pair: str, base: str) -> Response:
        answer = super()._point(request, pair, base)
        if answer.status_code != 200:
            return answer
        cell = f"https://api.example.invalid/gridpoints/TAR/{float(pair.partition(',')[0]):.1f}"
        facts = {"gridId": "TAR", "gridX": 1, "gridY": 2, "forecastGridData": cell,
                 "observationStations": f"{cell}/stations", "timeZone": self.zone}  # fmt: skip
        return JSONResponse({"type": "Feature", "properties": facts}, media_type="application/geo+json")

    def _good(self, request: Request) -> Response:
        parts = request.url.path.strip("/").split("/")
        if parts[0] == "gridpoints":
            return JSONResponse(night(self.lows_c[parts[2]], self.coldest_on), media_type="application/geo+json")
        return super()._good(request)


def night(low_c: float, on: date) -> Json:
    """A mild evening, a night with this low, a mild day, of a local day of the coast."""
    before = on - timedelta(days=1)
    return grid_body([(f"{before}T20:00:00+00:00/PT12H", 4.0), (f"{on}T08:00:00+00:00/PT6H", low_c),
                      (f"{on}T14:00:00+00:00/P1D", 6.0)])  # fmt: skip


class Lookout(Desk):
    """A house with regions, and services that tell their weather."""

    def __init__(self, house: House, address: str) -> None:
        super().__init__(house)
        self.regions = RegionBook(house.store.database, house.clock)
        self.address = address

    def ahead(self, quitting: Quitting | None = None) -> LookingAhead:
        """As a service has it after a start."""
        clock = self.house.clock
        live = LiveSettings(contact="lawns@tarrow.invalid", cache_file=None, national_url=self.address,
                            with_reanalysis=False, patience=ONCE)  # fmt: skip
        ground = Ground(
            regions=self.regions,
            areas=lambda: AREAS,
            watching=Watching(self.house.store.database, self.drafts, Words(), clock),
            open=lambda: open_services(live, clock),
            clock=clock,
        )
        return LookingAhead(ground, Notebook(self.house.folder), quitting or Quitting())

    def note(self, region_id: int) -> RegionNote:
        return read_notes(self.house.folder).regions[region_id]


@pytest.fixture
def hills() -> Hills:
    made = Hills()
    made.lows_c = {"31.6": -3.0, "32.4": -8.0, "31.1": 1.0}
    made.coldest_on = date(2027, 1, 17)
    return made


@asynccontextmanager
async def looking(folder: Path, hills: Hills, at: datetime = NOW) -> AsyncIterator[Lookout]:
    async with serving(hills) as address, open_house(folder) as house:
        house.clock.set(at)
        yield Lookout(house, address)


@pytest.fixture
async def lookout(tmp_path: Path, hills: Hills) -> AsyncIterator[Lookout]:
    async with looking(tmp_path, hills) as opened:
        yield opened


async def test_the_coldest_spot_of_a_region_decides_and_is_named(lookout: Lookout) -> None:
    """It is told as the coldest part, since elsewhere it stays milder. It is a draft, and goes to nobody."""
    region = await lookout.regions.add("Sound", SOUND, by=None)

    await lookout.ahead().run()
    note, (draft,) = lookout.note(region), await lookout.all()

    assert (note.near, note.air_min_c, note.coldest_on) == ("High Tarrow, GA", -8.0, date(2027, 1, 17))
    assert (note.spots, note.answered, note.advisory_id) == (3, 3, draft.id)
    assert draft.content.name.startswith("Own estimate, Sun, Jan 17, Sound, coldest near High Tarrow, GA: odds")
    assert "around Sun, Jan 17, coldest near High Tarrow." in draft.content.words
    assert draft.content.audience.shape == SOUND
    assert draft.approved_at is None
    assert lookout.house.value("SELECT count(*) FROM outbox") == 0


async def test_a_spell_is_drafted_for_once_though_the_forecast_shifts_and_the_service_restarts(
    tmp_path: Path, hills: Hills
) -> None:
    """By a day, and from one start to the next."""
    async with looking(tmp_path, hills) as lookout:
        await lookout.regions.add("Sound", SOUND, by=None)
        await lookout.ahead().run()
    hills.coldest_on += timedelta(days=1)
    async with looking(tmp_path, hills, NOW + EVERY) as lookout:
        assert await lookout.ahead().run() is not None
        assert len(await lookout.all()) == 1
    hills.coldest_on += timedelta(days=5)
    async with looking(tmp_path, hills, NOW + timedelta(days=5)) as lookout:
        await lookout.ahead().run()
        assert len(await lookout.all()) == 2


async def test_regions_take_turns_one_in_a_run_and_a_few_times_a_day(lookout: Lookout, hills: Hills) -> None:
    """Whoever waits longest is next; a restart begins nothing anew."""
    first, second = [await lookout.regions.add(name, SOUND, by=None) for name in ("One", "Two")]
    turns = [await lookout.ahead().run() for _ in range(3)]
    asked = len(hills.asked)
    lookout.house.clock.set(NOW + EVERY - timedelta(minutes=1))
    assert await lookout.ahead().run() is None
    lookout.house.clock.set(NOW + EVERY)

    assert turns == [first, second, None]
    assert asked == 2 * 3 * 2  # two regions, three spots, a place and its grid
    assert await lookout.ahead().run() == first


async def test_a_region_that_has_ended_is_looked_at_no_more(lookout: Lookout, hills: Hills) -> None:
    """And what was noted down of it is forgotten, though nobody's turn came."""
    first, second = [await lookout.regions.add(name, SOUND, by=None) for name in ("One", "Two")]
    watch = lookout.ahead()
    assert [await watch.run(), await watch.run()] == [first, second]
    await lookout.regions.end(await lookout.regions.named("One"), by=None)
    asked = len(hills.asked)

    assert await watch.run() is None
    assert set(read_notes(lookout.house.folder).regions) == {second}
    assert len(hills.asked) == asked


async def test_a_mild_region_leads_to_nothing(lookout: Lookout, hills: Hills) -> None:
    """And says so."""
    hills.lows_c = dict.fromkeys(hills.lows_c, 3.0)
    region = await lookout.regions.add("Sound", SOUND, by=None)

    await lookout.ahead().run()

    assert (lookout.note(region).air_min_c, lookout.note(region).near, lookout.note(region).fault) == (None, "", "")
    assert await lookout.all() == []


async def test_a_region_far_from_any_forecast_is_told_once_and_asked_once_a_day(
    lookout: Lookout, caplog: pytest.LogCaptureFixture
) -> None:
    """The same for one without a place that is known."""
    caplog.set_level(logging.INFO, ahead.__name__)
    far = await lookout.regions.add("Far", FAR, by=None)
    empty = await lookout.regions.add("Empty", Shape(zip_prefixes=frozenset({"555"})), by=None)
    for days in range(3):
        lookout.house.clock.set(NOW + days * NOWHERE_PAUSE)
        assert [await lookout.ahead().run() for _ in range(3)] == [far, empty, None]

    assert len(caplog.records) == 2
    assert "no weather for this place" in lookout.note(far).fault
    assert "no place to ask about" in lookout.note(empty).fault


async def test_a_spot_without_any_forecast_leaves_the_others_to_speak(lookout: Lookout) -> None:
    """At once: asking again would change nothing."""
    region = await lookout.regions.add("Both", SOUND | FAR, by=None)

    await lookout.ahead().run()

    assert (lookout.note(region).spots, lookout.note(region).answered) == (4, 3)
    assert len(await lookout.all()) == 1


async def test_a_service_in_trouble_is_asked_again_and_then_what_answers_has_to_do(
    lookout: Lookout, hills: Hills, caplog: pytest.LogCaptureFixture
) -> None:
    """The missing spot may be the coldest, so the first time nothing is drafted; cold is not kept back twice."""
    caplog.set_level(logging.INFO, ahead.__name__)
    hills.lows_c["31.6"] = -7.0
    region = await lookout.regions.add("Sound", SOUND, by=None)
    hills.fail("/gridpoints/TAR/32.4", status(500), status(500))

    await lookout.ahead().run()
    first = lookout.note(region)
    lookout.house.clock.set(first.next_at)
    drafted_before = await lookout.all()
    await lookout.ahead().run()

    assert (first.faults, first.next_at - NOW, drafted_before) == (1, timedelta(minutes=30), [])
    assert (lookout.note(region).near, lookout.note(region).answered) == ("Tarrow, GA", 2)
    assert len(await lookout.all()) == 1
    assert [record.levelname for record in caplog.records] == ["WARNING", "INFO", "INFO"]


async def test_a_service_that_is_down_is_left_alone_after_two_spots_and_longer_each_time(
    lookout: Lookout, hills: Hills
) -> None:
    """Not asked for the rest of them."""
    region = await lookout.regions.add("Sound", SOUND, by=None)
    hills.fail("/points", *[status(503)] * 1000)
    pauses = []
    for _ in range(6):
        await lookout.ahead().run()
        note = lookout.note(region)
        pauses.append((note.next_at - note.looked_at) / timedelta(hours=1))
        lookout.house.clock.set(note.next_at)

    assert pauses == [0.5, 1, 2, 4, 6, 6]
    assert len(hills.asked) == 6 * 2


async def test_stopping_does_not_wait_for_a_slow_service(lookout: Lookout, hills: Hills) -> None:
    """The region's turn comes again after the next start."""
    await lookout.regions.add("Sound", SOUND, by=None)
    hills.fail("/points", Slow(0.5))
    quitting = Quitting()
    running = asyncio.create_task(lookout.ahead(quitting).run())
    while not hills.asked:  # noqa: ASYNC110 - the fake has no event for it
        await asyncio.sleep(0.001)
    quitting.quit()

    with pytest.raises(Quit):
        async with asyncio.timeout(0.4):
            await running
    assert read_notes(lookout.house.folder).regions == {}


def test_spots_lie_in_their_region_apart_and_few() -> None:
    """The northernmost first; the neighbour tells nothing new."""
    assert [each.name for each in spots_of(SOUND, AREAS)] == ["High Tarrow, GA", "Tarrow Sound, GA", "Tarrow, GA"]
    assert len(spots_of(SOUND, AREAS, at_most=2)) == 2


def test_a_drawing_too_small_for_a_zip_code_has_its_own_middle() -> None:
    """A circle, and an area with a hole in its middle."""
    ring = ((-80.0, 30.0), (-79.9, 30.0), (-79.9, 30.1), (-80.0, 30.1), (-80.0, 30.0))
    circle = Shape(circles=(Circle(latitude=30.0, longitude=-79.0, km=1.0),))
    (in_circle,), (in_ring,) = spots_of(circle, AREAS), spots_of(Shape(polygons=(Polygon(outer=ring),)), AREAS)

    assert in_circle == Spot(name="", latitude=30.0, longitude=-79.0)
    assert (-80.0 < in_ring.longitude < -79.9, 30.0 < in_ring.latitude < 30.1) == (True, True)
    assert spots_of(Shape(zip_prefixes=frozenset({"5"})), AREAS) == ()


@settings(max_examples=40)
@given(
    st.lists(st.tuples(st.floats(25, 37), st.floats(-100, -75)), max_size=60),
    st.floats(26, 36),
    st.floats(-99, -76),
    st.floats(1, 900),
)
def test_spots_are_the_same_each_time_inside_apart_and_bounded(
    places: list[tuple[float, float]], latitude: float, longitude: float, km: float
) -> None:
    """Wherever ZIP codes lie, and in whatever order they are given."""
    areas = [area(f"{number:05}", f"Town {number}", *where) for number, where in enumerate(places)]
    shape = Shape(circles=(Circle(latitude=latitude, longitude=longitude, km=km),))
    found = spots_of(shape, areas)

    assert found == spots_of(shape, reversed(areas))
    assert 1 <= len(found) <= MOST_SPOTS
    for index, each in enumerate(found):
        assert holds(shape, Whereabouts(latitude=each.latitude, longitude=each.longitude))
        for other in found[:index]:
            where = np.array([other.latitude]), np.array([other.longitude])
            assert km_from(each.latitude, each.longitude, *where)[0] >= APART_KM


def test_a_draft_that_names_its_coldest_part_fits_two_text_messages() -> None:
    """However long the town's name is, and every town's name is in plain letters."""
    cold = ColdAhead(coldest_on=date(2027, 9, 22), air_min_c=-24.0, days_below_freezing=2, utc_offset_hours=-5.0)
    towns = {f"{each.town}, {each.state}" for each in GAZETTEER.areas()}
    content = own_draft(Words(), "Sound", SOUND, cold, grasses_at_risk(cold, 31.0), max(towns, key=len))

    assert all(map(is_gsm, content.words))
    assert segments_of(gsm_text(content.words)) <= 2
    assert all(map(is_gsm, set().union(*towns)))
