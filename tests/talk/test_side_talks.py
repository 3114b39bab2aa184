"""Side talks, reminders, several lawns and old buttons keep out of each other's way."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from bot.talk.advice import lawn_view
from bot.talk.case import FeedGiven, Standing, TaskState
from bot.talk.effects import ForgetHomeowner
from bot.talk.incoming import Chose, SentPhoto, SharedPlace
from bot.talk.known import FreezeReport
from rules.season import SeasonDates
from rules.task_kinds import TaskKind
from tests.talk.conversation import KNOWN, Conversation, confirmed, talked_to_plan, task, two_parts, walk_to


def token(talk: Conversation, label: str) -> str:
    """What a button of the last message sends."""
    return next(choice.token for choice, shown in zip(talk.choices, talk.labels, strict=True) if shown == label)


# --- a reminder and what was left open -------------------------------------------------------------------------------


@pytest.mark.parametrize("left_open", ["forget me", "start over", "person"])
def test_a_number_after_a_reminder_means_the_reminder(left_open: str) -> None:
    """Somebody walked away from "erase everything?"; a week later "1" is the pot test, not a yes."""
    talk = confirmed()
    talk.say(left_open)
    walk_to(talk, "look:1")
    talk.say("1")

    assert talk.asked == "do_runners"
    assert not any(isinstance(effect, ForgetHomeowner) for effect in talk.effects)
    assert talk.case.answers
    assert talk.homeowner and talk.homeowner.standing is Standing.ACTIVE


def test_a_number_after_a_reminder_does_not_answer_an_open_look_either() -> None:
    """The list last shown is meant: "1" potted the plugs, nobody said that nothing is green."""
    talk = confirmed()
    walk_to(talk, "look:1")
    talk.say("done")
    walk_to(talk, "pot:0:start")
    talk.say("1")

    assert talk.asked == "do_plugs"
    assert not [seen for seen in talk.case.checkins if seen.runners]


def test_a_reminder_for_one_lawn_leaves_the_question_about_another_alone() -> None:
    """The size of the second lawn was asked for; a reminder of the first comes between; the size is the second's."""
    talk = confirmed()
    talk.say("new lawn", "centipede", "1", "not sure", "all alike", "none", "2", "half", "2000 sq ft", "yes")
    assert talk.case.number == 2
    talk.say("change")
    size = next(label for label in talk.labels if label.startswith("Size"))
    talk.press(size)
    walk_to(talk, "look:1")
    talk.say("5000 sq ft")

    sizes = {
        case.number: [a.value.area_sqft for a in case.answers if a.question == "size"]  # type: ignore[union-attr]
        for case in (talk.homeowner.lawns if talk.homeowner else ())
    }
    assert sizes == {1: [1200.0], 2: [5000.0]}


# --- no means no ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("how", [("change", "17", "no"), ("back", "no")])
def test_no_reminders_means_none(how: tuple[str, ...]) -> None:
    """Changed or taken back: nothing of the plan is brought up any more, until it is wanted again."""
    talk = confirmed()
    talk.say("skip", *how)

    assert "not-tracked" in talk.keys
    assert talk.wanted == frozenset()
    talk.say("change", "17", "yes")
    assert talk.wanted


def test_a_lawn_that_is_not_ours_is_let_go() -> None:
    """It turns out to be fescue: no plan, no reminders; and if that was wrong, they come back."""
    talk = confirmed()
    talk.say("change", "6", "fescue")

    assert "scope-cool_season" in talk.keys
    assert talk.wanted == frozenset()
    talk.say("change", "6", "St. Augustine")
    for _ in range(20):
        if talk.asked == "keep_track":
            break
        talk.say({"see": "1", "time_ok": "yes"}.get(talk.asked, "not sure"))
    talk.say("yes")
    assert talk.wanted


@pytest.mark.parametrize("old", ["yes, remind me", "I looked", "photo"])
def test_old_buttons_promise_nothing_to_somebody_who_stopped(old: str) -> None:
    """Neither a button nor a picture wakes us; "start" does."""
    talk = confirmed()
    yes = next(each for each in talk.record if each)  # the record holds how the yes was said
    assert yes
    walk_to(talk, "look:1")
    button = Chose(tokens=(token(talk, "I looked"),))
    talk.say("stop")
    talk.take(
        {"photo": SentPhoto(photo_id="a" * 64), "I looked": button}.get(old, Chose(tokens=("q:1:keep_track:0:yes",)))
    )

    assert talk.keys == ["stopped-still"]
    assert talk.homeowner and talk.homeowner.standing is Standing.STOPPED


