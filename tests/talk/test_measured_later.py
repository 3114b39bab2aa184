"""Weather that comes in late, a freeze that goes on, a place that changes: what was said still counts, news is told."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from bot.store.rows import dump_rendered, load_rendered
from bot.talk import advice
from bot.talk.known import Known
from bot.weather.book import book_of
from rules.site_cold import Basis
from rules.weather import between
from tests.fakes.coast import coast_known, coast_weather
from tests.talk.conversation import WORDS, Conversation
from tests.talk.test_measured import (
    Spoiled,
    at_the_weather,
    cold_message,
    conversation_place,
    summary,
    talk,
    with_weather,
)


def planned_without_weather() -> Conversation:
    """A plan confirmed on what the owner said, before any weather was at hand."""
    conversation = at_the_weather(coast_known(has_weather=False))
    conversation.say("low 20s", "3 nights", "no snow", "raleigh", "straw")
    for _ in range(20):
        if not conversation.asked:
            break
        conversation.say("yes" if conversation.asked in ("time_ok", "keep_track") else "not sure")
    assert conversation.case.tasks
    return conversation


def next_reminder(conversation: Conversation) -> str:
    for _ in range(40):
        if conversation.pass_days(1):
            return conversation.text
    raise AssertionError("nothing came up in forty days")


def test_weather_that_comes_in_later_is_told_once_with_what_it_changes() -> None:
    """In the next reminder, in front of what it is about; what the owner had said still counts."""
    conversation = planned_without_weather()
    before = advice.lawn_view(conversation.case, conversation.known).spots[0].odds
    conversation.known = coast_known()
    told = next_reminder(conversation)
    assert told.startswith("Now I have the weather that was measured near you. Pinders Mill Airfield, 4 miles away")
    assert "may be lost. Now I'd say" in told
    after = advice.lawn_view(conversation.case, conversation.known).spots[0]
    assert after.cold.basis is Basis.MODELLED
    assert after.odds.quantile_fraction(0.5) != before.quantile_fraction(0.5)
    assert not next_reminder(conversation).startswith("Now I have")
    assert conversation.case.measured is not None and conversation.case.measured.came_late


def test_late_weather_reopens_no_question() -> None:
    """Nobody is asked again about a cold they answered for."""
    conversation = planned_without_weather()
    conversation.known = coast_known()
    next_reminder(conversation)
    conversation.say("done")
    assert conversation.asked not in ("weather_fits", "air_min", "days_cold", "snow")
    assert {"air_min", "days_cold", "snow"} <= {answer.question for answer in conversation.case.answers}


def test_without_new_weather_nothing_is_said_of_it() -> None:
    assert "weather" not in next_reminder(planned_without_weather())


def test_the_picture_comes_with_the_cold_and_is_told_in_words_too() -> None:
    """Its alt text names the same lows; the chart is stored with the message and read back the same."""
    conversation = summary()
    (say,) = (each for each in conversation.heard if each.chart is not None)
    assert conversation.homeowner is not None
    rendered = WORDS.render(say, conversation.homeowner)
    assert rendered.chart is not None and rendered.picture_alt is not None
    assert "The air fell to 14 °F on Sun, Jan 17" in rendered.picture_alt
    assert min(rendered.chart.air_c) == pytest.approx(-10.0, abs=0.1)
    assert load_rendered(dump_rendered(rendered)) == rendered
    assert len(dump_rendered(rendered)) < 6000
    told = cold_message(conversation)
    for low in ("19 °F (12 to 27)", "36 °F (32 to 40)"):
        assert low in told and low in rendered.picture_alt, "text and picture tell the same ranges"


def test_no_picture_of_a_soil_colder_than_any_measured() -> None:
    conversation = summary(Spoiled(cold={"is_beyond_measured": True}))
    assert all(say.chart is None for say in conversation.heard)


def test_the_middle_of_a_state_is_near_no_station() -> None:
    """Who names only a state is told no distance, and asked how cold it got."""
    rough = replace(conversation_place(talk()), is_rough=True)
    conversation = at_the_weather(replace(coast_known(), find_places=lambda said: (rough,)))
    assert conversation.asked == "air_min"


def test_weather_that_comes_in_between_is_used_for_the_first_odds() -> None:
    """After the owner said how cold it got and before the odds: both count, and nothing is asked again."""
    conversation = at_the_weather(coast_known(has_weather=False))
    conversation.say("8 F")
    conversation.known = coast_known()
    conversation.say("3 nights", "no snow", "raleigh", "straw")
    assert conversation.case.measured is not None and conversation.case.measured.came_late
    assert "Pinders Mill Airfield read 14 °F on Sun, Jan 17, you read 8 °F" in conversation.text
    assert {"air_min", "days_cold", "snow"} <= {answer.question for answer in conversation.case.answers}


def test_what_was_said_of_one_station_is_not_kept_for_another() -> None:
    """A changed place asks again whether its weather fits."""
    conversation = at_the_weather()
    conversation.say("yes", "change", "1", "Osprey Ferry")
    assert conversation.asked == "weather_fits"
    assert "Osprey Ferry Landing" in conversation.text


def test_after_late_weather_a_corrected_place_keeps_what_was_said_of_the_cold() -> None:
    conversation = planned_without_weather()
    conversation.known = coast_known()
    next_reminder(conversation)
    conversation.say("change", "1", "Osprey Ferry")
    assert conversation.case.measured is not None
    assert (conversation.case.measured.code, conversation.case.measured.came_late) == ("Osprey Ferry Landing", True)
    assert {"air_min", "days_cold", "snow"} <= {answer.question for answer in conversation.case.answers}
    assert conversation.asked != "weather_fits"


def until(last_on: date) -> Known:
    """The coast's weather as far as it was known on a day."""
    kept = [page.kept for page in coast_weather().pages.values()]
    early = [replace(each, daily=between(each.daily, each.daily.days[0].item(), last_on)) for each in kept]
    return with_weather(book_of(early))


