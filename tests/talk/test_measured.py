"""A freeze that was measured near: told instead of asked, weighed against the owner's own reading, never in silence."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date

import pytest

from bot.conversation import RegionalFacts
from bot.talk import advice, answers
from bot.talk.case import Measured, Place
from bot.talk.chart import HalfDie, TraceChart
from bot.talk.known import Known
from bot.weather.book import Page, WeatherBook
from bot.weather.live import reanalysis
from rules.site_cold import Basis, OwnReading, SiteCold, SpotTraits
from rules.units import c_to_f
from tests.fakes.coast import coast_known, coast_weather
from tests.talk.conversation import WORDS, Conversation


def talk(known: Known | None = None) -> Conversation:
    conversation = Conversation(known=known or coast_known())
    conversation.arrive()
    return conversation


def at_the_weather(known: Known | None = None, day: str = "Jan 17") -> Conversation:
    conversation = talk(known)
    conversation.say("Pinders Mill", day)
    return conversation


def with_weather(weather: object) -> Known:
    return replace(coast_known(), weather=weather)  # type: ignore[arg-type]


@dataclass(frozen=True)
class Spoiled:
    """The coast's weather with something changed in what it finds or in what the ground did."""

    measured: Mapping[str, object] = field(default_factory=dict)
    cold: Mapping[str, object] = field(default_factory=dict)
    is_lost: bool = False

    def freeze_near(self, place: Place, on: date | None, give_or_take_days: int, asked_on: date) -> Measured | None:
        found = coast_weather().freeze_near(place, on, give_or_take_days, asked_on)
        return None if found is None else replace(found, **self.measured)  # type: ignore[arg-type]

    def cold_here(
        self, measured: Measured, snow_in: float | None, own: OwnReading | None, traits: SpotTraits
    ) -> SiteCold | None:
        found = coast_weather().cold_here(measured, snow_in, own, traits)
        return None if self.is_lost or found is None else replace(found, **self.cold)  # type: ignore[arg-type]

    def chart_here(
        self, measured: Measured, snow_in: float | None, own: OwnReading | None, traits: SpotTraits, half_die: HalfDie
    ) -> TraceChart | None:
        return None if self.is_lost else coast_weather().chart_here(measured, snow_in, own, traits, half_die)


def test_what_was_measured_is_told_with_station_distance_and_day() -> None:
    """The owner hears whose reading it is before it is used."""
    conversation = at_the_weather()
    assert conversation.asked == "weather_fits"
    assert (
        "The station at Pinders Mill Airfield, 4 miles from you, read 14 °F at its lowest, on Sun, Jan 17."
        in conversation.text
    )


def test_a_measured_freeze_is_not_asked_for() -> None:
    """Neither air, nor days, nor snow where none can have fallen: three questions fewer."""
    conversation = at_the_weather()
    conversation.say("yes")
    assert conversation.asked == "grass"


def test_without_weather_near_everything_is_asked_as_before() -> None:
    """A place out of reach of every station."""
    far = replace(coast_known(), find_places=lambda said: (FAR,))
    conversation = at_the_weather(far)
    assert conversation.asked == "air_min"
    assert conversation.case.measured is None
    none = at_the_weather(coast_known(has_weather=False))
    assert none.asked == "air_min"


FAR = Place(
    name="Far Field", county="Tarrow County", state="TC", zone="America/New_York", latitude=34.5, longitude=-88.0
)


@pytest.mark.parametrize(("said", "colder"), [("it was colder here", True), ("milder", False)])
def test_somebody_who_says_it_was_otherwise_is_asked_how_cold(said: str, colder: bool) -> None:
    """And their reading is weighed against the station's."""
    conversation = at_the_weather()
    conversation.say(said)
    assert conversation.asked == "air_min"
    conversation.say("8 F" if colder else "19 F", "raleigh", "straw")
    air_c = advice.lawn_view(conversation.case, conversation.known).spots[0].cold.air_min_c
    station_c = coast_weather().freeze_near(conversation_place(conversation), date(2027, 1, 17), 0, date(2027, 1, 20))
    assert station_c is not None
    assert (air_c < station_c.air_min_c) is colder


