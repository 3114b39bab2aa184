"""Short messages, as they go out by SMS: plain letters, short enough, nothing that matters left out."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from datetime import UTC, date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.conversation import talk_knowing
from bot.talk.case import Homeowner
from bot.talk.effects import Choice, Say
from bot.talk.incoming import Arrived, Chose, Said
from bot.talk.messages import (
    AreaSqft,
    Chance,
    ClockTime,
    Cover,
    Day,
    LengthIn,
    RateLbPer1000,
    Share,
    TemperatureC,
    Value,
    Verbatim,
    text,
)
from bot.talk.telling_plan import cautions_in_short
from bot.turns import Person, Turn, say_it_broke, work_out
from bot.words.short import plain
from rules.facts.cautions import CAUTIONS
from tests.talk.conversation import KNOWN, NOON_IN_JANUARY, WORDS
from tests.words.short_talks import Told, copy_of, everything_said, fixed_talks, septets

REPLY_AT_MOST, REMINDER_AT_MOST, PARAGRAPH_AT_MOST = 459, 160, 306  # three parts, one, two

LONG_REPLIES = {
    "plan-today-head": "the plan: what is due today, with its cautions; sent in pages",
    "plan-later-head": "the plan: every task with its day, amounts and cautions; sent in pages",
    "plan-not-now-head": "the plan: what to leave alone, and until when; sent in pages",
    "change-task-new": "what a changed answer changed in the plan, task by task; sent in pages",
    "summary-head": "the first odds of a part with several signs, of a grass that also lives below; sent in pages",
}
"""Replies that may be longer than three parts, each by a key in it, and why."""

LONG_REMINDERS = {
    "caution-mower": "four cautions of the mower take a second part",
    "caution-hot_pots": "the cautions of digging and of wet pots take a second part",
    "remind-passed": "names what passed while nobody could write; once, after days away",
    "remind-lawn": "names which of several lawns is meant",
    "weather-came": "weather that came in late, with what it changed in the odds and the plan",
}
"""Reminders that may be longer than one part, each by a key in it, and why. None is longer than a reply may be."""


def too_long(said: Iterator[Told], limit: int, allowed: dict[str, str]) -> dict[str, int]:
    return {
        told.text: septets(told.text) for told in said if septets(told.text) > limit and not told.keys & set(allowed)
    }


def test_everything_said_is_in_plain_letters() -> None:
    """One letter outside the GSM alphabet more than halves the room of a message."""
    for told in everything_said():
        septets(told.text)
        septets("".join(told.labels))


def test_every_short_message_says_something() -> None:
    """Leaving out what is small print never leaves a message empty, or a line of it."""
    for told in everything_said():
        assert all(line.strip() for line in told.text.split("\n")), told.keys


def test_replies_fit_three_parts() -> None:
    """At most 459 letters, but for the kinds that are sent in pages."""
    replies = (told for told in everything_said() if not told.is_reminder)

    assert too_long(replies, REPLY_AT_MOST, LONG_REPLIES) == {}


def test_reminders_fit_one_part() -> None:
    """At most 160 letters, but for those whose cautions need more; and those stay within three parts."""
    reminders = [told for told in everything_said() if told.is_reminder]

    assert len({key for told in reminders for key in told.keys if key.startswith("remind-")}) > 12
    assert too_long(iter(reminders), REMINDER_AT_MOST, LONG_REMINDERS) == {}
    assert too_long(iter(reminders), REPLY_AT_MOST, {}) == {}


def test_every_paragraph_fits_two_parts() -> None:
    """So that a long message can be cut between paragraphs."""
    paragraphs = {line for told in everything_said() for line in told.text.split("\n")}

    assert {line for line in paragraphs if septets(line) > PARAGRAPH_AT_MOST} == set()


def test_the_long_kinds_are_long_somewhere() -> None:
    """Nothing stands in the lists of exceptions that no longer needs to."""
    replies = longer_than(REPLY_AT_MOST, is_reminder=False)
    reminders = longer_than(REMINDER_AT_MOST, is_reminder=True)

    assert set(LONG_REPLIES) - replies == set()
    assert set(LONG_REMINDERS) - reminders == set()


def longer_than(limit: int, *, is_reminder: bool) -> set[str]:
    """Every key in a message over the limit."""
    said = (told for told in everything_said() if told.is_reminder is is_reminder and septets(told.text) > limit)
    return {key for told in said for key in told.keys}


def test_cautions_are_as_many_as_in_the_long_words() -> None:
    """Whatever the long form warns of, the short form warns of: each caution has words, none is left out."""
    warned = {WORDS.text(text("spot-name", name=care), is_short=True) for _, care in cautions_said()}

    assert len(warned) > 10
    for told, care in cautions_said():
        assert WORDS.text(text("spot-name", name=care), is_short=True) in told.text
    for code in {caution for cautions in CAUTIONS.values() for caution in cautions}:
        assert WORDS.text(text(f"caution-{code}"), is_short=True).strip()
        assert WORDS.text(text(f"careful-{code}"), is_short=True).strip()


def cautions_said() -> Iterator[tuple[Told, Value]]:
    """Every caution told, with the message it was told in."""
    for told in fixed_talks():
        for part in told.say.parts:
            if "care" in part.values:
                yield told, part.values["care"]


def test_the_same_cautions_twice_running_are_told_once() -> None:
    """A ladder of twenty cuts points back to the first one's cautions, but never past other cautions told since."""
    care = {kind: cautions_in_short(CAUTIONS[kind]) for kind in ("cut", "look")}
    cut, look = (text("plan-item-care", what=text("chat-hello"), care=each) for each in care.values())
    plain_item = text("plan-item", what=text("chat-ok"))
    told = shown(Say(parts=(cut, plain_item, cut, look, cut))).split("\n")

    assert told[2] == "Hello! Careful as above."
    assert "clear stones" in told[0] and "clear stones" in told[4]
    assert "wear gloves" in told[3]