def test_a_freeze_that_goes_on_is_told_again_when_it_got_colder() -> None:
    """Told on its second day; its coldest night comes after. The odds move, and the next reminder says why."""
    conversation = Conversation(known=until(date(2027, 1, 16)))
    conversation.now = datetime(2027, 1, 17, 17, tzinfo=UTC)
    conversation.arrive()
    conversation.say("Pinders Mill", "yesterday")
    assert "read 18 °F" in conversation.text
    conversation.say("yes", "raleigh", "straw")
    for _ in range(20):
        if not conversation.asked:
            break
        conversation.say("yes" if conversation.asked in ("time_ok", "keep_track") else "not sure")
    before = advice.lawn_view(conversation.case, conversation.known).spots[0]
    conversation.known = coast_known()
    assert advice.lawn_view(conversation.case, conversation.known).spots[0].cold.basis is Basis.MODELLED
    told = next_reminder(conversation)
    assert "read 14 °F at its lowest, on Sun, Jan 17" in told
    after = advice.lawn_view(conversation.case, conversation.known).spots[0]
    assert after.cold.crown.min_c < before.cold.crown.min_c
    assert conversation.case.measured is not None and not conversation.case.measured.came_late


def test_late_weather_of_a_model_is_told_with_its_credit() -> None:
    credit = "Weather data by a model (CC BY 4.0), example.org"
    conversation = planned_without_weather()
    conversation.known = with_weather(Spoiled(measured={"is_thermometer": False, "credit": credit}))
    assert credit in next_reminder(conversation)


@pytest.mark.parametrize(
    "said", ["how cold did it get?", "what weather station did you use", "what does the picture mean?"]
)
def test_the_cold_is_told_again_to_whoever_asks(said: str) -> None:
    conversation = planned_without_weather()
    conversation.say(said)
    assert "I go by what you told me: air down to" in conversation.text
    conversation.known = coast_known()
    next_reminder(conversation)
    conversation.say("skip", said)
    assert "Pinders Mill Airfield read 14 °F" in conversation.text
    assert "Two inches down" in conversation.text
