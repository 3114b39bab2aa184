"""Every kind of weather file gives the same pure weather, in our units, with what is missing as not-a-number."""

from __future__ import annotations

import gzip
from pathlib import Path

import numpy as np
import pytest

from bot.weather.faults import WeatherFileError
from bot.weather.files import read_weather
from rules.weather import DAY_SERIES, HOUR_SERIES, DailyWeather, HourlyWeather
from tests.weather import samples


def daily(path: Path, content: bytes, **options: object) -> DailyWeather:
    path.write_bytes(content)
    found = read_weather(path, **options)  # type: ignore[arg-type]
    assert isinstance(found, DailyWeather)
    return found


def hourly(path: Path, content: bytes) -> HourlyWeather:
    path.write_bytes(content)
    found = read_weather(path)
    assert isinstance(found, HourlyWeather)
    return found


def days_of(weather: DailyWeather) -> list[str]:
    return [str(day) for day in weather.days]


def test_daily01_columns_land_where_they_belong(tmp_path: Path) -> None:
    """28 columns; degC, mm, MJ/m2 and m3/m3 as they are."""
    file = tmp_path / "CRND0103-2027-GA_Mossy_Bend_3_NE.txt"

    found = daily(file, samples.text_of([samples.crn_day("20270116", "-7.4", "4.2", rain="1.3")]))

    assert {name: float(getattr(found, name)[0]) for name in DAY_SERIES if name != "snow_depth_cm"} == {
        "air_min_c": -7.4,
        "air_max_c": 4.2,
        "air_mean_c": 2.8,
        "rain_mm": 1.3,
        "solar_mj_per_m2": 10.25,
        "soil_moisture_2in_fraction": 0.213,
        "soil_2in_c": 8.1,
        "soil_4in_c": 8.9,
    }
    assert np.isnan(found.snow_depth_cm).all()
    station = found.station
    assert (station.code, station.name, station.network) == (samples.CODE, "GA_Mossy_Bend_3_NE", "USCRN")
    assert (station.latitude, station.longitude) == (31.25, -83.10)


def test_daily01_codes_of_missing_readings_are_missing(tmp_path: Path) -> None:
    """The lowest number each column can hold, its own and no other's."""
    line = samples.crn_day("20270116", "-9999.0", rain="-9999.0", solar="-9999.0", moisture="-99.000", soil="-9999.0")

    found = daily(tmp_path / "days.txt", samples.text_of([samples.crn_day("20270115"), line]))

    for name in ("air_min_c", "rain_mm", "solar_mj_per_m2", "soil_moisture_2in_fraction", "soil_2in_c"):
        assert np.isnan(getattr(found, name)[1]), name
    assert found.air_max_c[1] == 9.0


def test_years_joined_in_one_file_make_one_series(tmp_path: Path) -> None:
    """The day at the seam may stand twice; days between are put in as missing."""
    lines = [*samples.crn_days("2026-12-30", ["1.0", "2.0"]), *samples.crn_days("2026-12-31", ["2.0"])]
    lines.append(samples.crn_day("20270102", "0.5"))

    found = daily(tmp_path / "joined.txt", samples.text_of(lines))

    assert days_of(found) == ["2026-12-30", "2026-12-31", "2027-01-01", "2027-01-02"]
    np.testing.assert_array_equal(found.air_min_c, [1.0, 2.0, np.nan, 0.5])


@pytest.mark.parametrize("ending", ["", "\n", "\n\n", "\r\n"])
def test_the_last_line_may_lack_its_end_or_be_empty(tmp_path: Path, ending: str) -> None:
    """As the archive's files do."""
    content = "\n".join(samples.crn_days("2027-01-15", ["-1.0", "-2.0"])) + ending

    assert len(daily(tmp_path / "days.txt", content.encode()).days) == 2


def test_hourly02_is_named_by_the_end_of_the_hour_in_utc(tmp_path: Path) -> None:
    """38 columns; midnight belongs to the next date; the offset of standard time comes from the two clocks."""
    lines = samples.crn_hours("2027-01-15T23", ["1.5", "-2.5", "-9999.0"])

    found = hourly(tmp_path / "hours.txt", samples.text_of(lines))

    assert [str(hour) for hour in found.hours] == ["2027-01-15T23", "2027-01-16T00", "2027-01-16T01"]
    assert found.utc_offset_hours == -5
    np.testing.assert_array_equal(found.air_c, [1.5, -2.5, np.nan])
    values = {name: float(getattr(found, name)[0]) for name in HOUR_SERIES[3:]}
    assert values == {
        "solar_w_per_m2": 100,
        "soil_moisture_2in_fraction": 0.213,
        "soil_2in_c": 8.1,
        "soil_4in_c": 8.9,
    }