# --- choices ---------------------------------------------------------------------------------------------------------


def shown(say: Say) -> str:
    return WORDS.render(say, Homeowner(), is_short=True).text


def choice(key: str) -> Choice:
    return Choice(token=key, label=text(key))


YES, NO, NOT_SURE = choice("do_frost-yes"), choice("do_frost-no"), choice("choice-not_sure")
ASK = text("ask-do_forget")


def test_a_few_choices_stand_in_one_line() -> None:
    """With the numbers to type; the choices themselves stay, for whoever reads the answer."""
    say = Say(parts=(ASK,), choices=(YES, NO, NOT_SURE), step=3, steps=8)
    rendered = WORDS.render(say, Homeowner(), is_short=True)

    assert rendered.text.startswith("3/8 Erase")
    assert rendered.text.endswith("\nReply 1 yes, 2 no, 3 not sure.")
    assert [each.token for each in rendered.choices] == ["do_frost-yes", "do_frost-no", "choice-not_sure"]


def test_many_choices_stand_on_lines_of_their_own() -> None:
    """More than four in one line cannot be read; nor can names with commas in them."""
    commas = Choice(token="x", label=text("spot-name", name=Verbatim("Jackson, MS")))

    assert shown(Say(parts=(ASK,), choices=(YES, NO) * 3)).count("\n") == 7
    assert shown(Say(parts=(ASK,), choices=(commas, NO))).endswith("Reply a number:\n1 Jackson, MS\n2 no")


def test_where_several_fit_it_says_so() -> None:
    """Any number of choices may be typed."""
    assert "Reply all that fit, like 1,3:\n1 yes\n2 no" in shown(Say(parts=(ASK,), choices=(YES, NO), several=True))


def test_where_a_number_is_an_answer_choices_have_none() -> None:
    """Else a typed 2 could mean both."""
    assert shown(Say(parts=(ASK,), choices=(YES, NOT_SURE), numbered=False)).endswith("\nOr reply yes or not sure.")


def outcomes(told: Told, words: str, token: str) -> tuple[list[Say], list[Say]]:
    """What is said to words that are typed, and to a choice that is pressed."""
    return copy_of(told.before).take(Said(text=words)), copy_of(told.before).take(Chose(tokens=(token,)))


def keys_of(says: list[Say]) -> list[str]:
    return [part.key for say in says for part in say.parts]


def asked_once_each() -> list[Told]:
    """Every kind of message with choices, once."""
    once: dict[tuple[str, ...], Told] = {}
    for told in fixed_talks():
        if told.is_last and told.say.choices:
            once.setdefault((*(each.label.key for each in told.say.choices), *sorted(told.keys)), told)
    return list(once.values())


def test_the_number_of_a_choice_is_understood() -> None:
    """What the message says to type does what pressing that choice does, for every choice of every kind of message."""
    tried, wrong = 0, []
    for told in asked_once_each():
        for number, each in enumerate(told.say.choices if told.say.numbered else (), start=1):
            typed, pressed = outcomes(told, str(number), each.token)
            tried += 1
            if typed != pressed:
                wrong.append((sorted(told.keys), number))

    assert tried > 150
    assert wrong == []


def test_the_words_of_a_choice_without_a_number_are_understood() -> None:
    """Where numbers are answers, the short label itself can be typed. (A range may be read a little wider than chosen,
    so what is said is compared, not the figures in it.)
    """
    tried, wrong = 0, []
    for told in asked_once_each():
        if told.say.numbered:
            continue
        for label, each in zip(told.labels, told.say.choices, strict=True):
            typed, pressed = outcomes(told, label, each.token)
            tried += 1
            if keys_of(typed) != keys_of(pressed):
                wrong.append((sorted(told.keys), label))

    assert tried > 40
    assert wrong == []


RESERVED = re.compile(
    r"stop|stopall|end|cancel|quit|unsubscribe|revoke|opt.?out|start|unstop|help|info|arret|alto", re.IGNORECASE
)


def test_no_answer_is_a_word_that_networks_take() -> None:
    """STOP, START, HELP and their like never reach the conversation, so no choice may be one."""
    labels = {label for told in everything_said() for label in told.labels}

    assert len(labels) > 60
    assert [label for label in labels if RESERVED.fullmatch(label)] == []


