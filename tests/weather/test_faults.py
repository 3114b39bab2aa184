"""A file that cannot be trusted ends in one message with its line and what to do, and yields nothing."""

from __future__ import annotations

import gzip
import io
import zlib
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.errors import AfterfrostError
from bot.weather.faults import WeatherFileError
from bot.weather.files import read_stream, read_weather
from bot.weather.lines import Limits
from bot.weather.wanted import Wanted
from rules.weather import DailyWeather, HourlyWeather
from tests.weather import samples

DAYS = samples.crn_days("2027-01-14", ["-1.0", "-2.0", "-3.0"])
HOURS = samples.crn_hours("2027-01-15T01", ["1.0", "2.0", "3.0"])
HERE = {"latitude": 31.25, "longitude": -83.1}


def fault_of(path: Path, content: bytes | str, **options: object) -> WeatherFileError:
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    with pytest.raises(WeatherFileError) as caught:
        read_weather(path, **options)  # type: ignore[arg-type]
    return caught.value


def plain(*rows: str, header: str = "date,air_min_c,air_max_c") -> str:
    return "\n".join(["# latitude: 31.25", "# longitude: -83.1", header, *rows]) + "\n"


def plain_hours(*rows: str) -> str:
    return plain(*rows, header="time_utc,air_c").replace("# lat", "# utc_offset_hours: -5\n# lat", 1)


def replaced(lines: list[str], at: int, line: str) -> bytes:
    return samples.text_of([*lines[:at], line, *lines[at + 1 :]])


def test_the_error_names_file_line_fault_and_remedy(tmp_path: Path) -> None:
    """One sentence each, and as fields for whoever wants to show them otherwise."""
    fault = fault_of(tmp_path / "garden.csv", plain("2027-01-15,-1,cold"))

    assert isinstance(fault, AfterfrostError)
    assert (fault.file, fault.line) == ("garden.csv", 4)
    assert str(fault) == "garden.csv, line 4: air_max_c is 'cold', not a number. Correct the cell or take the row out."


