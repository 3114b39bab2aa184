"""`afterfrost soil`: a file of weather in, the ground under a lawn out."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path

import click
import pytest
from click.testing import CliRunner
from PIL import Image

from bot.__main__ import main, soil
from rules.lawn_setting import Cover, Exposure, Moisture, SoilKind

FIELDS = ("air_min_c", "crown_min_c", "soil_2in_low_c", "soil_2in_mean_c", "soil_2in_high_c", "soil_4in_mean_c")
FLAGS = ("is_filled", "is_settling", "is_beyond_measured")
MORE_FIELDS = ("crown_low_c", "crown_high_c", "soil_1in_min_c", "soil_2in_min_c", "snow_depth_in")


def winter_file(
    folder: Path,
    days: int = 90,
    *,
    first_on: date = date(2026, 11, 1),
    soil_2in_f: float | None = None,
    latitude: float = 32.5,
    worst_f: float = 12,
) -> Path:
    """A made-up winter from 1 November with three hard nights, in our own plain form."""
    lines = ["# station: made up", f"# latitude: {latitude}", "# longitude: -87.0"]
    lines.append("date,air_min_f,air_max_f,rain_in" + (",soil_2in_f" if soil_2in_f is not None else ""))
    for number in range(days):
        low, high = (worst_f, worst_f + 18) if 70 <= number < 73 else (40, 58)
        measured = "" if soil_2in_f is None else f",{soil_2in_f}"
        lines.append(f"{first_on + timedelta(days=number)},{low},{high},0{measured}")
    file = folder / f"winter-{first_on.year}-{latitude:g}.csv"
    file.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return file


def run(*arguments: str) -> tuple[int, str]:
    done = CliRunner().invoke(main, ["soil", *arguments])
    return done.exit_code, done.output


def test_json_holds_one_object_a_day(tmp_path: Path) -> None:
    """Every day once, with units in the names; the freeze is colder at the crown than two inches down."""
    code, out = run(str(winter_file(tmp_path)), "--daily", "--json")
    days = json.loads(out)

    assert code == 0
    assert [day["date"] for day in days] == [str(date(2026, 11, 1) + timedelta(days=at)) for at in range(90)]
    assert all(set(FIELDS) <= set(day) for day in days)
    assert all(day["soil_2in_low_c"] < day["soil_2in_mean_c"] < day["soil_2in_high_c"] for day in days)
    worst = min(days, key=lambda day: day["crown_min_c"])
    assert "2027-01-10" <= worst["date"] <= "2027-01-13"
    assert worst["crown_min_c"] < worst["soil_2in_mean_c"] - 3


def test_the_coldest_days_are_told_in_words(tmp_path: Path) -> None:
    """With the air, the crown, the soil at both depths, and how wide that is."""
    code, out = run(str(winter_file(tmp_path)))

    assert code == 0
    assert "coldest days for crowns" in out
    assert "air 12 °F" in out
    assert "2 in down" in out
    assert "Nobody has measured them" in out


def test_a_record_too_short_says_what_is_needed(tmp_path: Path) -> None:
    """Two weeks tell nothing of the ground: it remembers."""
    code, out = run(str(winter_file(tmp_path, days=14)))

    assert code == 2
    assert "30 days" in out


def test_a_broken_file_names_its_line(tmp_path: Path) -> None:
    """An impossible temperature ends it, and nothing is told."""
    file = winter_file(tmp_path)
    file.write_text(file.read_text(encoding="utf-8").replace("2026-11-20,40,58", "2026-11-20,400,58"), encoding="utf-8")
    code, out = run(str(file))

    assert code == 2
    assert "24" in out  # the line
    assert "coldest" not in out


def days_of(*arguments: str) -> list[dict[str, float]]:
    code, out = run(*arguments, "--daily", "--json")
    assert code == 0, out
    found: list[dict[str, float]] = json.loads(out)
    return found


def test_json_has_exactly_these_fields(tmp_path: Path) -> None:
    """Whoever reads it relies on them; crown, 1 and 2 in lie in their bands, and in order in a freeze."""
    days = days_of(str(winter_file(tmp_path)))

    assert all(set(day) == {"date", *FIELDS, *FLAGS, *MORE_FIELDS} for day in days)
    assert all(day["crown_low_c"] < day["crown_min_c"] < day["crown_high_c"] for day in days)
    assert all(day["soil_2in_min_c"] <= day["soil_2in_mean_c"] for day in days)
    worst = days[72]
    assert worst["crown_min_c"] < worst["soil_1in_min_c"] < worst["soil_2in_min_c"]


def test_snow_as_stated_lies_on_cold_days_and_keeps_the_ground_warm(tmp_path: Path) -> None:
    """On days with a mean at or below freezing, in inches; the crown's band is narrower under it."""
    file = str(winter_file(tmp_path))
    bare, snowed = days_of(file, "--snow", "none"), days_of(file, "--snow", "3")

    assert [at for at, day in enumerate(snowed) if day["snow_depth_in"]] == [70, 71, 72]
    assert snowed[71]["snow_depth_in"] == 3
    assert all(day["snow_depth_in"] == 0 for day in bare)
    assert snowed[72]["crown_min_c"] > bare[72]["crown_min_c"] + 3
    assert snowed[72]["soil_2in_mean_c"] > bare[72]["soil_2in_mean_c"]
    widths = [days[72]["crown_high_c"] - days[72]["crown_low_c"] for days in (snowed, bare)]
    assert widths[0] < widths[1]