def conversation_place(conversation: Conversation) -> Place:
    return conversation.known.find_places("pinders mill")[0]


def test_a_thermometer_reading_may_be_typed_straight_away() -> None:
    """ "my thermometer read 8" answers both at once, and both readings are told with what was made of them."""
    conversation = at_the_weather()
    conversation.say("my thermometer read 8")
    assert conversation.asked == "grass"
    conversation.say("raleigh", "straw")
    assert "Pinders Mill Airfield read 14 °F on Sun, Jan 17, you read 8 °F." in conversation.text
    assert "I take 12 °F for your yard" in conversation.text


def test_back_and_a_changed_day_look_the_weather_up_again() -> None:
    """The question goes with the freeze it belongs to."""
    conversation = at_the_weather()
    conversation.say("back")
    assert conversation.asked == "coldest_on"
    assert conversation.case.measured is None
    conversation.say("Dec 20")
    assert conversation.asked == "weather_other"
    conversation.say("back", "Jan 16")
    assert conversation.asked == "weather_fits"


def test_an_owner_who_is_not_sure_of_the_day_gets_the_winter_s_coldest() -> None:
    """It is told with its day, so they can see which freeze is meant."""
    conversation = at_the_weather(day="not sure")
    assert "read 14 °F at its lowest, on Sun, Jan 17" in conversation.text
    assert advice.freeze_on(conversation.case, conversation.known) == date(2027, 1, 17)


def test_the_freeze_an_operator_names_is_the_one_meant() -> None:
    """An operator who names a day wins over the coldest one."""
    conversation = Conversation(known=coast_known(RegionalFacts(coldest_on=date(2027, 2, 7))))
    conversation.now = conversation.now.replace(month=2, day=20)
    conversation.arrive()
    conversation.say("Pinders Mill", "not sure")
    assert conversation.case.measured is not None
    assert conversation.case.measured.coldest_on == date(2027, 2, 6)


def summary(weather: object | None = None, *lines: str) -> Conversation:
    conversation = at_the_weather(with_weather(weather) if weather else None)
    conversation.say(*(lines or ("yes", "raleigh", "straw")))
    return conversation


def cold_message(conversation: Conversation) -> str:
    assert conversation.homeowner is not None
    texts = [WORDS.render(say, conversation.homeowner).text for say in conversation.heard]
    return next(text for text in texts if text.startswith("How cold it got"))


def test_how_cold_it_got_is_told_in_one_short_message() -> None:
    """Air, two inches down and crown apart, each with its depth, the crown with its width, the limit of the grass."""
    told = cold_message(summary())
    assert len(told) < 500
    for part in (
        "air down to 14 °F",
        "Two inches down",
        "On top",
        "Nobody measures that spot",
        "half of this grass's",
    ):
        assert part in told


@pytest.mark.parametrize("grass", ["bermuda", "not sure"])
@pytest.mark.parametrize("metric", [False, True])
@pytest.mark.parametrize(
    "weather",
    [
        Spoiled(),
        Spoiled(measured={"is_thermometer": False, "credit": reanalysis.CREDIT}),
        Spoiled(measured={"days_filled": 2, "height_m": 120.0}),
        Spoiled(cold={"snow_in": 4.0}),
        Spoiled(cold={"is_beyond_measured": True}),
    ],
)
def test_it_stays_under_five_hundred_characters_whatever_is_in_it(grass: str, metric: bool, weather: Spoiled) -> None:
    conversation = at_the_weather(with_weather(weather))
    if metric:
        conversation.say("metric")
    conversation.say("yes", grass)
    while conversation.asked.startswith("key_") or conversation.asked == "snow":
        conversation.say("not sure")
    conversation.say("straw")
    assert len(cold_message(conversation)) < 500


def test_a_model_s_weather_is_told_as_that_with_its_credit() -> None:
    credit = "Weather data by a model (CC BY 4.0), example.org"
    conversation = at_the_weather(with_weather(Spoiled(measured={"is_thermometer": False, "credit": credit})))
    assert "a weather model has 14 °F" in conversation.text
    conversation.say("yes", "raleigh", "straw")
    assert credit in cold_message(conversation)