RAIN_HEADER = "date,air_min_c,air_max_c,rain_in"
CASES: dict[str, tuple[bytes | str, int | None, str]] = {
    "empty": (b"", None, "empty"),
    "only blank lines": (b"\n \n\n", None, "empty"),
    "binary": (b"%PDF\x05\xff\x00", 1, "byte 5"),
    "binary further down": (samples.text_of(DAYS) + b"\x00\x01\n", 4, "byte 0"),
    "another encoding": (b"# station: caf\xe9\n", 1, "UTF-8"),
    "UTF-16": ("date,air_min_c".encode("utf-16-le"), 1, "byte 0"),
    "UTF-16 with its mark": ("date,air_min_c\n".encode("utf-16"), 1, "byte 0"),
    "nothing but NUL": (b"\x00" * 50_000, 1, "byte 0"),
    "lone carriage returns": (plain("2027-01-15,1,2").replace("\n", "\r"), 1, "lone carriage return"),
    "digits of another script": (plain("2027-01-15,\uff11,\uff12"), 4, "not a number"),
    "a zip archive": (b"PK\x03\x04rest", None, "zip archive or a spreadsheet"),
    "an empty packed file": (gzip.compress(b""), None, "empty"),
    "packed rubbish": (b"\x1f\x8b" + b"rubbish" * 9, None, "cannot be read"),
    "GHCN a month a line": ("USX00099001202701TMAX  150  7  160  7\n", 1, ".dly"),
    "a web page": ("<html><body>404</body></html>", 1, "web page"),
    "something else": ("name;price\nhose;12\n", 1, "no kind of weather file"),
    "the wide table": ('"STATION","DATE","TMAX","TMIN"\n', 1, "does not say its units"),
    "a packed file cut off": (gzip.compress(samples.text_of(DAYS))[:-12], None, "cut off"),
    "a network file of another product": (" ".join(DAYS[0].split()[:20]), 1, "20 fields"),
    "a field missing": (replaced(DAYS, 1, DAYS[1].rpartition(" ")[0]), 2, "27 fields where 28"),
    "last line cut inside a field": ("\n".join(DAYS)[:-3].encode(), 3, "shorter than the others"),
    "last line cut between fields": ("\n".join(DAYS)[:-30].encode(), 3, "seems cut off"),
    "hours mixed with days": (samples.text_of([*HOURS, DAYS[0]]), 4, "28 fields where 38"),
    "days out of order": (samples.text_of([DAYS[0], DAYS[2], DAYS[1]]), 3, "before the one on line 2"),
    "a day twice": (samples.text_of([DAYS[0], samples.crn_day("20270114", "-4.0")]), 2, "again with other values"),
    "an hour twice": (samples.text_of([HOURS[0], HOURS[1], HOURS[1]]), 3, "Clocks set back"),
    "an hour with minutes": (replaced(HOURS, 1, HOURS[1].replace(" 0200 ", " 0230 ")), 2, "whole hour"),
    "summer time": (
        samples.text_of([HOURS[0], samples.crn_hour("2027-01-15T02", offset_hours=-4)]),
        2,
        "-4 hours from UTC here and -5",
    ),
    "mixed stations": (
        samples.text_of([*DAYS, samples.crn_day("20270117", code=samples.OTHER_CODE)]),
        4,
        "--station CODE",
    ),
    "a station that moves": (
        samples.text_of([*DAYS, samples.crn_day("20270117", latitude="33.00")]),
        4,
        "Do not mix stations",
    ),
    "another column's code": (
        samples.text_of([*DAYS, samples.crn_day("20270117", "-99.000")]),
        4,
        "code for a missing reading",
    ),
    "another column's code in the soil": (
        samples.text_of([samples.crn_day("20270117", soil="-99.000")]),
        1,
        "code for a missing reading",
    ),
    "a low above its high": (samples.text_of([samples.crn_day("20270117", "10.0", "9.0")]), 1, "changed over"),
    "a day no calendar has": (samples.text_of([samples.crn_day("20270230")]), 1, "no calendar"),
    "a year out of reach": (samples.text_of([samples.crn_day("02270117")]), 1, "1850 to 2100"),
    "a number that is none": (samples.text_of([samples.crn_day("20270117", "nan")]), 1, "not a number"),
    "negative rain": (samples.text_of([samples.crn_day("20270117", rain="-1.0")]), 1, "P_DAILY_CALC"),
    "no air at all": (samples.text_of([samples.crn_day("20270117", "-9999.0", "-9999.0")]), None, "no air temperature"),
    "extract of two stations": (
        samples.text_of(
            [
                samples.EXTRACT_HEADER,
                samples.extract_row("2027-01-16"),
                samples.extract_row("2027-01-17", code=samples.OTHER_CODE),
            ]
        ),
        3,
        "--station CODE",
    ),
    "extract cut inside a number": (
        samples.text_of([samples.EXTRACT_HEADER])[:-1] + b"\n" + samples.extract_row("2027-01-16").encode()[:-1],
        2,
        "seems cut off",
    ),
    "extract cut in a row": (
        (samples.EXTRACT_HEADER + "\n" + samples.extract_row("2027-01-16")[:-12]).encode(),
        2,
        "seems cut off",
    ),
    "extract in Fahrenheit": (
        samples.text_of(
            [samples.EXTRACT_HEADER, *(samples.extract_row(f"2027-01-1{at}", "29.0", "52.0") for at in range(4))]
        ),
        2,
        "looks like Fahrenheit",
    ),
    "extract without a place": ("date,WBANNO,T_DAILY_MIN,T_DAILY_MAX\n", 1, "lacks LATITUDE"),
    "extract without rows": (samples.EXTRACT_HEADER, None, "only a header"),
    "ghcn in whole degrees of a missing code": (
        samples.text_of([samples.ghcn_row("20270116", "TMIN", -9999)]),
        1,
        "code for a missing reading",
    ),
    "ghcn in whole degrees with a point": (
        samples.text_of([samples.ghcn_row("20270116", "TMIN", "-7.4")]),
        1,
        "-74 is -7.4",
    ),
    "ghcn highest of the morning twice": (
        samples.text_of([samples.ghcn_row("20270116", "TMAX", value, read_at="0700") for value in (10, 12)]),
        2,
        "another value",
    ),
    "ghcn value twice": (
        samples.text_of([samples.ghcn_row("20270116", "TMIN", -10), samples.ghcn_row("20270116", "TMIN", -12)]),
        2,
        "another value",
    ),
    "ghcn of two stations": (
        samples.text_of(
            [
                samples.ghcn_row("20270116", "TMIN", -10),
                samples.ghcn_row("20270116", "TMIN", -10, code=samples.OTHER_GHCN_CODE),
            ]
        ),
        2,
        "--station CODE",
    ),
    "ghcn cut off": (samples.ghcn_row("20270116", "TMIN", -10)[:-3], 1, "not HHMM"),
    "ghcn cut off earlier": (samples.ghcn_row("20270116", "TMIN", -10)[:-8], 1, "seems cut off"),
    "plain without rows": (plain(), None, "no reading in it"),
    "plain without a header": ("# latitude: 31\n", None, "no header"),
    "plain without a place": ("date,air_min_c,air_max_c\n2027-01-15,1,2\n", None, "# latitude: 31.2"),
    "plain of two stations": ("# station: one\n# station: two\n", 2, "Do not mix stations"),
    "plain without a unit": (plain(header="date,air_min,air_max"), 3, "Known are air_min_c, air_min_f"),
    "plain with two units": (plain(header="date,air_min_c,air_min_f,air_max_f"), 3, "two columns give air_min_c"),
    "plain without the high": (plain(header="date,air_min_c"), 3, "lacks air_max_c"),
    "plain with two times": (plain(header="date,time_utc,air_c"), 3, "one of date and time_utc"),
    "plain day in another order": (plain("1/15/2027,1,2"), 4, "as YYYY-MM-DD"),
    "plain with a code": (plain("2027-01-15,-9999,2"), 4, "code for a missing reading"),
    "plain with a code that rain could be": (
        plain("2027-01-15,-1,2,999.9", header="date,air_min_c,air_max_c,rain_mm"),
        4,
        "code for a missing reading",
    ),
    "plain moisture in percent": (
        plain("2027-01-15,-1,2,21.3", header="date,air_min_c,air_max_c,soil_moisture_2in_fraction"),
        4,
        "0 to 1",
    ),
    "plain sun in watts": (
        plain("2027-01-15,-1,2,213", header="date,air_min_c,air_max_c,solar_mj_per_m2"),
        4,
        "-1 to 50",
    ),
    "plain in tenths": (plain("2027-01-15,-74,120"), 4, "tenths of a degree"),
    "plain in Fahrenheit, one day": (plain("2027-07-15,71,93"), 4, "looks like Fahrenheit"),
    "plain in Fahrenheit, a winter": (
        plain("2027-01-15,20,31", "2027-01-16,30,48", "2027-01-17,35,50", "2027-01-18,28,45"),
        5,
        "looks like Fahrenheit",
    ),
    "plain in Fahrenheit, a cold month": (
        plain(*(f"2027-01-{day:02},{15 + day % 9},{26 + day % 11}" for day in range(1, 26))),
        5,
        "looks like Fahrenheit",
    ),
    "plain hours in Fahrenheit": (
        plain_hours(*(f"2027-01-{day:02}T{hour:02}:00,{30 + hour % 8}" for day in (5, 6, 7) for hour in range(24))),
        5,
        "looks like Fahrenheit",
    ),
    "network file in Fahrenheit": (
        samples.text_of([samples.crn_day(f"202701{day}", "29.0", "51.0") for day in range(10, 14)]),
        1,
        "looks like Fahrenheit",
    ),
    "ghcn in whole degrees": (
        samples.text_of(
            [
                samples.ghcn_row(f"202704{day}", name, value)
                for day in range(10, 22)
                for name, value in (("TMIN", day - 5), ("TMAX", day + 6))
            ]
        ),
        2,
        "whole degrees where tenths belong",
    ),
    "plain soil in Fahrenheit": (
        plain(*(f"2027-01-0{day},-1,9,45.5" for day in range(1, 5)), header="date,air_min_c,air_max_c,soil_2in_c"),
        4,
        "looks like Fahrenheit",
    ),
    "plain divided by ten once too often": (
        plain(*(f"2027-04-{day},1.{day % 9},2.{day % 9}" for day in range(10, 25))),
        4,
        "moves 1.0 degC in a day",
    ),
    "plain in tenths that stay in range": (
        plain(*(f"2027-04-{day},{-50 + day % 9},{45 - day % 9}" for day in range(10, 25))),
        4,
        "Look at the unit",
    ),
    "plain millimetres as inches": (
        plain(*(f"2027-04-{day:02},5,15,{(day % 4) * 2.5}" for day in range(1, 29)), header=RAIN_HEADER),
        4,
        "millimetres in a column of inches",
    ),
    "plain cut inside a number": (plain("2027-01-15,-1,8.4")[:-2], 4, "seems cut off"),
    "plain hours at clocks set forward": (plain_hours("2027-03-14T06:00,9", "2027-03-14 02:00-05:00,8"), 6, "not UTC"),
    "plain hours without an offset": (plain("2027-01-15T01:00,1", header="time_utc,air_c"), None, "Eastern -5"),
    "plain hour twice": (plain_hours("2027-11-07T06:00,9", "2027-11-07T06:00,8"), 6, "Clocks set back"),
    "plain half hours": (plain_hours("2027-01-15T01:30,1"), 5, "one row an hour"),
    "plain hours not in UTC": (plain_hours("2027-01-15T01:00-05:00,1"), 5, "not UTC"),
    "plain hours of two centuries": (plain_hours("1900-01-15T01:00,1", "2027-01-15T01:00,1"), 6, "too many years"),
    "plain with an open quote": (plain('"2027-01-15,1,2'), 4, "quotation mark"),
    "a latitude that is none": ("# latitude: north\n# longitude: 3\ndate,air_min_c,air_max_c\n", 1, "latitude is"),
    "a latitude off the earth": (plain("2027-01-15,1,2").replace("31.25", "231"), None, "between -90 and 90"),
}