def test_a_picture_does_not_swallow_the_question_whether_to_stop() -> None:
    """A doubtful wish to stop is asked once; a photo in between is filed, and then it is asked again."""
    talk = two_parts()
    talk.say("we have got to stop this")
    assert talk.asked == "do_stop"
    talk.take(SentPhoto(photo_id="a" * 64))
    talk.say("front")
    assert talk.asked == "do_stop"
    talk.say("no, go on")

    assert talk.homeowner and talk.homeowner.standing is Standing.ACTIVE
    assert talk.wanted


def test_a_picture_does_not_swallow_the_repair() -> None:
    """What to do with a spot that died is still asked after a photo was filed."""
    talk = two_parts()
    front = next(each for each in talk.case.tasks if each.kind == TaskKind.POT_START).key
    walk_to(talk, front)
    talk.say("done", "6", "6")
    walk_to(talk, front.replace("start", "week4"))
    talk.say("done", "3 of 6", "0 of 6")
    walk_to(talk, front.replace("pot", "judge").removesuffix(":start"))
    talk.say("judge now", "half", "no", "none")
    assert talk.asked == "do_repair"
    talk.take(SentPhoto(photo_id="b" * 64))
    talk.say("back")

    assert talk.asked == "do_repair"


# --- the same thing to do in several parts ----------------------------------------------------------------------------


def test_plugs_of_all_parts_are_dug_on_one_day() -> None:
    """One reminder names both parts, and each is asked about, one after the other."""
    talk = two_parts()
    front, back = (each.key for each in talk.case.tasks if each.kind == TaskKind.POT_START)
    walk_to(talk, front)
    assert "Pot test for the front and the back" in talk.text
    assert talk.case.tasks and task(talk, back).told_on == task(talk, front).told_on

    talk.say("done")
    assert "from the front?" in talk.text
    talk.say("6")
    assert "from the back?" in talk.text
    talk.say("5")
    assert [(seen.spot, seen.plugs_total) for seen in talk.case.checkins if seen.plugs_total] == [
        ("front", 6),
        ("back", 5),
    ]
    assert "next-task" in talk.keys


@pytest.mark.parametrize(
    ("verb", "state", "told"),
    [("skip", TaskState.SKIPPED, "pot test (front and back)"), ("later", TaskState.OPEN, "pot test (front and back)")],
)
def test_what_was_said_together_is_put_off_together(verb: str, state: TaskState, told: str) -> None:
    """Skipping or moving the one skips or moves the other."""
    talk = two_parts()
    front, back = (each.key for each in talk.case.tasks if each.kind == TaskKind.POT_START)
    walk_to(talk, front)
    talk.say(verb)
    if verb == "later":
        talk.say("in a week")

    assert told in talk.text
    assert {task(talk, key).state for key in (front, back)} == {state}
    assert task(talk, front).moved_to == task(talk, back).moved_to


def test_what_was_left_half_done_is_asked_about_once_more() -> None:
    """The front was counted, then nothing: three days later only the back is brought up."""
    talk = two_parts()
    front, back = (each.key for each in talk.case.tasks if each.kind == TaskKind.POT_START)
    walk_to(talk, front)
    talk.say("done", "6")
    walk_to(talk, back, most_days=4)

    assert "Pot test for the back:" in talk.text
    assert "front" not in talk.text


# --- words that are not understood -----------------------------------------------------------------------------------


def test_who_is_not_understood_in_a_side_talk_is_offered_a_person_and_asked_again() -> None:
    """No question repeats for ever; what was asked waits."""
    talk = two_parts()
    walk_to(talk, "look:1")
    talk.say("done", "zzgr", "zzgr", "zzgr")
    assert talk.asked == "do_person"

    talk.say("no")
    assert talk.asked == "do_runners"
    talk.say("firm")
    assert "from the back" in talk.text or "the back" in talk.text


