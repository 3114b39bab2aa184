"""What holds in a region, in a talk: bans close feeding and are told, dates win, the freeze stands in, whom to ask."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

import pytest

from bot.talk import advice
from bot.talk.case import Place, TaskState
from bot.talk.known import FreezeReport, Known, LocalDate, LocalRules, WateringRule
from rules.feed_bans import FeedBan, YearSpan
from tests.talk.conversation import DETAILS, FIRST, KNOWN, NOON_IN_JANUARY, Conversation, mildly_hit, task, walk_to

FEEDING = FeedBan(code="County code 19", spans=(YearSpan(first=(4, 1), last=(8, 31)),))
UNREAD = FeedBan(code="", spans=(), is_unread=True)
PLACE = ("31522", "Jan 16")


def ban(first: date, last: date) -> FeedBan:
    return FeedBan(
        code="County code 19", spans=(YearSpan(first=(first.month, first.day), last=(last.month, last.day)),)
    )


def knowing(**rules: object) -> Known:
    held = LocalRules(**rules)  # type: ignore[arg-type]

    def local_at(place: Place | None) -> LocalRules | None:
        return held if place is not None and place.state == "GA" else None

    return replace(KNOWN, local_at=local_at)


def planned(known: Known) -> Conversation:
    talk = Conversation(known=known)
    talk.arrive()
    talk.say(*FIRST, *DETAILS)
    return talk


def followed(known: Known) -> Conversation:
    talk = planned(known)
    talk.say("yes", "yes")
    return talk


def test_a_ban_is_told_with_the_plan_and_puts_the_check_off() -> None:
    """With the code's name, its days, and that it wins; never that it may be passed over."""
    talk = planned(knowing(nitrogen_ban=FEEDING))

    assert (
        "Local rule (County code 19): no lawn food from Apr 1 to Aug 31. Local rules win over this plan." in talk.text
    )
    assert "Wed, Sep 1: check if it may be fed" in talk.text
    assert "Not before Wed, Sep 1: fertilizer with nitrogen" in talk.text
    assert "local-ban-next" not in talk.keys


def test_a_ban_for_the_whole_season_leaves_feeding_out() -> None:
    """Also one that no longer reads: nothing is fed because of a fault of ours."""
    whole = planned(knowing(nitrogen_ban=ban(date(2027, 1, 1), date(2027, 12, 31))))
    unread = followed(knowing(nitrogen_ban=UNREAD))

    assert "That leaves no good day for feeding this season." in whole.text
    assert "check if it may be fed" not in whole.text
    assert "Not this season: fertilizer with nitrogen." in whole.text
    assert not any(each.kind == "feed_check" for each in unread.case.tasks)
    unread.say("feed")
    assert "I can't read it. So feed nothing." in unread.text


def test_a_code_that_is_over_is_not_told() -> None:
    """Its last day lies behind."""
    talk = planned(knowing(nitrogen_ban=replace(FEEDING, until_on=date(2027, 1, 1))))

    assert "local-ban-nitrogen" not in talk.keys
    assert task_day(talk) < date(2027, 6, 1)


def test_two_codes_are_both_told_and_both_kept() -> None:
    """The county's days and the state's: feeding waits for the first day that is free of both."""
    state = FeedBan(code="State act", spans=(YearSpan(first=(5, 1), last=(9, 4)),))
    talk = planned(knowing(nitrogen_ban=replace(FEEDING, beside=(state,))))

    assert "Local rule (County code 19): no lawn food from Apr 1 to Aug 31." in talk.text
    assert "Local rule (State act): no lawn food from May 1 to Sep 4." in talk.text
    assert task_day(talk) == date(2027, 9, 5)


def task_day(talk: Conversation) -> date:
    plan = advice.plan_of(talk.case, talk.known, talk.now.date())
    return next(each.on for each in plan.tasks if each.kind == "feed_check")


