"""Small weather files of every kind, made up: their stations exist nowhere."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta

CODE, OTHER_CODE = "99001", "99002"
PLACE = ("-83.10", "31.25")  # degrees east, degrees north
GHCN_CODE, OTHER_GHCN_CODE = "USX00099001", "USX00099002"
EXTRACT_HEADER = (
    "station,date,WBANNO,LONGITUDE,LATITUDE,T_DAILY_MAX,T_DAILY_MIN,T_DAILY_AVG,P_DAILY_CALC,SOLARAD_DAILY,"
    "SOIL_MOISTURE_5_DAILY,SOIL_TEMP_5_DAILY,SOIL_TEMP_10_DAILY"
)


def crn_day(day: str, low: str = "-3.1", high: str = "9.0", *, code: str = CODE, **cells: str) -> str:
    """One line of daily01: 28 columns of fixed width."""
    get = cells.get
    head = f"{code} {day}  2.422 {get('longitude', PLACE[0]):>7} {get('latitude', PLACE[1]):>7}"
    air = f"{high:>7} {low:>7} {'3.0':>7} {get('mean', '2.8'):>7} {get('rain', '0.0'):>7} {get('solar', '10.25'):>8}"
    surface = f"C {'12.0':>7} {'-5.0':>7} {'3.0':>7} {'90.1':>7} {'30.2':>7} {'60.3':>7}"
    moisture = " ".join(f"{each:>7}" for each in (get("moisture", "0.213"), "0.200", "-99.000", "-99.000", "-99.000"))
    soil = " ".join(f"{each:>7}" for each in (get("soil", "8.1"), "8.9", "-9999.0", "-9999.0", "-9999.0"))
    return f"{head} {air} {surface} {moisture} {soil}"


def crn_days(first: str, lows: Sequence[str]) -> list[str]:
    """Consecutive days of daily01."""
    start = date.fromisoformat(first)
    return [crn_day(f"{start + timedelta(days=at):%Y%m%d}", low) for at, low in enumerate(lows)]


def crn_hour(ends: str, air: str = "1.5", *, offset_hours: int = -5, code: str = CODE, **cells: str) -> str:
    """One line of hourly02: 38 columns of fixed width. `ends` like 2027-01-16T00, in UTC."""
    utc = datetime.fromisoformat(f"{ends}:00+00:00")
    local, get = utc + timedelta(hours=offset_hours), cells.get
    head = f"{code} {utc:%Y%m%d %H%M} {local:%Y%m%d %H%M}  2.422 {PLACE[0]:>7} {PLACE[1]:>7}"
    temperatures = f"{'1.4':>7} {air:>7} {'2.0':>7} {'1.0':>7} {get('rain', '0.2'):>7}"
    solar = f"{get('solar', '100'):>6} {get('solar_flag', '0')} {'120':>6} 0 {'80':>6} 0"
    surface = f"C {'2.0':>7} 0 {'3.0':>7} 0 {'1.0':>7} 0 {'80':>5} 0"
    moisture = " ".join(f"{each:>7}" for each in (get("moisture", "0.213"), *["-99.000"] * 4))
    soil = " ".join(f"{each:>7}" for each in (get("soil", "8.1"), "8.9", *["-9999.0"] * 3))
    return f"{head} {temperatures} {solar} {surface} {moisture} {soil}"


def crn_hours(first: str, airs: Sequence[str]) -> list[str]:
    """Consecutive hours of hourly02."""
    start = datetime.fromisoformat(f"{first}:00+00:00")
    return [crn_hour(f"{start + timedelta(hours=at):%Y-%m-%dT%H}", air) for at, air in enumerate(airs)]


def extract_row(day: str, low: str = "-3.1", high: str = "9.0", *, code: str = CODE, name: str = "Mossy Bend") -> str:
    """One row under EXTRACT_HEADER."""
    return f"{name},{day},{code},{PLACE[0]},{PLACE[1]},{high},{low},2.8,0.0,,0.213,8.1,8.9"


def ghcn_row(
    day: str, element: str, value: int | str, *, code: str = GHCN_CODE, qflag: str = "", read_at: str = "2400"
) -> str:
    """One row of GHCN-Daily by station."""
    return f"{code},{day},{element},{value},,{qflag},7,{read_at}"


def stations_row(code: str = GHCN_CODE) -> str:
    """One line of the archive's list of stations, columns of fixed width."""
    return f"{code}  31.2500  -83.1000   75.0 GA MOSSY BEND 3 NE                         99001"


PLAIN = """# station: back garden
# latitude: 31.25
# longitude: -83.10
# what a remark is for
date,air_min_f,air_max_f,rain_in,snow_depth_in,soil_2in_f
2027-01-15,30.2,50,0,0,46.4
2027-01-16,17.6,32,0.5,2,
2027-01-17,23,41,,0,41
"""

PLAIN_HOURS = """# latitude: 31.25
# longitude: -83.10
# utc_offset_hours: -5
time_utc,air_c,rain_mm
2027-01-16T05:00,-2.5,0
2027-01-16T06:00Z,-3.5,0
2027-01-16 07:00:00,,0.2
"""


def text_of(lines: Sequence[str]) -> bytes:
    """Lines as a file."""
    return ("\n".join(lines) + "\n").encode()