def test_an_answer_instead_of_yes_or_no_to_a_person_counts() -> None:
    """The question that was not understood is answered while a person is offered: nobody is needed."""
    talk = two_parts()
    walk_to(talk, "look:1")
    talk.say("done", "zzgr", "zzgr", "zzgr", "some firm, some soft")

    assert [(seen.spot, seen.runners) for seen in talk.case.checkins if seen.runners] == [("front", "mixed")]
    assert talk.asked == "do_runners"


# --- old and double buttons ------------------------------------------------------------------------------------------


def test_a_double_tap_answers_one_spot_only() -> None:
    """The same button pressed twice is not the answer for the next part of the lawn."""
    talk = two_parts()
    walk_to(talk, "look:1")
    talk.say("done")
    press = Chose(tokens=(token(talk, "firm, white or green inside"),))
    talk.take(press)
    talk.take(press)

    assert [(seen.spot, seen.runners) for seen in talk.case.checkins if seen.runners] == [("front", "firm")]
    assert "button-passed" in talk.keys


def test_an_old_list_of_places_does_not_pick_from_a_new_one() -> None:
    """Springfield's third line is not Jackson's."""
    talk = Conversation()
    talk.arrive()
    talk.say("Springfield")
    old = Chose(tokens=(talk.choices[2].token,))
    talk.say("back", "Jackson")
    assert talk.asked == "place_which"
    talk.take(old)

    assert talk.asked == "place_which"


@pytest.mark.parametrize(
    "made_up", ["q:1:place:²:x", "q:1:see::", "s:1:do_green:²:none", "q:²:place:0:x", "t:²:x:done"]
)
def test_a_made_up_button_raises_nothing(made_up: str) -> None:
    """Signs that look like digits and are none, empty parts, unknown lawns."""
    talk = confirmed()
    talk.take(Chose(tokens=(made_up,)))

    assert talk.heard


# --- plans that move by themselves -----------------------------------------------------------------------------------


def test_what_the_operator_learns_moves_the_plan_and_never_empties_a_reminder() -> None:
    """Dates from a facts file come in after the plan was confirmed: tasks move, and every reminder has words."""
    talk = confirmed()
    dates = SeasonDates(last_frost_on=date(2027, 3, 28), warm_soil_on=date(2027, 4, 10))
    knowing_more = replace(KNOWN, dates=dates, freeze=FreezeReport(air_min_c=-8.0, days_below_freezing=4, snow_in=0.0))
    talk.known = knowing_more
    first_cut = task(talk, "cut:1").due_on
    told = [talk.text for _ in range(120) if talk.pass_days(1)]

    assert task(talk, "cut:1").on > first_cut
    assert told
    assert all(text.strip() for text in told)


def test_a_shared_position_is_a_change_of_place() -> None:
    """Like a typed one: the dates move, and it is told."""
    talk = confirmed()
    judged = task(talk, "judge:0").on
    talk.take(SharedPlace(latitude=35.78, longitude=-78.64))

    assert task(talk, "judge:0").on > judged
    assert "change-judging" in talk.keys


def test_what_has_passed_stays_passed() -> None:
    """Back after two months, and then frost again: January's tasks do not come back to life."""
    talk = confirmed()
    talk.pass_days(60)
    gone = {each.key for each in talk.case.tasks if each.state is TaskState.PASSED}
    talk.say("problem")
    if talk.asked == "do_problem":
        talk.say("it froze again")

    assert gone
    assert not {each.key for each in talk.case.tasks if each.state is TaskState.OPEN} & gone


def test_brown_stems_close_a_cut_and_nothing_else() -> None:
    """On a judging day they end the lowering, not the judging."""
    talk = confirmed()
    walk_to(talk, "judge:0")
    talk.say("i see brown stems")

    assert task(talk, "judge:0").state is TaskState.OPEN
    assert talk.case.stopped_cutting_on is not None


def test_waiting_three_weeks_is_asked_about_in_three_weeks() -> None:
    """ "Wait" is an answer that comes back."""
    talk = confirmed()
    walk_to(talk, "pot:0:start")
    talk.say("done", "6")
    walk_to(talk, "pot:0:week4")
    talk.say("done", "0 of 6")
    walk_to(talk, "judge:0")
    today = talk.now.date()
    talk.say("judge now", "none", "wait")

    assert task(talk, "judge:0").state is TaskState.OPEN
    assert (task(talk, "judge:0").due_on - today).days == 21