@pytest.mark.parametrize(
    ("flag", "colder", "warmer"),
    [
        ("--soil", "sand", "clay"),
        ("--moisture", "dry", "wet"),
        ("--cover", "thin", "thick"),
        ("--exposure", "shade", "south-slope"),
    ],
)
def test_each_setting_moves_the_soil_and_widens_its_range(tmp_path: Path, flag: str, colder: str, warmer: str) -> None:
    """The right way round, on the last of three hard days."""
    file = str(winter_file(tmp_path))
    cold, usual, warm = (days_of(file, *more)[72] for more in ((flag, colder), (), (flag, warmer)))

    assert cold["soil_2in_mean_c"] < usual["soil_2in_mean_c"] < warm["soil_2in_mean_c"]
    for each in (cold, warm):
        assert each["soil_2in_high_c"] - each["soil_2in_low_c"] > usual["soil_2in_high_c"] - usual["soil_2in_low_c"]


def test_the_flags_offer_every_setting_there_is() -> None:
    """The command line names them anew, so that it starts fast; they must not part."""
    offered = {one.name: one.type.choices for one in soil.params if isinstance(one.type, click.Choice)}

    assert offered == {
        "soil": tuple(SoilKind),
        "moisture": tuple(Moisture),
        "cover": tuple(Cover),
        "exposure": tuple(Exposure),
    }


def test_the_words_name_soil_cover_snow_and_the_width_of_the_crown(tmp_path: Path) -> None:
    """What was taken for granted is told, in the reader's units."""
    file = str(winter_file(tmp_path))
    _, usual = run(file)
    _, other = run(file, "--soil", "clay", "--cover", "thick", "--snow", "3", "--metric")
    _, none = run(file, "--snow", "none")

    assert "loam, moist, under a lawn, in the open" in usual
    assert "give or take 7 °F" in usual
    assert "clay, moist, under a lawn with thick thatch" in other
    assert "lies on the 3 days" in other
    assert "give or take 4 °C" in other
    assert "no snow lay" in none


def test_what_was_never_measured_is_flagged_and_not_told(tmp_path: Path) -> None:
    """Colder 2 in down than any record of the humid South: no number in the words."""
    _, out = run(str(winter_file(tmp_path, worst_f=-35)), "--snow", "none")
    lines = [line for line in out.splitlines() if "flagged, not told" in line]

    assert lines
    assert "2 in down flagged, not told" in lines[0]
    assert "never" not in lines[0]
    assert "Those are flagged" in out


# --- learning ---------------------------------------------------------------------------------------------------------


def test_an_earlier_winter_moves_mild_soil_and_narrows_it(tmp_path: Path) -> None:
    """Soil measured colder than the model says a year before; near freezing nothing is moved."""
    file = str(winter_file(tmp_path))
    earlier = str(winter_file(tmp_path, first_on=date(2025, 11, 1), soil_2in_f=44))
    without, with_it = days_of(file), days_of(file, "--learn-from", earlier)

    assert with_it[60]["soil_2in_mean_c"] < without[60]["soil_2in_mean_c"] - 0.5
    assert with_it[60]["soil_4in_mean_c"] < without[60]["soil_4in_mean_c"] - 0.5
    for days in (with_it, without):
        days[60]["width"] = days[60]["soil_2in_high_c"] - days[60]["soil_2in_low_c"]
    assert with_it[60]["width"] < without[60]["width"]
    assert with_it[60]["crown_min_c"] == without[60]["crown_min_c"]
    moved = [
        abs(now["soil_2in_mean_c"] - before["soil_2in_mean_c"]) for now, before in zip(with_it, without, strict=True)
    ]
    assert moved[73] < 0.5 * moved[60]
    assert "colder than the weather alone" in run(file, "--learn-from", earlier)[1]


def test_a_reading_moves_its_week_a_little(tmp_path: Path) -> None:
    """In F where no letter stands, and in C; more readings move it more."""
    file = str(winter_file(tmp_path))
    without = days_of(file)[60]["soil_2in_mean_c"]
    one = days_of(file, "--reading", "2026-12-28=44")[60]["soil_2in_mean_c"]
    same = days_of(file, "--reading", "2026-12-28=6.667C")[60]["soil_2in_mean_c"]
    three = ["--reading", "2026-12-14=44f", "--reading", "2026-12-21=44F", "--reading", "2026-12-28=44F"]

    assert 0.1 < (without - one) / (without - 6.67) < 0.5
    assert one == same
    assert days_of(file, *three)[60]["soil_2in_mean_c"] < one - 0.1


