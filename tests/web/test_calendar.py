"""The open dates of the plan as a calendar file."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from icalendar import Calendar, Event

from bot.channels.web.calendar import plan_calendar
from bot.talk.case import Answer, Case, Homeowner, Place, PlacesTold, Task, TaskState
from bot.words import Words

NOW = datetime(2026, 1, 20, 20, 0, tzinfo=UTC)
ADDRESS = "a" * 64


def task(key: str, kind: str, on: date, **more: object) -> Task:
    return Task(key=key, kind=kind, on=on, until_on=on + timedelta(days=7), **more)  # type: ignore[arg-type]


def lawn(number: int, *tasks: Task, town: str = "Brunswick", zone: str = "America/New_York") -> Case:
    place = Place(name=town, county="Glynn County", state="GA", zone=zone, latitude=31.2, longitude=-81.5)
    answer = Answer(question="place", value=PlacesTold(candidates=(place,)), words=town, at=NOW)
    return Case(number=number, opened_at=NOW, answers=(answer,), planned_on=NOW.date(), tasks=tasks)


def owner(*lawns: Case, first_hour: int = 9) -> Homeowner:
    return Homeowner(lawns=lawns, active_lawn=1, first_hour=first_hour)


def events(words: Words, homeowner: Homeowner, address: str = ADDRESS) -> list[Event]:
    content = plan_calendar(homeowner, address, NOW, words, "https://example.test/")
    return list(Calendar.from_ical(content).events) if content else []


CUT = task("cut:1", "cut", date(2026, 3, 21))
LOOK = task("look:1", "look", date(2026, 1, 23))


def test_a_task_stands_on_its_day_wherever_the_reader_is(words: Words) -> None:
    """A whole day without a zone is the same day in every calendar."""
    (look, cut) = events(words, owner(lawn(1, CUT, LOOK, zone="Pacific/Honolulu")))

    assert date(2026, 1, 23) == look.start
    assert date(2026, 1, 24) == look.end
    assert date(2026, 3, 21) == cut.start
    assert look.DTSTAMP == NOW
    assert str(look["summary"]) == "Lawn: look at the runners"
    assert str(look["url"]) == "https://example.test/"


def test_the_alarm_rings_in_the_homeowners_own_hours(words: Words) -> None:
    """At the first hour in which we may write."""
    (event,) = events(words, owner(lawn(1, LOOK), first_hour=17))
    (alarm,) = event.walk("VALARM")

    assert timedelta(hours=17) == alarm.TRIGGER
    assert str(alarm["description"]) == "Lawn: look at the runners"


def test_a_moved_task_keeps_its_name(words: Words) -> None:
    """So that putting the file in again moves it instead of doubling it; another homeowner's has another name."""
    (before,) = events(words, owner(lawn(1, LOOK)))
    (after,) = events(words, owner(lawn(1, task("look:1", "look", LOOK.on, moved_to=date(2026, 1, 31)))))
    (other,) = events(words, owner(lawn(1, LOOK)), address="b" * 64)

    assert before["uid"] == after["uid"]
    assert date(2026, 1, 31) == after.start
    assert before["uid"] != other["uid"]
    assert ADDRESS not in str(before["uid"])


def test_only_what_is_still_open_is_in_it(words: Words) -> None:
    """Done, skipped and dropped tasks are left out; nothing open is no file at all."""
    done = [
        task(f"photo:{n}", "photo", date(2026, 3, n + 1), state=state)
        for n, state in enumerate((TaskState.DONE, TaskState.SKIPPED, TaskState.DROPPED))
    ]

    assert len(events(words, owner(lawn(1, LOOK, *done)))) == 1
    assert plan_calendar(owner(lawn(1, *done)), ADDRESS, NOW, words, "x") is None
    assert plan_calendar(Homeowner(), ADDRESS, NOW, words, "x") is None


def test_parts_and_several_lawns_are_named(words: Words) -> None:
    """A part of a lawn in brackets; the town where there is more than one lawn."""
    part = task("judge:1", "judge", date(2026, 5, 7), spot="north side")
    (alone,) = events(words, owner(lawn(1, part)))
    two = events(words, owner(lawn(1, part), lawn(2, part, town="Waycross")))

    assert str(alone["summary"]) == "Lawn: judging day (north side)"
    assert {str(event["summary"]) for event in two} == {
        "Lawn in Brunswick: judging day (north side)",
        "Lawn in Waycross: judging day (north side)",
    }
    assert len({str(event["uid"]) for event in two}) == 2