# --- values and letters ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "us", "metric"),
    [
        (TemperatureC(-8.3), "17 F", "-8 C"),
        (TemperatureC(-3.3, 2.8), "21 to 31 F", "-6 to 0 C"),
        (LengthIn(3.5), "3 1/2 in", "8.9 cm"),
        (LengthIn(0.75), "3/4 in", "1.9 cm"),
        (LengthIn(2), "2 in", "5.1 cm"),
        (AreaSqft(1200), "1,200 sq ft", "111 m2"),
        (RateLbPer1000(2.1875), "2.2 lb/1,000 sq ft", "10.7 g/m2"),
        (Share(0.4, 0.1, 0.7), "about 4 in 10 (1 to 7)", "about 4 in 10 (1 to 7)"),
        (Share(0.6, 0.0, 1.0), "perhaps 6 in 10 (none to all)", "perhaps 6 in 10 (none to all)"),
        (Cover(0.25), "about 25% green", "about 25% green"),
        (Chance(0.2), "unlikely, about 1 in 5", "unlikely, about 1 in 5"),
        (Day(date(2027, 5, 7)), "May 7", "May 7"),
        (Day(date(2027, 5, 7), about=True), "about May 7", "about May 7"),
        (ClockTime(datetime(2027, 1, 19, 9, 0, tzinfo=UTC)), "9 AM", "9 AM"),
        (ClockTime(datetime(2027, 1, 19, 16, 40, tzinfo=UTC)), "4:40 PM", "4:40 PM"),
        (Verbatim("Doña “Ana” – côté"), 'Doña "Ana" - coté', 'Doña "Ana" - coté'),
    ],
)
def test_values_are_short_and_keep_unit_and_range(value: Value, us: str, metric: str) -> None:
    """Every figure keeps its unit and its doubt, in plain letters."""
    short = [WORDS.text(text("spot-name", name=value), metric=each, is_short=True) for each in (False, True)]

    assert short == [us, metric]


@given(st.text())
def test_anything_written_can_be_said_in_plain_letters(written: str) -> None:
    """Whatever somebody calls a part of a lawn, it can be sent back to them."""
    septets(plain(written))
    assert plain(plain(written)) == plain(written)


@given(st.text(alphabet=st.characters(codec="ascii", min_codepoint=32, exclude_characters="`\x7f")))
def test_plain_words_stay_as_they_are(written: str) -> None:
    """Only what the alphabet lacks is changed."""
    assert plain(written) == written


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("2½ acre field", "2 1/2 acre field"),
        ("the ½ by the road", "the 1/2 by the road"),
        ("front 🌱", "front"),
        ("🌳 side yard", "side yard"),
        ("🌱", "?"),
    ],
)
def test_a_name_reads_as_it_was_meant(written: str, told: str) -> None:
    """Two and a half is not 21 halves, and a leaf beside a name is no question mark."""
    assert plain(written) == told


# --- the words of the channel ----------------------------------------------------------------------------------------

CHANNEL_WORDS = sorted(key for key in WORDS.keys("en") if key.startswith("sms-"))


@pytest.mark.parametrize("key", [key for key in CHANNEL_WORDS if not key.startswith(("sms-choice", "sms-progress"))])
def test_the_channels_own_words_fit_two_parts(key: str) -> None:
    """Consent, help and stopping are plain and short."""
    contact = {"contact": Verbatim("the county office at 555-0100")} if key == "sms-help" else {}

    assert septets(WORDS.text(text(key, **contact), is_short=True)) <= PARAGRAPH_AT_MOST


@pytest.mark.parametrize(
    ("key", "needed"),
    [
        ("sms-ask-consent", "Afterfrost;YES;frequency varies;Message and data rates may apply;HELP;STOP"),
        ("sms-consent-given", "Afterfrost;HELP;STOP"),
        ("sms-welcome-back", "Afterfrost;HELP;STOP"),
        ("sms-help", "Afterfrost;STOP;frequency varies;Message and data rates may apply;555-0100"),
        ("sms-stopped", "Afterfrost;START;No more"),
    ],
)
def test_the_channels_words_hold_what_they_must(key: str, needed: str) -> None:
    """Who writes, how often, what it may cost, how to stop and where to ask."""
    contact = {"contact": Verbatim("555-0100")} if key == "sms-help" else {}
    told = WORDS.text(text(key, **contact))

    assert [word for word in needed.split(";") if word not in told] == []


# --- who gets short messages -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(("channel", "is_short"), [("sms", True), ("web", False), ("terminal", False)])
def test_only_sms_gets_short_messages(channel: str, is_short: bool) -> None:
    """The same turn is put into short words for SMS, and into long ones elsewhere; so is the word that it broke."""
    talk = talk_knowing(WORDS, KNOWN)
    person = Person(id=None, channel=channel, address="x")
    turn = Turn(inbox_id=1, channel=channel, address="x", incoming=Arrived())
    bodies = [each.body for each in work_out(talk, person, turn, NOON_IN_JANUARY).sayings]

    assert ("Reply BACK" in json.loads(bodies[0])["text"]) is is_short
    assert "Something broke" in say_it_broke(talk, person, turn).body
