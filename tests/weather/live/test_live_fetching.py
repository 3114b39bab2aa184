"""What was asked about and is not at hand is fetched onto the shelf, with its credit; not again and again."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from bot.clock import SetClock
from bot.commands.weather_fetch import fetch_command, fetched_text
from bot.commands.weather_jobs import standard_offset_hours, weather_jobs
from bot.errors import SettingsError
from bot.rehearsal import play
from bot.rehearsal.play import WEATHER_FILES
from bot.rehearsal.scenario import PINDERS_MILL
from bot.settings import Settings
from bot.weather import fetching
from bot.weather.fetching import AGAIN_LATER, AGAIN_SOON, Fetcher, live_settings, require_ready
from bot.weather.live import reanalysis
from bot.weather.live.services import LiveSettings, LiveWeather, open_services
from bot.weather.living import LivingBook
from bot.weather.shelf import Shelf, kept_of
from rules.weather import between
from tests.fakes.weather_services import WeatherServices, archive_body, hourly_reports, status
from tests.weather.live.conftest import NOW, QUICK

FREEZE_ON = date(2027, 1, 17)
WEATHER = Path(play.__file__).parent / "weather"


def freezing(first: date, last: date) -> dict[str, object]:
    """The archive with one freeze: mild, and ten degrees colder from the 16th to the 18th."""
    whole = archive_body(first, last)
    hourly = whole["hourly"]
    for at, time in enumerate(hourly["time"]):
        hourly["temperature_2m"][at] += -2 if "2027-01-16" <= time < "2027-01-19" else 8
    hourly["snow_depth"] = [0.0] * len(hourly["time"])
    return whole


@pytest.fixture
def fetcher(tmp_path: Path, address: str, services: WeatherServices, clock: SetClock) -> tuple[Fetcher, LivingBook]:
    services.archive = freezing
    book = LivingBook(tmp_path)
    book.refresh()

    @asynccontextmanager
    async def open_() -> AsyncIterator[LiveWeather]:
        wanted = LiveSettings(
            contact="lawns@tarrow.invalid",
            cache_file=None,
            with_national=False,
            reanalysis_url=address,
            patience=QUICK,
        )
        async with open_services(wanted, clock) as live:
            yield live

    return Fetcher(tmp_path, book, clock, open_), book


def ask(book: LivingBook, on: date | None = FREEZE_ON) -> object:
    return book.freeze_near(PINDERS_MILL, on, 0, NOW.date())


async def test_a_place_asked_about_in_vain_is_fetched_and_known_then(
    fetcher: tuple[Fetcher, LivingBook], services: WeatherServices
) -> None:
    """With the weeks before the freeze, as coarse as weather is, and the credit that must be shown."""
    granted, book = fetcher
    assert ask(book) is None
    assert await granted.run() == 1
    assert book.refresh()
    found = book.freeze_near(PINDERS_MILL, FREEZE_ON, 0, NOW.date())
    assert found is not None
    assert not found.is_thermometer and "CC BY 4.0" in found.credit and reanalysis.LINK in found.credit
    assert found.coldest_on in (date(2027, 1, 16), date(2027, 1, 17), date(2027, 1, 18))
    assert f"start_date={FREEZE_ON - timedelta(days=45)}" in services.asked[-1]
    assert "latitude=31.6&longitude=-81.8" in services.asked[-1], "no finer than ten kilometres leaves the house"
    assert await granted.run() == 0
    assert book.wishes == {}, "nothing is wished for any more"


async def test_a_service_that_fails_is_asked_again_later_and_not_at_every_turn(
    fetcher: tuple[Fetcher, LivingBook], services: WeatherServices, clock: SetClock, caplog: pytest.LogCaptureFixture
) -> None:
    granted, book = fetcher
    services.fail("/v1/archive", *[status(503)] * 20)
    ask(book)
    assert await granted.run() == 0
    assert "No weather now" in caplog.text
    services.faults.clear()
    before = len(services.asked)
    assert await granted.run() == 0
    assert len(services.asked) == before
    clock.set(clock.now() + AGAIN_SOON)
    assert await granted.run() == 1, "the wish stands, though nobody asked again"
    book.refresh()
    assert await granted.run() == 0
    assert book.wishes == {}


async def test_wishes_are_few_and_coarse(tmp_path: Path) -> None:
    """Neighbours are one wish, with the earliest day of theirs."""
    book = LivingBook(tmp_path)
    ask(book)
    ask(book, date(2027, 1, 5))
    assert {cell: wish.on for cell, wish in book.wishes.items()} == {(31.6, -81.8): date(2027, 1, 5)}


def test_settings_choose_the_services(tmp_path: Path) -> None:
    both = live_settings(Settings(data=tmp_path, weather="both", weather_contact="x@tarrow.invalid"))
    assert (both.with_national, both.with_reanalysis, both.contact) == (True, True, "x@tarrow.invalid")
    paid = live_settings(
        Settings(data=tmp_path, weather="reanalysis", reanalysis_key="k", reanalysis_url="https://paid.invalid/v1")
    )
    assert (paid.with_national, paid.reanalysis_key, paid.reanalysis_url) == (False, "k", "https://paid.invalid/v1")
    with pytest.raises(SettingsError, match="AFTERFROST_WEATHER_CONTACT"):
        require_ready(Settings(data=tmp_path, weather="national"))


async def test_the_command_keeps_each_origin_by_itself_and_says_which_days_are_whose(
    tmp_path: Path, address: str, services: WeatherServices, clock: SetClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A week of a thermometer, the weeks before from the archive; told in words and with the credit."""
    services.archive = freezing
    begin = datetime(2027, 1, 14, 5, tzinfo=UTC)
    services.reports["KTAR"] = hourly_reports("KTAR", begin, 24 * 6)
    wanted = LiveSettings(
        contact="lawns@tarrow.invalid", cache_file=None, national_url=address, reanalysis_url=address, patience=QUICK
    )
    monkeypatch.setattr(fetching, "live_settings", lambda settings: wanted)
    settings = Settings(data=tmp_path, weather="both", weather_contact="lawns@tarrow.invalid")
    found = await fetch_command(settings, clock, "31.62,-81.75", (date(2026, 12, 1), date(2027, 1, 19)))
    assert [each.is_thermometer for each in found.stretches][:2] == [False, True]
    told = fetched_text(found, metric=False)
    assert "Tarrow Field" in told and "worked out and not measured" in told and "CC BY 4.0" in told
    kept, broken = Shelf(tmp_path).all()
    assert broken == ()
    assert {each.source.is_measured for each in kept} == {True, False}


