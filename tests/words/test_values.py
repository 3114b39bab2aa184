"""Numbers, dates, units and odds as people read them, in both unit systems."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from bot.talk.case import Homeowner
from bot.talk.effects import Say
from bot.talk.messages import (
    AreaSqft,
    Chance,
    ClockTime,
    Cover,
    Day,
    DistanceMiles,
    HeightM,
    LengthIn,
    MassLb,
    Number,
    RateLbPer1000,
    Several,
    Share,
    TemperatureC,
    Value,
    Verbatim,
    VolumeGal,
    text,
)
from bot.words import Words, WordsError
from rules.units import f_to_c

WORDS = Words()


def shown(value: Value, *, metric: bool = False) -> str:
    return WORDS.text(text("spot-name", name=value), metric=metric)


@pytest.mark.parametrize(
    ("value", "us", "metric"),
    [
        (TemperatureC(f_to_c(17)), "17 °F", "-8 °C"),
        (TemperatureC(-3.3, 2.8), "26 °F (21 to 31)", "-3 °C (-6 to 0)"),
        (TemperatureC(-0.2), "32 °F", "0 °C"),
        (LengthIn(3.5), "3½ in", "8.9 cm"),
        (LengthIn(0.5), "½ in", "1.3 cm"),
        (LengthIn(2), "2 in", "5.1 cm"),
        (LengthIn(2.65), "2⅝ in", "6.7 cm"),
        (DistanceMiles(9), "9 miles", "14 km"),
        (DistanceMiles(0.6), "1 mile", "1 km"),
        (HeightM(93), "300 feet", "90 m"),
        (AreaSqft(1200), "1,200 sq ft", "111 m²"),
        (MassLb(10.9375), "10.9 lb", "5 kg"),
        (MassLb(0.35), "0.35 lb", "0.16 kg"),
        (RateLbPer1000(2.1875), "2.2 lb per 1,000 sq ft", "10.7 g per m²"),
        (VolumeGal(623.4), "620 gal", "2,400 L"),
        (Number(1200), "1,200", "1,200"),
        (Verbatim("St. Simons"), "St. Simons", "St. Simons"),
    ],
)
def test_measures_read_in_the_homeowners_units(value: Value, us: str, metric: str) -> None:
    """Every measure has its unit, rounded to what a ruler, a scale or a meter shows."""
    assert (shown(value), shown(value, metric=True)) == (us, metric)


def test_a_computed_date_says_about_and_no_weekday() -> None:
    """A date told as about must not look exact."""
    assert shown(Day(date(2027, 5, 7))) == "Fri, May 7"
    assert shown(Day(date(2027, 5, 7), about=True)) == "about May 7"


def test_clock_times_read_as_on_a_clock() -> None:
    """Twelve hours, with AM and PM."""
    assert shown(ClockTime(datetime(2027, 1, 19, 16, 40, tzinfo=UTC))) == "4:40 PM"


@pytest.mark.parametrize(
    ("probability", "words"),
    [
        (0.999, "nearly certain"),
        (0.9, "very likely"),
        (0.7, "likely"),
        (0.5, "about even odds"),
        (0.2, "not likely, about 1 chance in 5"),
        (1 / 12, "about 1 chance in 12"),
        (0.001, "hardly any chance"),
    ],
)
def test_odds_are_told_in_words(probability: float, words: str) -> None:
    """Odds in words, and as one chance in so many where they are small."""
    assert shown(Chance(probability)) == words


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (Share(0.4, 0.1, 0.7), "about 4 in 10 (between 1 and 7 in 10)"),
        (Share(0.4), "about 4 in 10"),
        (Share(0.0, 0.0, 0.3), "hardly any (at most about 3 in 10)"),
        (Share(1.0, 0.6, 1.0), "nearly all (at least about 6 in 10)"),
        (Share(0.6, 0.0, 1.0), "perhaps 6 in 10, but it could be anything from none to all"),
        (Cover(0.0), "no green"),
        (Cover(0.02), "a few green blades"),
        (Cover(0.25), "about 25 % green"),
    ],
)
def test_shares_are_told_with_their_range(share: Value, words: str) -> None:
    """A share never stands as a single exact number where a range is known."""
    assert shown(share) == words


def test_lists_are_joined_as_the_language_joins_them() -> None:
    """Commas and "and"."""
    assert shown(Several((Verbatim("a"), Verbatim("b"), Verbatim("c")))) == "a, b, and c"


def test_bullets_stand_together_and_paragraphs_apart() -> None:
    """Lines of a list are not torn apart by empty lines."""
    say = Say(parts=(text("feed-wait"), text("feed-gate-weather"), text("feed-gate-last_frost"), text("help-place")))

    rendered = WORDS.render(say, Homeowner()).text

    assert rendered.count("\n\n") == 2
    assert "\n• the last frost" in rendered


def test_a_missing_key_is_an_error_that_names_it() -> None:
    """An empty message never goes out."""
    with pytest.raises(WordsError, match="no-such-key"):
        WORDS.text(text("no-such-key"))


def test_a_value_that_is_missing_is_an_error() -> None:
    """A message with a hole never goes out."""
    with pytest.raises(WordsError, match="said-area"):
        WORDS.text(text("said-area"))