def test_a_sun_flagged_bad_is_missing(tmp_path: Path) -> None:
    """Flag 3 is the network's own word that the value is no good."""
    lines = [
        samples.crn_hour("2027-01-15T01", solar_flag="3"),
        samples.crn_hour("2027-01-15T02", solar="-99999"),
    ]

    assert np.isnan(hourly(tmp_path / "hours.txt", samples.text_of(lines)).solar_w_per_m2).all()


def test_an_extract_is_read_by_its_column_names(tmp_path: Path) -> None:
    """In any order, with other columns passed over, empty cells as missing."""
    content = samples.text_of([samples.EXTRACT_HEADER, samples.extract_row("2027-01-16", "-7.4", "")])

    found = daily(tmp_path / "extract.csv", content)

    assert (found.air_min_c[0], found.soil_2in_c[0], found.soil_4in_c[0]) == (-7.4, 8.1, 8.9)
    assert np.isnan(found.air_max_c[0])
    assert np.isnan(found.solar_mj_per_m2[0])
    assert (found.station.code, found.station.name) == (samples.CODE, "Mossy Bend")


@pytest.mark.parametrize("named", [samples.OTHER_CODE, "Dry Ridge"])
def test_one_station_of_several_is_read_when_named(tmp_path: Path, named: str) -> None:
    """By code or by name."""
    rows = [
        samples.extract_row("2027-01-16"),
        samples.extract_row("2027-01-16", "-8.8", code=samples.OTHER_CODE, name="Dry Ridge"),
    ]

    found = daily(tmp_path / "extract.csv", samples.text_of([samples.EXTRACT_HEADER, *rows]), station=named)

    assert found.air_min_c.tolist() == [-8.8]


GHCN = [
    samples.ghcn_row("20270116", "TMIN", -74),
    samples.ghcn_row("20270116", "TMAX", 42),
    samples.ghcn_row("20270116", "TAVG", -11),
    samples.ghcn_row("20270116", "PRCP", 13),
    samples.ghcn_row("20270116", "SNOW", 51),
    samples.ghcn_row("20270116", "SNWD", 51),
    samples.ghcn_row("20270116", "SX51", 90),
    samples.ghcn_row("20270116", "SN51", 70),
    samples.ghcn_row("20270115", "TMIN", -999, qflag="X"),
    samples.ghcn_row("20270115", "TMAX", 100),
]


def test_ghcn_is_turned_into_our_units(tmp_path: Path) -> None:
    """Tenths and mm to whole units and cm, rows in any order, sod soil as the mean of its highest and lowest."""
    found = daily(tmp_path / "USX00099001.csv", samples.text_of(GHCN), latitude=31.25, longitude=-83.1)

    assert days_of(found) == ["2027-01-15", "2027-01-16"]
    values = [getattr(found, name)[1] for name in DAY_SERIES[:5]]
    assert values == pytest.approx([-7.4, 4.2, -1.1, 1.3, 5.1])
    assert found.soil_2in_c[1] == pytest.approx(8.0)
    assert np.isnan(found.soil_4in_c).all()


def test_ghcn_rows_that_failed_a_check_are_dropped(tmp_path: Path) -> None:
    """A QFLAG of any kind."""
    found = daily(tmp_path / "flagged.csv", samples.text_of(GHCN), latitude=31.25, longitude=-83.1)

    assert np.isnan(found.air_min_c[0])
    assert found.air_max_c[0] == 10


def test_ghcn_finds_its_place_in_the_list_beside_it(tmp_path: Path) -> None:
    """With name and height; a header line changes nothing."""
    lines = [samples.stations_row(samples.OTHER_GHCN_CODE), samples.stations_row()]
    (tmp_path / "ghcnd-stations.txt").write_bytes(samples.text_of(lines))
    header = "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME"

    station = daily(tmp_path / "station.csv", samples.text_of([header, *GHCN])).station

    assert (station.name, station.elevation_m) == ("MOSSY BEND 3 NE", 75.0)
    assert (station.latitude, station.longitude) == (31.25, -83.1)


def test_ghcn_without_a_place_says_how_to_give_it(tmp_path: Path) -> None:
    """Nothing is guessed."""
    (tmp_path / "station.csv").write_bytes(samples.text_of(GHCN))

    with pytest.raises(WeatherFileError, match=r"--latitude and --longitude"):
        read_weather(tmp_path / "station.csv")


def test_our_own_table_by_day(tmp_path: Path) -> None:
    """The unit stands in the name of the column; empty cells are missing."""
    found = daily(tmp_path / "garden.csv", samples.PLAIN.encode())

    assert found.air_min_c == pytest.approx([-1.0, -8.0, -5.0])
    assert found.air_max_c == pytest.approx([10.0, 0.0, 5.0])
    np.testing.assert_allclose(found.rain_mm, [0, 12.7, np.nan])
    assert found.snow_depth_cm == pytest.approx([0, 5.08, 0])
    np.testing.assert_allclose(found.soil_2in_c, [8.0, np.nan, 5.0])
    assert (found.station.code, found.station.latitude) == ("back garden", 31.25)