@pytest.mark.parametrize("said", ["feed", "can i fertilize?", "the store said 5 lb of 16-0-8 per 1000 sq ft"])
def test_whoever_wants_to_feed_within_a_ban_is_told_of_it(said: str) -> None:
    """Asked for, asked about, or named as a dose: no check is begun and no dose is told."""
    talk = followed(knowing(nitrogen_ban=FEEDING))
    talk.pass_days(120)
    talk.say(said)

    assert "Local rule (County code 19): no lawn food" in talk.text
    assert "Next day to check for feeding: Wed, Sep 1." in talk.text
    assert not {"ask-do_frost", "ask-do_green", "dose-check", "chat-may"} & set(talk.keys)


def test_whoever_wants_to_feed_before_it_is_told_the_day_after() -> None:
    """The soil is not the reason then."""
    talk = followed(knowing(nitrogen_ban=FEEDING))
    talk.say("feed")

    assert "Ask me about feeding again from Wed, Sep 1." in talk.text
    assert "cold soil" not in talk.text


def test_a_check_that_was_not_answered_before_a_ban_waits_for_its_end() -> None:
    """It would be brought up again within the ban: that is said once instead, and it comes on the first free day."""
    talk = mildly_hit()
    walk_to(talk, "feed:check")
    today = talk.now.date()
    end = today + timedelta(days=20)
    talk.known = knowing(nitrogen_ban=ban(today + timedelta(days=1), end))
    told: dict[str, list[date]] = {}
    for _ in range(21):
        for say in talk.pass_days(1):
            for part in say.parts:
                told.setdefault(part.key, []).append(talk.now.date())

    assert told["local-ban-nitrogen"] == [today + timedelta(days=3)]
    assert told.get("remind-feed_check") == [end + timedelta(days=1)]
    assert task(talk, "feed:check").state is TaskState.OPEN


def test_nothing_is_fed_or_asked_about_feeding_on_any_day_of_a_ban() -> None:
    """A season of reminders under a ban that is set after the plan was agreed on."""
    talk = mildly_hit()
    due_on = task(talk, "feed:check").due_on
    first, last = due_on - timedelta(days=3), due_on + timedelta(days=40)
    talk.known = knowing(nitrogen_ban=ban(first, last))
    for _ in range(200):
        talk.pass_days(1)
        today = talk.now.date()
        if "remind-feed_check" in talk.keys:
            assert not first <= today <= last
            assert today == last + timedelta(days=1)
            return
    raise AssertionError("the check never came")


def test_what_the_owner_puts_off_into_a_ban_goes_past_it() -> None:
    """ "Later" names a day; where feeding is banned on it, that is said with the next one."""
    talk = mildly_hit()
    walk_to(talk, "feed:check")
    today = talk.now.date()
    talk.known = knowing(nitrogen_ban=ban(today + timedelta(days=1), today + timedelta(days=9)))
    talk.say("later", "tomorrow")

    assert "local-ban-nitrogen" in talk.keys
    assert task(talk, "feed:check").due_on == today + timedelta(days=10)


def test_a_ban_that_begins_between_the_checks_and_the_dose_counts() -> None:
    """The gates passed yesterday; today no dose is told."""
    talk = mildly_hit()
    walk_to(talk, "feed:check")
    talk.say("check now")
    today = talk.now.date()
    talk.known = knowing(nitrogen_ban=ban(today, today + timedelta(days=9)))
    talk.say("no", "half", "two", "no", "yes")

    assert "local-ban-nitrogen" in talk.keys
    assert not any(key.startswith("feed-dose") for key in talk.keys)
    assert talk.case.feeds == ()


def test_a_second_feed_is_not_promised_within_a_ban() -> None:
    """The next check comes on the first free day."""
    talk = mildly_hit()
    walk_to(talk, "feed:check")
    today = talk.now.date()
    month = ban(today + timedelta(days=20), today + timedelta(days=60))
    talk.known = knowing(nitrogen_ban=month)
    talk.say("check now", "no", "half", "two", "no", "yes")

    assert talk.case.feeds
    assert task(talk, "feed:check").due_on == today + timedelta(days=61)


def test_phosphate_is_told_and_refused() -> None:
    """A bag with a middle number is refused while it is banned."""
    talk = Conversation(known=knowing(phosphorus_ban=replace(FEEDING, code="State act")))
    talk.arrive()
    talk.say(*FIRST, *DETAILS[:-2], "16-1-8", "8")

    assert (
        "Local rule (State act): no phosphate from Apr 1 to Aug 31. The middle number on the bag must be 0."
        in talk.text
    )
    assert "a local rule bans phosphate at that time" in talk.text