@pytest.mark.parametrize(
    ("height_m", "told"), [(120.0, "400 feet higher than you"), (-80.0, "250 feet lower than you")]
)
def test_a_station_much_higher_or_lower_is_said_to_be(height_m: float, told: str) -> None:
    assert told in cold_message(summary(Spoiled(measured={"height_m": height_m})))
    assert "feet" not in cold_message(summary(Spoiled(measured={"height_m": 20.0})))


def test_filled_days_are_told() -> None:
    """Never in silence."""
    assert "2 days were missing there" in cold_message(summary(Spoiled(measured={"days_filled": 2})))


def test_a_soil_colder_than_any_measured_is_flagged_and_not_told() -> None:
    told = cold_message(summary(Spoiled(cold={"is_beyond_measured": True, "soil_2in_min_c": -7.0})))
    assert "colder than was ever measured" in told
    assert "19 °F" not in told.partition("On top")[0]


def test_when_the_weather_is_gone_the_kept_reading_still_counts() -> None:
    """A table taken off the shelf: roughly, from what was told, and nothing breaks."""
    conversation = summary(Spoiled(is_lost=True))
    view = advice.lawn_view(conversation.case, conversation.known)
    assert view.spots[0].cold.basis is Basis.TOLD
    assert view.spots[0].cold.air_min_c == pytest.approx(-10.0)


def test_snow_is_asked_where_it_may_have_fallen_and_protects() -> None:
    conversation = at_the_weather(with_weather(Spoiled(measured={"may_have_snowed": True})))
    conversation.say("yes")
    assert conversation.asked == "snow"
    bare = advice.lawn_view(conversation.case, conversation.known).spots[0].cold.crown.min_c
    conversation.say("5 inches")
    assert advice.lawn_view(conversation.case, conversation.known).spots[0].cold.crown.min_c > bare + 2


def test_a_book_without_pages_knows_nothing() -> None:
    assert WeatherBook().freeze_near(FAR, date(2027, 1, 17), 0, date(2027, 1, 20)) is None
    assert isinstance(next(iter(coast_weather().pages.values())), Page)


def test_a_day_without_frost_is_not_passed_over_in_silence() -> None:
    """The station read none then, and a freeze some days later: did they mean that one?"""
    conversation = at_the_weather(day="Jan 10")
    assert conversation.asked == "weather_other"
    assert "read no frost around Sun, Jan 10. Its coldest this winter was 14 °F, on Sun, Jan 17" in conversation.text
    conversation.say("yes")
    assert conversation.asked == "grass"
    assert advice.freeze_on(conversation.case, conversation.known) == date(2027, 1, 17)


def test_who_means_another_freeze_is_asked_how_cold_it_got() -> None:
    """Then nothing measured counts."""
    conversation = at_the_weather(day="Jan 10")
    conversation.say("no")
    assert conversation.asked == "air_min"
    conversation.say("20", "one night", "no", "raleigh", "straw")
    assert advice.freeze_on(conversation.case, conversation.known) == date(2027, 1, 10)
    assert "How cold it got" not in conversation.text


def air_taken_f(conversation: Conversation) -> float:
    return c_to_f(advice.lawn_view(conversation.case, conversation.known).spots[0].cold.air_min_c)


@pytest.mark.parametrize(
    ("said", "low_f", "high_f"),
    [
        ("3 degrees colder than that", 11.5, 13.5),
        ("5 colder", 10.5, 13.0),
        ("maybe 2 degrees warmer here", 14.2, 16.0),
        ("colder by about 4 degrees", 11.0, 13.5),
        ("14 at the airport, 9 here", 11.0, 13.5),
        ("it was 12 at my house", 12.5, 14.0),
        ("it got down to 10", 11.5, 13.5),
    ],
)
def test_differences_and_own_readings_are_weighed_against_the_station(said: str, low_f: float, high_f: float) -> None:
    """ "3 degrees colder" is no reading of three degrees."""
    conversation = at_the_weather()
    conversation.say(said)
    assert conversation.asked == "grass"
    assert low_f < air_taken_f(conversation) < high_f


