"""After the plan is confirmed: what is brought up when, what the owner may answer, and how the plan moves."""

from __future__ import annotations

from datetime import date, timedelta
from zoneinfo import ZoneInfo

import pytest

from bot.talk.advice import lawn_view
from bot.talk.case import TaskState
from bot.talk.followup import next_due_on, zone_of
from bot.talk.incoming import Chose, DueReminder, RemindersDue, SentPhoto
from tests.talk.conversation import KNOWN, Conversation, confirmed, mildly_hit, talked_to_plan, task, walk_to


def test_confirming_schedules_every_task() -> None:
    """Nothing is scheduled before the yes; after it every open task has its reminder in the owner's own hours."""
    assert talked_to_plan().wanted == frozenset()
    talk = confirmed()

    assert {wanted.task for wanted in talk.wanted} >= {"look:1", "cut:1", "feed:check", "judge:0", "dont_judge"}
    assert all(8 <= wanted.hour <= 20 for wanted in talk.wanted)
    assert zone_of(talk.homeowner) == "America/New_York"  # type: ignore[arg-type]


def test_today_is_brought_up_at_once_and_not_reminded_again_today() -> None:
    """The first task of today comes with the confirmation."""
    talk = confirmed()

    assert "remind-first_photo" in talk.keys
    assert all(wanted.due_on > talk.now.date() for wanted in talk.wanted)


def test_one_unasked_message_a_day() -> None:
    """Over a whole season without an answer: never two on one local day, never outside 9 to 20 there."""
    talk = confirmed()
    days: list[date] = []
    for _ in range(24 * 200):
        if talk.pass_days(hours=1):
            assert len(talk.heard) == 1
            days.append(talk.now.date())

    assert len(days) == len(set(days))
    assert len(days) > 10


def test_nothing_is_said_at_night_even_if_it_is_due() -> None:
    """A tick at three in the morning moves what is due to the morning, without a word."""
    talk = confirmed()
    talk.now += timedelta(days=5, hours=-9)  # 3 in the morning in Georgia
    said = talk.tick()

    assert said == []
    assert any(wanted.task == "look:1" for wanted in talk.wanted)
    assert talk.pass_days(hours=8) != []


def test_late_evening_moves_to_tomorrow() -> None:
    """After the last hour nothing starts; tomorrow it does."""
    talk = confirmed()
    talk.now += timedelta(days=5, hours=9)  # 21:00 in Georgia
    today = talk.now.astimezone(ZoneInfo("America/New_York")).date()

    assert talk.tick() == []
    assert min(wanted.due_on for wanted in talk.wanted) == today + timedelta(days=1)


def test_done_closes_and_names_the_next() -> None:
    """ "done" is about the task last brought up."""
    talk = confirmed()
    walk_to(talk, "cut:1")
    talk.say("done")

    assert task(talk, "cut:1").state is TaskState.DONE
    assert "done-cut" in talk.keys
    assert "next-task" in talk.keys


def test_done_with_a_button_weeks_later_works_too() -> None:
    """The buttons of an old reminder still belong to their task."""
    talk = confirmed()
    walk_to(talk, "cut:1")
    old = talk.choices
    talk.pass_days(9)
    talk.heard = []
    talk.take(Chose(tokens=(old[0].token,)))

    assert task(talk, "cut:1").state is TaskState.DONE


@pytest.mark.parametrize(
    ("words", "days"), [("tomorrow", 1), ("in 3 days", 3), ("1", 1), ("next week", 7), ("not sure", 3)]
)
def test_later_moves_the_task(words: str, days: int) -> None:
    """ "later" asks when and moves the task to that day."""
    talk = confirmed()
    walk_to(talk, "cut:1")
    today = talk.now.date()
    talk.say("later", words)

    moved = task(talk, "cut:1").due_on
    assert moved == today + timedelta(days=days) or words == "next week"
    assert any(wanted.task == "cut:1" and wanted.due_on == moved for wanted in talk.wanted)


def test_skip_lets_it_go() -> None:
    """A skipped task is not brought up again."""
    talk = confirmed()
    walk_to(talk, "cut:1")
    talk.say("skip")

    assert task(talk, "cut:1").state is TaskState.SKIPPED
    assert all(wanted.task != "cut:1" for wanted in talk.wanted)


def test_brown_stems_stop_all_further_lowering() -> None:
    """ "Something's wrong: brown stems" ends the ladder and says to set the mower up."""
    talk = confirmed()
    walk_to(talk, "cut:1")
    talk.say("problem", "brown stems")

    assert "problem-brown-stem" in talk.keys
    assert talk.case.stopped_cutting_on is not None
    assert [each.key for each in talk.case.tasks if each.kind == "cut" and each.state is TaskState.OPEN] == []
    talk.say("plan")
    assert "cutting-stopped" in talk.keys


