"""How cold it was, as owners write it."""

from __future__ import annotations

import pytest

from bot.talk.case import TemperatureTold
from bot.talk.understand import Unclear, temperature
from rules.units import c_to_f


def _fahrenheit(told: TemperatureTold | Unclear) -> float:
    assert isinstance(told, TemperatureTold), told
    return c_to_f(told.mean_c)


EXACT, ABOUT, DECADE, PART = 1.0, 1.5, 2.0, 1.2


@pytest.mark.parametrize(
    "said",
    [
        "17 with wind chill of 5",
        "17 with a wind chill of 5",
        "17 with the wind chill at 5",
        "17, wind chill 5",
        "17F wind chill 5F",
        "17 wind chill -3",
        "17 degrees with wind chills near -3",
        "17 and the wind chill was 5",
        "17 (wind chill 5)",
        "wind chill 5, 17 actual",
        "wind chill of 5, air 17",
        "wind chills 0 to 5, low 17",
        "wind chill was in the single digits, actual 17",
        "windchill below zero, 17 actual",
        "5 wind chill, 17 actual",
        "5 with wind chill but 17 actual",
        "17 actual, 5 windchill",
        "17, 5 with the wind chill",
        "17 with a 5 degree wind chill",
        "17 without wind chill, 5 with",
        "17 not counting wind chill",
        "17 but felt like 5",
        "17 but it felt like 5",
        "17 (feels like -3)",
        "17, real feel 5",
        "felt like 5, real temp 17",
        "it was 17 but the wind made it feel like 5",
    ],
)
def test_air_told_beside_wind_chill_counts(said: str) -> None:
    """Whichever comes first, and with whatever words between."""
    assert _fahrenheit(temperature(said, metric=False)) == pytest.approx(17)


@pytest.mark.parametrize(
    ("said", "lowest"),
    [
        ("it was 17 Saturday and 15 Sunday", 15),
        ("17 one night and 15 the next", 15),
        ("15 saturday, 22 sunday", 15),
        ("17 on friday, 15 on saturday and 19 on sunday", 15),
        ("17 the first night and 9 the second", 9),
        ("17 last night and 15 the night before", 15),
        ("17 on jan 16 and 15 on jan 17", 15),
        ("17 on the 16th, 22 on the 20th", 17),
        ("-8 C monday, -10 C tuesday", 14),
        ("teens saturday and 20s sunday", 16),
        ("17 one night, 15 the other", 15),
    ],
)
def test_of_nights_told_one_by_one_the_coldest_counts(said: str, lowest: float) -> None:
    """A range is one night told with a margin; two nights are two figures."""
    assert _fahrenheit(temperature(said, metric=False)) == pytest.approx(lowest)


@pytest.mark.parametrize("said", ["10 wind chill", "feels like 5", "it felt like -3 F", "17 with the wind chill"])
def test_wind_chill_is_not_the_air(said: str) -> None:
    """What skin feels says nothing about grass; with the air told beside it, the air counts."""
    told = temperature(said, metric=False)

    assert isinstance(told, Unclear)
    assert told.reason == "wind_chill"
    assert _fahrenheit(temperature(f"{said}, air 20", metric=False)) == pytest.approx(20)