@pytest.mark.parametrize(("content", "line", "says"), CASES.values(), ids=CASES)
def test_a_bad_file_is_told_with_its_line(tmp_path: Path, content: bytes | str, line: int | None, says: str) -> None:
    """What is wrong and where; a fault of the whole file has no line."""
    options = HERE if says in ("seems cut off", "not HHMM", "whole degrees where tenths belong") else {}

    fault = fault_of(tmp_path / "weather.txt", content, **options)

    assert says in str(fault)
    if not (isinstance(content, bytes) and content.startswith(b"\x1f\x8b")):
        assert fault.line == line


def test_a_station_that_is_not_in_the_file_is_told_with_those_that_are(tmp_path: Path) -> None:
    """So that the next try succeeds."""
    fault = fault_of(tmp_path / "days.txt", samples.text_of(DAYS), station="99009")

    assert "'99009'" in str(fault)
    assert "the file holds '99001'" in str(fault)


def test_half_a_place_is_refused(tmp_path: Path) -> None:
    """A latitude alone would be put beside a longitude of somewhere else."""
    assert "both or none" in str(fault_of(tmp_path / "days.txt", samples.text_of(DAYS), latitude=31.0))


@pytest.mark.parametrize("make", [lambda path: None, lambda path: path.mkdir()])
def test_a_path_that_cannot_be_read_is_told(tmp_path: Path, make: Callable[[Path], None]) -> None:
    """Not there, or a folder."""
    make(tmp_path / "days.txt")

    with pytest.raises(WeatherFileError, match="cannot be read"):
        read_weather(tmp_path / "days.txt")