def test_frost_again_moves_the_plan_back() -> None:
    """A late frost the owner reports moves the cut at least ten days."""
    talk = confirmed()
    walk_to(talk, "cut:1")
    today = talk.now.date()
    talk.say("problem", "it froze again")

    assert task(talk, "cut:1").due_on >= today + timedelta(days=10)


def test_something_else_wrong_is_passed_to_a_person() -> None:
    """What we cannot place goes to a person, in the owner's words."""
    talk = confirmed()
    walk_to(talk, "cut:1")
    talk.say("problem", "other")
    assert talk.asked == "do_note"


def test_silence_gets_one_more_reminder_and_then_peace() -> None:
    """A task without an answer comes up once more after three days, then never."""
    talk = confirmed()
    walk_to(talk, "cut:1")
    told = task(talk, "cut:1")
    assert next_due_on(told) == max(told.told_on) + timedelta(days=3)
    walk_to(talk, "cut:1")
    assert "remind-again" in talk.keys
    assert next_due_on(task(talk, "cut:1")) is None


def test_a_week_asleep_is_folded_into_one_message() -> None:
    """A machine that was off brings up one useful thing, names what passed, and spreads the rest."""
    talk = confirmed()
    start = talk.now
    talk.now = start + timedelta(days=40)
    due = tuple(
        DueReminder(lawn=wanted.lawn, task=wanted.task, due_on=wanted.due_on)
        for wanted in sorted(talk.wanted, key=lambda each: (each.due_on, each.task))
        if talk.instant_of(wanted) <= talk.now
    )
    assert len(due) >= 4
    talk.take(RemindersDue(reminders=due))

    assert len(talk.heard) == 1
    assert "remind-passed" in talk.keys
    left = [wanted for wanted in talk.wanted if wanted.due_on <= talk.now.date()]
    assert left == []
    ahead = [wanted.due_on for wanted in talk.wanted if wanted.due_on <= talk.now.date() + timedelta(days=3)]
    assert len(ahead) == len(set(ahead))


def test_a_clock_that_jumps_back_says_nothing_twice() -> None:
    """After a day's message the clock goes back two days and forward again: still one message for that task."""
    talk = confirmed()
    walk_to(talk, "cut:1")
    told = task(talk, "cut:1").told_on
    talk.now -= timedelta(days=2)
    talk.tick()
    talk.now += timedelta(days=2, hours=1)
    talk.tick()

    assert task(talk, "cut:1").told_on == told


def test_a_word_on_waiting_needs_no_answer() -> None:
    """The note against judging early closes itself."""
    talk = confirmed()
    walk_to_note = 0
    while task(talk, "dont_judge").state is TaskState.OPEN:
        talk.pass_days(1)
        walk_to_note += 1
        assert walk_to_note < 200
    assert "remind-dont_judge" in talk.keys
    assert talk.choices == ()


def test_a_photo_answers_the_photo_task_and_shows_the_pair() -> None:
    """The first picture is kept; a later one stands beside it, and one question about weeds comes with it."""
    talk = confirmed()
    talk.take(SentPhoto(photo_id="1" * 64))
    assert task(talk, "photo:first").state is TaskState.DONE
    key = next(each.key for each in talk.case.tasks if each.kind == "photo")
    walk_to(talk, key)
    talk.take(SentPhoto(photo_id="2" * 64))

    pair = [say.photos for say in talk.heard if say.photos]
    assert pair == [("1" * 64, "2" * 64)]
    assert talk.asked == "do_green"
    talk.say("a quarter")
    assert talk.asked == "do_weeds"


@pytest.mark.parametrize(("found", "is_up"), [("firm", True), ("soft", False)])
def test_a_look_at_the_runners_moves_the_odds(found: str, is_up: bool) -> None:
    """It is evidence like any other sign: firm runners up, soft ones down, and it is said."""
    talk = confirmed()
    before = odds_now(talk)
    walk_to(talk, "look:1")
    talk.say("done", found)

    assert (odds_now(talk) > before) is is_up
    assert "change-odds" in talk.keys


def test_soft_runners_bring_a_pot_test_that_begins_after_the_look() -> None:
    """Where the first odds were fine there was none; what a look brings about does not start in the past."""
    talk = mildly_hit()
    assert not [each for each in talk.case.tasks if each.kind == "pot_start"]
    walk_to(talk, "look:1")
    today = talk.now.date()
    talk.say("done", "soft and brown")

    assert task(talk, "pot:0:start").due_on >= today
    assert "change-task-new" in talk.keys