def test_what_cannot_teach_is_refused_with_the_reason(tmp_path: Path) -> None:
    """Another place, a later winter, one without soil, a day the file does not hold, one too soon."""
    file = str(winter_file(tmp_path))
    for name, how in (
        (winter_file(tmp_path, first_on=date(2025, 11, 1), soil_2in_f=50, latitude=34.0), "same station"),
        (winter_file(tmp_path, first_on=date(2027, 11, 1), soil_2in_f=50), "no day before"),
        (winter_file(tmp_path, first_on=date(2024, 11, 1)), "no soil measured 2 in down"),
    ):
        code, out = run(file, "--learn-from", str(name))
        assert code == 2
        assert how in out
    for day in ("2026-11-05", "2028-01-01"):
        code, out = run(file, "--reading", f"{day}=44F")
        assert code == 2
        assert "can teach nothing" in out


@pytest.mark.parametrize(
    ("flag", "typed", "says"),
    [
        ("--snow", "deep", "give inches"),
        ("--snow", "-2", "0 to 60 inches"),
        ("--snow", "nan", "0 to 60 inches"),
        ("--reading", "yesterday=44F", "like 2027-01-09=41F"),
        ("--reading", "2026-13-01=44F", "is not a reading"),
        ("--reading", "2026-12-28=440F", "is not a reading"),
    ],
)
def test_what_cannot_be_read_says_what_to_type(tmp_path: Path, flag: str, typed: str, says: str) -> None:
    """Exit code 2, and an example."""
    code, out = run(str(winter_file(tmp_path)), f"{flag}={typed}")

    assert code == 2
    assert says in out


# --- the picture -----------------------------------------------------------------------------------------------------


def plotted(tmp_path: Path, *more: str) -> tuple[str, Path]:
    picture = tmp_path / "freeze.png"
    done = CliRunner().invoke(main, ["soil", str(winter_file(tmp_path, days=80)), "--plot", str(picture), *more])
    return done.output, picture


def test_the_picture_of_the_coldest_freeze_is_drawn_and_told(tmp_path: Path) -> None:
    """A PNG of the documented size, and what it shows in words for whoever cannot see it."""
    told, file = plotted(tmp_path, "--grass", "bermuda/tifway")
    with Image.open(file) as picture:
        assert (picture.format, picture.size) == ("PNG", (720, 640))
    assert f"The picture is in {file}" in told
    assert "The air fell to 12 °F" in told


def test_the_grass_decides_where_it_suffers(tmp_path: Path) -> None:
    """The same freeze for a soft and a hardy grass: not the same picture."""
    soft, hardy = (plotted(tmp_path, "--grass", grass)[1].read_bytes() for grass in ("st_augustine", "zoysia/meyer"))
    assert soft != hardy


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (("--grass", "fescue"), "Known: "),
        (("--grass", "bermuda/meyer"), "is no cultivar of bermuda"),
        (("--freeze", "2026-12-24"), "no freeze on 2026-12-24"),
    ],
)
def test_what_cannot_be_drawn_says_what_to_give(tmp_path: Path, more: tuple[str, ...], said: str) -> None:
    told, file = plotted(tmp_path, *more)
    assert said in told
    assert not file.exists()


def test_a_picture_is_not_drawn_over_the_weather_nor_under_another_ending(tmp_path: Path) -> None:
    """Whatever the file is called, or the link to it; the weather stays as it was."""
    weather = winter_file(tmp_path, days=80).rename(tmp_path / "winter.png")
    written = weather.read_bytes()
    (tmp_path / "link.png").symlink_to(weather)
    for name, said in (("winter.png", "the file of weather itself"), ("link.png", "itself"), ("freeze.csv", ".png")):
        code, out = run(str(weather), "--plot", str(tmp_path / name), "--grass", "zoysia/meyer")
        assert code == 2
        assert said in " ".join(out.split())
    assert weather.read_bytes() == written
    assert not (tmp_path / "freeze.csv").exists()


def test_a_frost_apart_from_a_hard_freeze_is_drawn_as_the_chat_tells_it(tmp_path: Path) -> None:
    """The chat has it; so has the picture, by its day."""
    file = winter_file(tmp_path, days=80)
    frost = file.read_text(encoding="utf-8").replace("2026-12-24,40,58", "2026-12-24,31,50")
    file.write_text(frost, encoding="utf-8")
    picture = tmp_path / "frost.png"
    code, out = run(str(file), "--plot", str(picture), "--grass", "zoysia/meyer", "--freeze", "2026-12-24")
    assert code == 0, out
    assert "The air fell to 31 °F" in out
    assert picture.exists()


def test_a_picture_beside_readings_says_that_it_is_of_the_weather_alone(tmp_path: Path) -> None:
    plain, _ = plotted(tmp_path)
    taught, _ = plotted(tmp_path, "--reading", "2026-12-28=44")
    assert "weather alone" not in plain.split("The picture is in")[1]
    assert "The picture is of the weather alone" in taught