@pytest.mark.parametrize(("said", "code"), [("1", "fits"), ("2", "colder"), ("3", "milder"), ("4", "snowed")])
def test_a_small_number_picks_a_line(said: str, code: str) -> None:
    conversation = at_the_weather()
    conversation.say(said)
    assert answers.code(conversation.case, "weather_fits") == code


@pytest.mark.parametrize("said", ["no", "nope", "not really", "hell no"])
def test_a_plain_no_is_asked_which_way(said: str) -> None:
    conversation = at_the_weather()
    conversation.say(said)
    assert "colder or milder" in conversation.text
    assert conversation.asked == "weather_fits"


@pytest.mark.parametrize("said", ["30", "-60", "mine said 60"])
def test_a_reading_far_from_the_station_is_asked_for_again(said: str) -> None:
    """Another night, another place or another unit. A bound is told in the owner's own unit."""
    conversation = at_the_weather()
    conversation.say(said if said != "30" else "42")
    assert conversation.asked == "weather_fits"
    assert "-51" not in conversation.text


def test_a_reading_that_disagrees_widens_the_range_to_hold_both() -> None:
    agreeing, disagreeing = at_the_weather(), at_the_weather()
    agreeing.say("13")
    disagreeing.say("30")
    widths = [advice.lawn_view(c.case, c.known).spots[0].cold.crown.sd_dc for c in (agreeing, disagreeing)]
    assert widths[1] > widths[0] + 1


@pytest.mark.parametrize(("said", "way"), [("it was colder here", -1), ("milder", 1)])
def test_colder_or_milder_without_a_number_still_counts(said: str, way: int) -> None:
    conversation = at_the_weather()
    conversation.say(said, "not sure", "raleigh", "straw")
    assert (air_taken_f(conversation) - 14) * way > 0.5
    assert ("colder" if way < 0 else "milder") in cold_message(conversation)


@pytest.mark.parametrize("said", ["yes but we had snow, 3 inches", "it snowed here too"])
def test_snow_that_fell_only_here_is_asked_about(said: str) -> None:
    """A station miles off may have had none."""
    conversation = at_the_weather()
    conversation.say(said)
    assert conversation.asked == "snow"


def test_a_gap_in_the_freeze_is_told_with_the_question() -> None:
    conversation = at_the_weather(with_weather(Spoiled(measured={"days_filled": 2})))
    assert "It missed 2 days of the freeze, so it may have been colder" in conversation.text


def test_snow_that_nobody_measured_is_told_as_a_doubt() -> None:
    unknown = Spoiled(measured={"may_have_snowed": True, "snow_is_measured": False})
    told = cold_message(summary(unknown, "yes", "not sure", "raleigh", "straw"))
    assert "nobody measured if it was snow" in told
    assert len(told) < 500


def test_a_flagged_soil_is_not_told_by_the_rule_of_thumb_either() -> None:
    conversation = summary(Spoiled(cold={"is_beyond_measured": True, "soil_2in_min_c": -7.0}))
    assert "rule of thumb" not in conversation.text


@pytest.mark.parametrize(("said", "told_f"), [("5 below", -5.0), ("10 below zero", -10.0), ("14 more or less", 14.0)])
def test_below_and_more_are_no_differences_by_themselves(said: str, told_f: float) -> None:
    """ "5 below" is five below zero, at either question."""
    conversation = at_the_weather(coast_known(has_weather=False))
    conversation.say(said)
    told = answers.air_min(conversation.case)
    assert told is not None
    assert c_to_f(told.mean_c) == pytest.approx(told_f, abs=0.6)
    near = at_the_weather()
    near.say(said if told_f > 0 else "5 below that")
    own = answers.air_min(near.case)
    assert own is not None
    assert c_to_f(own.mean_c) == pytest.approx(told_f if told_f > 0 else 9.0, abs=0.6)