def test_watering_days_are_told_beside_the_amounts_and_change_none() -> None:
    """With the plan, with the reminder, and to whoever asks."""
    rule = WateringRule(code="District rule", weekdays=(1, 5), hours=((time(0), time(10)), (time(16), time(0))))
    plain, talk = followed(KNOWN), followed(knowing(watering=rule))
    told = "only on Tuesday and Saturday, midnight to 10:00 AM and 4:00 PM to midnight."
    before, after = (advice.plan_of(each.case, each.known, each.now.date()) for each in (plain, talk))
    assert [each.water for each in after.tasks] == [each.water for each in before.tasks]
    talk.say("plan")
    assert talk.text.count(told) == 1
    talk.say("should i water?")
    assert told in talk.text
    spring = next(each for each in talk.case.tasks if each.kind == "spring_water")
    walk_to(talk, spring.key)
    assert told in talk.text


def test_dates_of_the_region_win_and_are_about_unless_they_are_sure() -> None:
    """Sure ones are told as they are, and the frost gate opens on the day itself."""
    frost, soil = {"on": (3, 1), "year": None}, {"on": (4, 20), "year": 2027}
    about = planned(knowing(last_frost=LocalDate(**frost, is_exact=False), warm_soil=LocalDate(**soil, is_exact=True)))
    sure = planned(knowing(last_frost=LocalDate(**frost, is_exact=True), warm_soil=LocalDate(**soil, is_exact=True)))
    other = planned(knowing(warm_soil=LocalDate(on=(4, 20), year=2026, is_exact=True)))
    seasons = [advice.lawn_view(each.case, each.known).season for each in (about, sure, other)]

    assert [each.warm_soil_on for each in seasons[:2]] == [date(2027, 4, 20)] * 2
    assert [each.last_frost_on for each in seasons[:2]] == [date(2027, 3, 1)] * 2
    assert [each.frost_gate_on for each in seasons[:2]] == [date(2027, 3, 15), date(2027, 3, 1)]
    assert [each.is_about for each in seasons] == [True, False, True]
    assert seasons[2].warm_soil_on != date(2027, 4, 20)
    assert "about Jun 1" in about.text and "Tue, Jun 1" in sure.text


@pytest.mark.parametrize(("coldest_on", "counts"), [(date(2027, 1, 15), True), (date(2026, 1, 16), False)])
def test_a_freeze_report_stands_in_for_an_owner_who_is_not_sure(coldest_on: date, counts: bool) -> None:
    """If it is of that freeze; one of another winter is none of theirs."""
    report = FreezeReport(air_min_c=-11, days_below_freezing=5, snow_in=0, coldest_on=coldest_on)
    talk = Conversation(known=knowing(freeze=report))
    talk.arrive()
    talk.say(*PLACE, "not sure", "not sure", "not sure", "St. Augustine", "1")
    told = advice.cold_told(talk.case, talk.known)

    assert (told.air_min_c == -11) is counts
    assert ("summary-cold-reported" in talk.keys) is counts
    assert ("summary-cold-guess" in talk.keys) is not counts


def test_the_note_is_told_with_the_plan_and_the_contact_with_a_handover() -> None:
    """The region's own before that of whoever runs this."""
    known = replace(
        knowing(note="Office hours are Tuesday.", contact_line="County office, 555-0100"), contact_line="x@y"
    )
    talk = followed(known)
    talk.say("plan")
    assert "From your local office: Office hours are Tuesday." in talk.text
    talk.say("person", "is it dead?")

    assert "County office, 555-0100" in talk.text
    assert "x@y" not in talk.text


def test_a_place_outside_is_told_nothing() -> None:
    """Another state."""
    talk = Conversation(known=knowing(nitrogen_ban=FEEDING, note="Of Georgia."), now=NOON_IN_JANUARY)
    talk.arrive()
    talk.say("32080", *FIRST[1:], *DETAILS)

    assert not any(key.startswith("local-") for key in talk.keys)
    assert talk.now < datetime(2027, 2, 1, tzinfo=UTC)