async def test_the_command_says_what_to_choose_when_nothing_is(tmp_path: Path, clock: SetClock) -> None:
    with pytest.raises(SettingsError, match="--source"):
        await fetch_command(Settings(data=tmp_path), clock, "31.6,-81.7", (None, None))
    settings = Settings(data=tmp_path, weather="reanalysis")
    with pytest.raises(SettingsError, match="lies after"):
        await fetch_command(settings, clock, "31.6,-81.7", (date(2027, 2, 1), date(2027, 1, 1)))


@pytest.mark.parametrize(
    ("latitude", "longitude", "hours"),
    [(31.6, -81.9, -5.0), (32.36, -86.3, -6.0), (33.45, -112.07, -7.0), (31.1, -87.07, -6.0), (0.0, -30.0, -2.0)],
)
def test_days_are_cut_by_the_standard_time_of_the_place(latitude: float, longitude: float, hours: float) -> None:
    """Eastern, Central and Mountain as the law has them, where the sun would say otherwise; at sea by the sun."""
    assert standard_offset_hours(latitude, longitude) == hours


async def test_a_wish_whose_weather_came_by_file_is_not_fetched(
    fetcher: tuple[Fetcher, LivingBook], services: WeatherServices, tmp_path: Path
) -> None:
    granted, book = fetcher
    ask(book)
    kept = kept_of(WEATHER / WEATHER_FILES[0])
    Shelf(tmp_path).add(kept.daily, kept.source)
    book.refresh()
    assert await granted.run() == 0
    assert (book.wishes, services.asked) == ({}, [])


async def test_a_freeze_at_the_end_of_its_record_is_wished_for_again(tmp_path: Path) -> None:
    """More of it may come: it is told as far as it goes, and its next days are fetched."""
    kept = kept_of(WEATHER / WEATHER_FILES[0])
    days = between(kept.daily, date(2026, 11, 10), date(2027, 1, 16))
    Shelf(tmp_path).add(days, kept.source)
    book = LivingBook(tmp_path)
    book.refresh()
    found = book.freeze_near(PINDERS_MILL, date(2027, 1, 16), 0, date(2027, 1, 17))
    assert found is not None and found.last_on == date(2027, 1, 16)
    assert len(book.wishes) == 1
    assert book.freeze_near(PINDERS_MILL, date(2027, 1, 17), 0, date(2027, 1, 17)) is None, "the record ends before"


def test_wishes_that_nothing_comes_of_are_dropped_in_the_end(tmp_path: Path) -> None:
    book = LivingBook(tmp_path)
    ask(book)
    book.forget_granted(NOW.date() + timedelta(days=29))
    assert len(book.wishes) == 1
    book.forget_granted(NOW.date() + timedelta(days=31))
    assert book.wishes == {}


def test_nothing_is_fetched_while_a_rehearsal_moves_the_clock(tmp_path: Path, clock: SetClock) -> None:
    shift = tmp_path / "shift"
    shift.write_text("86400", encoding="utf-8")
    chosen = {"data": tmp_path, "weather": "reanalysis"}
    assert weather_jobs(Settings(**chosen), LivingBook(tmp_path), clock).fetcher is not None  # type: ignore[arg-type]
    shifted = Settings(**chosen, clock_shift_file=shift)  # type: ignore[arg-type]
    assert weather_jobs(shifted, LivingBook(tmp_path), clock).fetcher is None


async def test_a_place_without_a_freeze_is_not_fetched_again_and_again(
    fetcher: tuple[Fetcher, LivingBook], services: WeatherServices, clock: SetClock
) -> None:
    """What came does not hold what was wished for: once a day is enough."""
    services.archive = lambda first, last: archive_body(
        first, last, temperature_2m=[12.0 + at % 7 for at in range(24 * ((last - first).days + 1))]
    )
    services.archive_until = NOW.date() + timedelta(days=3)
    granted, book = fetcher
    ask(book)
    assert await granted.run() == 1
    book.refresh()
    before = len(services.asked)
    clock.set(clock.now() + AGAIN_SOON)
    assert await granted.run() == 0
    assert len(services.asked) == before
    clock.set(clock.now() + AGAIN_LATER)
    assert await granted.run() == 1