def test_our_own_table_by_hour(tmp_path: Path) -> None:
    """UTC written in any of three ways."""
    found = hourly(tmp_path / "hours.csv", samples.PLAIN_HOURS.encode())

    assert [str(hour) for hour in found.hours] == ["2027-01-16T05", "2027-01-16T06", "2027-01-16T07"]
    np.testing.assert_array_equal(found.air_c, [-2.5, -3.5, np.nan])
    assert found.utc_offset_hours == -5
    assert (found.station.code, found.station.name) == ("hours at 31.25,-83.10", "hours"), "no code of its own"


def test_what_the_caller_says_of_the_place_wins(tmp_path: Path) -> None:
    """Over the lines in the file."""
    station = daily(tmp_path / "garden.csv", samples.PLAIN.encode(), latitude=29.5, longitude=-90.0).station

    assert (station.latitude, station.longitude) == (29.5, -90.0)


def test_packed_files_and_those_of_a_spreadsheet_are_read(tmp_path: Path) -> None:
    """gzip; a byte-order mark; quotes; ends of lines of another system."""
    odd = samples.PLAIN.replace("2027-01-16,", '"2027-01-16",').replace("\n", "\r\n")

    packed = daily(tmp_path / "garden.csv.gz", gzip.compress(b"\xef\xbb\xbf" + odd.encode()))

    assert packed.air_min_c == pytest.approx([-1.0, -8.0, -5.0])


@pytest.mark.parametrize(("warm", "latitude"), [("27.9", "26.00"), ("25.0", "31.00")])
def test_a_warm_winter_in_the_tropics_is_no_fahrenheit(tmp_path: Path, warm: str, latitude: str) -> None:
    """Only what no lawn that freezes can have is taken for the wrong unit."""
    lines = [samples.crn_day(f"2027011{at}", warm, warm, latitude=latitude) for at in range(5)]

    assert len(daily(tmp_path / "days.txt", samples.text_of(lines)).days) == 5


def morning(*rows: tuple[str, str, int]) -> bytes:
    return samples.text_of([samples.ghcn_row(*row, read_at="0700") for row in rows])


def test_a_highest_read_in_the_morning_belongs_to_the_day_before(tmp_path: Path) -> None:
    """The lowest stays: it is of the night that just ended. The last day has no highest yet."""
    content = morning(
        ("20270115", "TMIN", -20), ("20270115", "TMAX", 150), ("20270116", "TMIN", -74), ("20270116", "TMAX", 42)
    )

    found = daily(tmp_path / "morning.csv", content, latitude=31.25, longitude=-83.1)

    assert days_of(found) == ["2027-01-15", "2027-01-16"]
    np.testing.assert_array_equal(found.air_min_c, [-2.0, -7.4])
    np.testing.assert_array_equal(found.air_max_c, [4.2, np.nan])


@pytest.mark.parametrize("read_at", ["", "1200", "1700", "2400"])
def test_a_highest_read_later_or_at_no_known_time_stays(tmp_path: Path, read_at: str) -> None:
    """Only a time before noon says that the afternoon is missing from it."""
    rows = [samples.ghcn_row("20270116", name, value, read_at=read_at) for name, value in (("TMIN", -74), ("TMAX", 42))]

    found = daily(tmp_path / "later.csv", samples.text_of(rows), latitude=31.25, longitude=-83.1)

    assert (found.air_min_c.tolist(), found.air_max_c.tolist()) == ([-7.4], [4.2])


def test_an_observer_who_changes_the_hour_loses_no_reading_of_the_day_itself(tmp_path: Path) -> None:
    """What was read in the evening goes before what the next morning says of the same day."""
    evening = [samples.ghcn_row("20270115", name, value, read_at="1700") for name, value in (("TMIN", 0), ("TMAX", 90))]
    then = morning(
        ("20270116", "TMIN", -30), ("20270116", "TMAX", 60), ("20270117", "TMIN", 80), ("20270117", "TMAX", 70)
    )

    found = daily(tmp_path / "change.csv", samples.text_of(evening) + then, latitude=31.25, longitude=-83.1)

    np.testing.assert_array_equal(found.air_max_c, [9.0, 7.0, np.nan])


def test_a_highest_of_the_morning_that_does_not_fit_is_left_out(tmp_path: Path) -> None:
    """Two readers at two hours: a highest under the day's own lowest is nobody's."""
    rows = morning(("20270116", "TMAX", 10), ("20270116", "TMIN", -20)) + samples.text_of(
        [samples.ghcn_row("20270115", "TMIN", 30, read_at="1700")]
    )

    found = daily(tmp_path / "odd.csv", rows, latitude=31.25, longitude=-83.1)

    assert np.isnan(found.air_max_c).all()