def test_a_lawn_that_is_mostly_green_in_spring_needs_no_judging_day() -> None:
    """Signs of life count at once: the judging day and the pictures before it are let go."""
    talk = confirmed()
    walk_to(talk, "spring_water")
    talk.say("done")
    walk_to(talk, "photo:2027-04-10")
    talk.say("done", "most of it", "no")

    assert "settled-early" in talk.keys
    left = {each.kind for each in talk.case.tasks if each.state is TaskState.OPEN}
    assert not left & {"judge", "photo", "pot_read"}
    assert "feed_check" in left


def odds_now(talk: Conversation) -> float:
    return lawn_view(talk.case, KNOWN).spots[0].odds.quantile_fraction(0.5)


def test_the_pot_test_lowers_the_odds_but_gives_no_verdict() -> None:
    """None of six at four weeks: fewer chances, and still the judging day."""
    talk = confirmed()
    walk_to(talk, "pot:0:start")
    talk.say("done", "6")
    walk_to(talk, "pot:0:week4")
    talk.say("I counted", "none of 6")

    assert "pot-none" in talk.keys
    assert task(talk, "judge:0").state is TaskState.OPEN


def test_the_judging_day_never_calls_bare_ground_dead_without_the_tests() -> None:
    """No green and no pot test on the judging day: test again, not dead."""
    talk = confirmed()
    walk_to(talk, "judge:0")
    talk.say("judge now", "none")

    assert "verdict-test_again" in talk.keys
    assert task(talk, "judge:0").state is TaskState.OPEN


def test_the_judging_day_with_failed_tests_tells_odds_and_offers_repair() -> None:
    """No green and none of six plugs at four weeks: odds, and the ways to repair with amounts."""
    talk = confirmed()
    walk_to(talk, "pot:0:start")
    talk.say("done", "6")
    walk_to(talk, "pot:0:week4")
    talk.say("done", "0 of 6")
    walk_to(talk, "judge:0")
    talk.say("judge now", "none")

    assert "verdict-likely_dead-tested" in talk.keys
    assert "chances in 20" in talk.text
    assert "I can be wrong" in talk.text
    assert talk.asked == "do_repair"
    talk.say("sod")
    assert "repair-sod" in talk.keys
    assert "1,200 sq ft" in talk.text  # all of it, as told before
    assert "811" in talk.text
    assert task(talk, "feed:check").state is TaskState.SKIPPED  # new sod is not fed in its first month


def test_there_is_no_seed_for_st_augustine() -> None:
    """Asking for seed says so and asks again."""
    talk = confirmed()
    walk_to(talk, "pot:0:start")
    talk.say("done", "6")
    walk_to(talk, "pot:0:week4")
    talk.say("done", "0 of 6")
    walk_to(talk, "judge:0")
    talk.say("judge now", "none", "seed")

    assert "repair-no-seed" in talk.keys
    assert talk.asked == "do_repair"


def test_hours_can_be_chosen_but_never_before_8_or_after_21() -> None:
    """The owner's hours hold, within the outer bounds."""
    talk = confirmed()
    talk.say("from 6 to 23")

    assert talk.homeowner is not None
    assert 8 <= talk.homeowner.first_hour < talk.homeowner.last_hour <= 21
    talk.say("hours", "early evening")
    assert all(wanted.hour == 17 for wanted in talk.wanted)


def test_two_lawns_share_one_message_a_day() -> None:
    """A second confirmed lawn does not double the messages, and each names its lawn."""
    talk = confirmed()
    talk.say("new lawn", "bermuda", "1", "skip", "alike", "none", "2", "1/4", "1000", "skip", "yes")
    assert [case.planned_on is not None for case in talk.homeowner.lawns] == [True, True]  # type: ignore[union-attr]
    days = []
    for _ in range(60):
        if talk.pass_days(1):
            assert len(talk.heard) == 1
            assert "remind-lawn" in talk.keys or "remind-passed" in talk.keys
            days.append(talk.now.date())
    assert len(days) == len(set(days))


def test_lawns_in_two_zones_go_by_the_owners_own_hours() -> None:
    """A second lawn an hour west, being talked about, does not lose the first one's reminder at nine."""
    talk = confirmed()
    talk.say("new lawn", "change", "1", "36609", "bermuda", "1")
    assert talk.homeowner is not None
    assert talk.case.number == 2
    walk_to(talk, "cut:1")