def test_a_huge_file_is_refused_before_it_is_read(tmp_path: Path) -> None:
    """By its size alone."""
    file = tmp_path / "huge.csv"
    with file.open("wb") as stream:
        stream.truncate(200_000_001)

    with pytest.raises(WeatherFileError, match="more than 200 MB"):
        read_weather(file)


class EndlessRows(io.RawIOBase):
    """A stream that never runs out of the same row."""

    def __init__(self, row: bytes) -> None:
        self.row, self.lines_given = row, 0

    def readline(self, size: int | None = -1, /) -> bytes:
        self.lines_given += 1
        return self.row


ROW = samples.text_of([DAYS[0]])


@pytest.mark.parametrize(
    ("limits", "line"),
    [(Limits(most_rows=1000), 1001), (Limits(most_bytes=50_000), 50_000 // len(ROW) + 1)],
)
def test_endless_rows_are_refused_at_the_limit(limits: Limits, line: int) -> None:
    """No further than rows or bytes allow, and with the line at which it ended."""
    stream = EndlessRows(ROW)

    with pytest.raises(WeatherFileError, match="Cut out the station") as caught:
        read_stream(stream, Path("endless.txt"), Wanted(), limits)  # type: ignore[arg-type]

    assert caught.value.line == stream.lines_given == line


class BillionDays(io.RawIOBase):
    """A billion rows, day after day and station after station, made as they are asked for and never held."""

    def __init__(self, row_of: Callable[[int], str]) -> None:
        self.row_of, self.lines_given = row_of, 0

    def readline(self, size: int | None = -1, /) -> bytes:
        if self.lines_given == 1_000_000_000:
            return b""
        self.lines_given += 1
        return f"{self.row_of(self.lines_given - 1)}\n".encode()


def day_row(at: int) -> str:
    return samples.crn_day(f"{date(1900, 1, 1) + timedelta(days=at):%Y%m%d}")


def ghcn_of_many(at: int) -> str:
    return samples.ghcn_row("20270116", "TMIN", -74, code=f"USX{at:08}")


def plain_row(at: int) -> str:
    return plain().splitlines()[at] if at < 3 else f"{date(1900, 1, 1) + timedelta(days=at)},1,9"


@pytest.mark.parametrize(
    ("row_of", "wanted", "says"),
    [
        (day_row, Wanted(), "lines"),
        (plain_row, Wanted(), "lines"),
        (ghcn_of_many, Wanted(station="USX99999999"), "lines"),
        (ghcn_of_many, Wanted(), "--station"),
    ],
)
def test_a_billion_rows_are_refused_after_few(row_of: Callable[[int], str], wanted: Wanted, says: str) -> None:
    """Of every kind, whether or not a station is named; with the line, and without reading the rest."""
    stream = BillionDays(row_of)

    with pytest.raises(WeatherFileError, match=says) as caught:
        read_stream(stream, Path("endless.txt"), wanted, Limits(most_rows=2000))  # type: ignore[arg-type]

    assert caught.value.line == stream.lines_given <= 2001


def test_a_small_packed_file_of_many_rows_is_refused() -> None:
    """What unpacks to more lines than are allowed; the file itself is a hundredth of that."""
    packed = gzip.compress(ROW * 30_000)
    assert len(packed) < len(ROW) * 300

    with pytest.raises(WeatherFileError, match="Cut out the station") as caught:
        read_stream(gzip.GzipFile(fileobj=io.BytesIO(packed)), Path("bomb.gz"), Wanted(), Limits(most_rows=20_000))  # type: ignore[arg-type]

    assert caught.value.line == 20_001


def test_a_bomb_of_packed_nothing_is_refused(tmp_path: Path) -> None:
    """What unpacks to one endless line stops at the longest a table can have."""
    fault = fault_of(tmp_path / "bomb.gz", gzip.compress(b"1" * 20_000_000))

    assert "longer than 10000 bytes" in str(fault)


def test_errors_print_nothing_a_terminal_obeys(tmp_path: Path) -> None:
    """What stands in a file is shown short and harmless."""
    fault = fault_of(tmp_path / "garden.csv", plain(f"2027-01-15,\u202e{'x' * 200},2"))

    assert "\u202e" not in str(fault)
    assert len(str(fault)) < 200


HEADER_GHCN = "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME"
VALID = (
    samples.text_of(DAYS),
    samples.text_of(
        [HEADER_GHCN, *(samples.ghcn_row("20270116", name, 9, read_at="0700") for name in ("TMIN", "TMAX"))]
    ),
    b"\xef\xbb\xbf" + samples.PLAIN.replace("\n", "\r\n").encode(),
    samples.PLAIN.encode("utf-16"),
    samples.text_of(HOURS),
    samples.text_of([samples.EXTRACT_HEADER, samples.extract_row("2027-01-16"), samples.extract_row("2027-01-17")]),
    samples.text_of([samples.ghcn_row("20270116", "TMIN", -74), samples.ghcn_row("20270116", "TMAX", 42)]),
    samples.PLAIN.encode(),
    samples.PLAIN_HOURS.encode(),
    gzip.compress(samples.PLAIN.encode()),
)
BITS = st.sampled_from([b"-9999", b"\n", b",", b'"', b"\x00", b"#", b" ", b"1e999", b"nan", b"\xff", b"9" * 20, b"-"])


@st.composite
def spoiled(draw: st.DrawFn) -> bytes:
    """A good file with some stretches of it taken out and others put in."""
    content = draw(st.sampled_from(VALID))
    for _ in range(draw(st.integers(0, 4))):
        begin = draw(st.integers(0, len(content)))
        end = begin + draw(st.integers(0, 12))
        content = content[:begin] + draw(st.one_of(BITS, st.binary(max_size=6), st.just(b""))) + content[end:]
    return content


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("any")


@settings(max_examples=600, deadline=None)
@given(
    content=st.one_of(
        spoiled(),
        st.binary(max_size=200),
        st.text(max_size=200).map(str.encode),
        st.binary(max_size=60).map(gzip.compress),
        st.binary(max_size=60).map(b"\x1f\x8b\x08".__add__),
    ),
    is_told=st.booleans(),
)
def test_any_bytes_give_a_reading_or_our_error(folder: Path, content: bytes, is_told: bool) -> None:
    """Never another exception, never something half read."""
    file = folder / "any.csv"
    file.write_bytes(content)
    try:
        found = read_weather(file, **(HERE if is_told else {}))
    except WeatherFileError as fault:
        assert fault.what
        assert fault.do
        assert fault.line is None or 1 <= fault.line <= content_lines(content)
    else:
        assert isinstance(found, DailyWeather | HourlyWeather)


def content_lines(content: bytes) -> int:
    """Lines of what is in the file, or any number where it is packed and broken."""
    try:
        content = gzip.decompress(content) if content.startswith(b"\x1f\x8b") else content
    except (OSError, EOFError, zlib.error):
        return 10_000
    return content.count(b"\n") + 1