def test_a_pot_test_that_is_skipped_is_not_counted_later() -> None:
    """There is nothing to count."""
    talk = confirmed()
    walk_to(talk, "pot:0:start")
    talk.say("skip")

    assert not [each for each in talk.case.tasks if each.kind == "pot_read" and each.state is TaskState.OPEN]


def test_a_bare_count_is_of_the_plugs_that_were_potted() -> None:
    """Six were potted: "3" is three of six."""
    talk = confirmed()
    walk_to(talk, "pot:0:start")
    talk.say("done", "6")
    walk_to(talk, "pot:0:week2")
    talk.say("I counted", "3")

    assert [(seen.plugs_alive, seen.plugs_total) for seen in talk.case.checkins][-1] == (3, 6)


def test_a_season_later_everything_can_still_be_answered() -> None:
    """Sixteen months on, "judge now" is an answer like any other."""
    talk = confirmed()
    walk_to(talk, "judge:0")
    talk.pass_days(500)
    talk.say("judge now", "none")

    assert talk.heard


def test_other_parts_keep_their_own_tasks() -> None:
    """The front is settled; then the parts are told in another order: the back still has its judging day."""
    talk = two_parts()
    front = next(each for each in talk.case.tasks if each.kind == "judge" and each.spot == "front")
    walk_to(talk, "spring_water")
    talk.say("done")
    walk_to(talk, "photo:2027-04-10")
    talk.say("done", "most of it", "no", "none")
    assert task(talk, front.key).state is TaskState.DONE
    talk.say("change")
    parts = next(label for label in talk.labels if label.startswith("Parts of the lawn"))
    talk.press(parts)
    talk.say("back and front")

    judging = {each.spot: each.state for each in talk.case.tasks if each.kind == "judge"}
    assert judging == {"front": TaskState.DONE, "back": TaskState.OPEN}


def test_answers_typed_after_the_offer_of_a_person_are_answers() -> None:
    """Three times not understood, then the right thing: it is taken, and nobody is bothered."""
    talk = Conversation()
    talk.arrive()
    talk.say("🦎🦎", "asdf qwer", "99999")
    assert talk.asked == "do_person"
    talk.say("31522")

    assert talk.asked == "coldest_on"


def test_hours_can_be_typed_where_they_are_asked_for() -> None:
    """The help says so."""
    talk = confirmed()
    talk.say("hours", "from 10 to 6")

    assert talk.homeowner and (talk.homeowner.first_hour, talk.homeowner.last_hour) == (10, 18)


def test_a_told_dose_counts_what_was_fed_before() -> None:
    """0.9 lb of nitrogen was given this spring; 0.4 more breaks the sum of light feeds."""
    talk = confirmed()
    given = replace(talk.case, feeds=(_feed(0.9),))
    talk.homeowner = replace(talk.homeowner, lawns=(given,)) if talk.homeowner else None
    talk.say("skip", "they said 3.2 lbs of 15-0-15 with 7% slow release")

    assert "dose-broken" in talk.keys


def _feed(n_lb: float) -> FeedGiven:
    return FeedGiven(
        on=date(2027, 1, 19), n_lb_per_1000_sqft=n_lb, p2o5_lb_per_1000_sqft=0.0, soluble_n_lb_per_1000_sqft=0.4
    )


@pytest.mark.parametrize(("answer", "key"), [("1", "pull-lifts"), ("2", "pull-holds"), ("not sure", "pull-not_sure")])
def test_a_pull_never_moves_the_odds(answer: str, key: str) -> None:
    """Frozen grass holds and living grass can lift: it is told what a pull may point to, and nothing is noted."""
    talk = talked_to_plan()
    before = lawn_view(talk.case, KNOWN).spots[0].odds
    checkins = talk.case.checkins
    talk.say("tug test")
    assert talk.asked == "do_pull"
    talk.say(answer)
    assert key in talk.keys
    assert lawn_view(talk.case, KNOWN).spots[0].odds == before
    assert talk.case.checkins == checkins