@pytest.mark.parametrize(
    ("said", "mean_f", "sd_dc"),
    [
        ("17", 17, EXACT),
        ("17F", 17, EXACT),
        ("17 f.", 17, EXACT),
        ("17 °F", 17, EXACT),
        ("17ºF", 17, EXACT),
        ("17℉", 17, EXACT),
        ("17 degrees", 17, EXACT),
        ("17.5 deg F", 17.5, EXACT),
        ("٢٢", 22, EXACT),
        ("seventeen", 17, EXACT),
        ("twenty-two degrees", 22, EXACT),
        ("it got down to 17", 17, EXACT),
        ("it got down to 17 on January 16th", 17, EXACT),
        ("17F at 6 am", 17, EXACT),
        ("17 degrees for 3 hours", 17, EXACT),
        ("2 nights at 19", 19, EXACT),
        ("high 40F, low 17F", 17, EXACT),
        ("17F (-8C)", 17, EXACT),
        ("zero", 0, EXACT),
        ("0F", 0, EXACT),
        ("-8", -8, EXACT),
        ("−8", -8, EXACT),
        ("minus 5", -5, EXACT),
        ("negative five", -5, EXACT),
        ("-8 C", 17.6, EXACT),
        ("-8°C", 17.6, EXACT),
        ("minus eight celsius", 17.6, EXACT),
        ("-8 celcius", 17.6, EXACT),
        ("5 below", -5, EXACT),
        ("5 below zero", -5, EXACT),
        ("10 degrees below freezing", 22, EXACT),
        ("around 17", 17, ABOUT),
        ("about 20 or so", 20, ABOUT),
        ("~18", 18, ABOUT),
        ("20ish", 20, ABOUT),
        ("i think 19", 19, ABOUT),
        ("below 20", 17, DECADE),
        ("under 20 degrees", 17, DECADE),
        ("over 25", 28, DECADE),
        ("teens", 16, DECADE),
        ("in the teens", 16, DECADE),
        ("lows in the teens", 16, DECADE),
        ("low teens", 12.25, PART),
        ("mid teens", 15, PART),
        ("mid-teens", 15, PART),
        ("upper teens", 18, PART),
        ("high teens", 18, PART),
        ("20s", 25, DECADE),
        ("the 20's", 25, DECADE),
        ("twenties", 25, DECADE),
        ("low 20s", 22.25, PART),
        ("low twenties", 22.25, PART),
        ("mid 20s", 25, PART),
        ("upper 20s", 28, PART),
        ("mid to upper 20s", 26.5, DECADE),
        ("low 30s", 32.25, PART),
        ("twenty something", 25, DECADE),
        ("20 something", 25, DECADE),
        ("20-something degrees", 25, DECADE),
        ("low twenty something", 22.25, PART),
        ("twenty-ish", 25, DECADE),
        ("twentyish", 25, DECADE),
        ("15 to 17", 16, 0.75 + 2 / 1.8 / 4),
        ("15 or 17 saturday", 16, 0.75 + 2 / 1.8 / 4),
        ("teens with wind chill of 5", 16, DECADE),
        ("single digits", 5, DECADE),
        ("low single digits", 2.25, PART),
        ("below zero", -5, 3.0),
        ("below freezing", 26.6, 3.0),
        ("15-18", 16.5, 0.75 + 3 / 1.8 / 4),
        ("15 to 18", 16.5, 0.75 + 3 / 1.8 / 4),
        ("18-15", 16.5, 0.75 + 3 / 1.8 / 4),
        ("15/18", 16.5, 0.75 + 3 / 1.8 / 4),
        ("between 12 and 15", 13.5, 0.75 + 3 / 1.8 / 4),
        ("12 or 15 F", 13.5, 0.75 + 3 / 1.8 / 4),
        ("10 to 26", 18, 0.75 + 16 / 1.8 / 4),
        ("-5 to -8 C", 20.3, 0.75 + 3 / 4),
        ("-5 - -8 C", 20.3, 0.75 + 3 / 4),
        ("-5-8 C", 20.3, 0.75 + 3 / 4),
        ("maybe 18?", 18, ABOUT),
        ("17, maybe 18", 17.5, ABOUT),
        ("mid20s", 25, PART),
        ("high 20's to low 30s", 30.25, DECADE),
        ("15 above zero", 15, EXACT),
    ],
)
def test_temperature_is_understood_with_how_exactly_it_was_said(said: str, mean_f: float, sd_dc: float) -> None:
    """Figures, words, decades and ranges; the spread is wider where the words are vaguer."""
    told = temperature(said, metric=False)

    assert mean_f == pytest.approx(_fahrenheit(told), abs=1e-6)
    assert isinstance(told, TemperatureTold)
    assert told.sd_dc == pytest.approx(sd_dc, abs=0.01)


@pytest.mark.parametrize(
    ("said", "mean_c"),
    [
        ("-8", -8),
        ("-8.5", -8.5),
        ("-8,5", -8.5),
        ("17 F", -8.333),
        ("5 below", -5),
        ("minus teens", -16),
        ("0", 0),
        ("2", 2),
    ],
)
def test_bare_temperature_is_celsius_for_metric_owners(said: str, mean_c: float) -> None:
    """Whoever chose metric means Celsius, unless the unit says otherwise."""
    told = temperature(said, metric=True)

    assert isinstance(told, TemperatureTold)
    assert mean_c == pytest.approx(told.mean_c, abs=1e-3)


@pytest.mark.parametrize(
    ("said", "metric", "reason"),
    [
        ("", False, "empty"),
        ("\u200b\u202e", False, "empty"),
        ("cold", False, "no_number"),
        ("3 inches", False, "no_number"),
        ("40%", False, "no_number"),
        ("12 25", False, "several_numbers"),
        ("22 at my house, 12 at the airport", False, "several_numbers"),
        ("teens, then 20s, then 30s", False, "several_numbers"),
        ("-20 to 60", False, "several_numbers"),
        ("70", False, "too_big"),
        ("9" * 400, False, "too_big"),
        ("40", False, "not_freezing"),
        ("36 F", False, "not_freezing"),
        ("17", True, "too_big"),
        ("5", True, "not_freezing"),
        ("-70", False, "too_small"),
        ("-60 C", False, "too_small"),
    ],
)
def test_what_is_no_freezing_temperature_is_unclear(said: str, metric: bool, reason: str) -> None:
    """A number that cannot be a freezing night, or none at all, comes back with the reason."""
    told = temperature(said, metric=metric)

    assert isinstance(told, Unclear)
    assert reason == told.reason


def test_refused_temperature_tells_the_range_in_celsius() -> None:
    """The words that ask again can name the limits in either unit."""
    told = temperature("120", metric=False)

    assert isinstance(told, Unclear)
    assert told.low is not None and told.high is not None
    assert (-60, 45) == (pytest.approx(c_to_f(told.low)), pytest.approx(c_to_f(told.high)))
