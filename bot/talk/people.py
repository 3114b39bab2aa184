"""What people who answer for a region do to one homeowner's talk: advise many, answer one, take a talk over.

1. Nobody who wants quiet gets what they did not ask for. A person's answer to their question is no such thing.
2. While a person holds the talk, the bot keeps what comes in and says nothing by itself but what protects people and
   what only it can do: emergencies, stopping, "start", a copy of somebody's data. A freeze advisory still goes out.
3. One person holds a talk at a time. What another one does to it meanwhile has no effect.
4. A homeowner gets the bot back by asking for it, by asking to be forgotten, or by stopping; and from a person who has
   said nothing for long. Then what was written to them is passed on again.
5. Whenever the bot has the talk again it says so, and goes on where the talk stood.
6. A person's words are shown as they were written. At night they wait, unless their owner has just written.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from bot import talk
from bot.talk import asking, understand
from bot.talk.answering import ask_open, open_question
from bot.talk.asking import TOKEN_SIDE
from bot.talk.case import AnswerValue, Standing
from bot.talk.effects import CallPerson, OfferData, Say, Urgency
from bot.talk.followup import SILENT_AT_MOST, held_until, open_tasks
from bot.talk.incoming import Advised, Arrived, Chose, Incoming, PersonCame, PersonSaid, Said, SentPhoto
from bot.talk.messages import Quoted, Text, Verbatim, text
from bot.talk.turn import Turn
from bot.talk.understand import Unclear, Wish
from bot.talk.understand.bot_back import wants_bot

WORDS_KEPT = 1000  # letters of what was written to a person; the whole of it stands in the record
JUST_NOW = timedelta(minutes=30)
"""So long after somebody wrote an answer may come at any hour."""


def act(turn: Turn, incoming: Advised | PersonSaid | PersonCame) -> None:
    """Do to a talk what a person did."""
    match incoming:
        case Advised():
            _advise(turn, incoming)
        case PersonSaid(words=words, name=name) if turn.homeowner.held_by in ("", name):
            turn.say(text("person-said", name=Verbatim(name), words=Quoted(words)))
            if turn.homeowner.held_by:
                turn.update(held_heard_at=turn.now, held_words="")
        case PersonCame(name=name, is_leaving=False) if turn.homeowner.held_by in ("", name):
            _come(turn, name)
        case PersonCame(name=name, is_leaving=True) if turn.homeowner.held_by == name:
            _let_go(turn)
            _go_on(turn, text("person-left", name=Verbatim(name)))
    _wait_at_night(turn)


def _advise(turn: Turn, advised: Advised) -> None:
    today = turn.owner_now.date()
    if turn.homeowner.standing is not Standing.ACTIVE:
        return
    if not advised.is_pressing and (turn.homeowner.last_unasked_on == today or turn.homeowner.held_by):
        return
    turn.urgency = Urgency.ADVISORY
    turn.say(text("advisory", words=Quoted(advised.words)))
    turn.update(last_unasked_on=today)


def _come(turn: Turn, name: str) -> None:
    """A person takes the talk. Somebody who wants quiet is not told; the answer to their question will say it."""
    is_new = turn.homeowner.held_by != name
    turn.update(held_by=name, held_heard_at=turn.now)
    if is_new and turn.homeowner.standing is Standing.ACTIVE:
        turn.say(text("person-came", name=Verbatim(name)))


def _wait_at_night(turn: Turn) -> None:
    """What a person says at night waits for its owner's hours, unless they wrote just now."""
    heard_at = turn.homeowner.last_heard_at
    is_awake = heard_at is not None and turn.now - heard_at <= JUST_NOW
    if not is_awake and not talk.endings.EARLIEST_HOUR <= turn.owner_now.hour < talk.endings.LATEST_HOUR:
        turn.effects = [replace(each, in_hours=True) if isinstance(each, Say) else each for each in turn.effects]


# --- what comes in while a person holds the talk ---------------------------------------------------------------------


def keep_for_person(turn: Turn, incoming: Incoming) -> bool:
    """Whether a person holds the talk, so that this is for them."""
    if not turn.homeowner.held_by:
        return False
    if _is_silent_too_long(turn):
        turn.say_any(_take_back(turn))
        return False
    match incoming:
        case Said(text=words):
            return _keep_words(turn, words)
        case Chose(tokens=tokens):
            _read_stop_button(turn, tokens)
        case SentPhoto():
            talk.photos.hold(turn, incoming)
        case Arrived():
            turn.say(text("welcome-back"), _who_holds(turn))
    return True


def _keep_words(turn: Turn, words: str) -> bool:
    """Words are for the person, but for the few that only the bot can answer. False: the bot has the talk again, and
    goes on with them.
    """
    if talk.anytime.first_things(turn, words):
        if turn.homeowner.standing is Standing.STOPPED:
            _let_go(turn)
        _keep(turn, words)
        return True
    if wants_bot(words):
        _let_go(turn)
        _go_on(turn, text("person-bot-back"))
        return True
    match understand.wish(words):
        case Wish.START:
            _start(turn)
        case Wish.DATA:
            turn.say(text("data-offer"))
            turn.want(OfferData())
        case Wish.FORGET_ME:
            _let_go(turn)
            return False
        case _ if not _read_stop_words(turn, words):
            _keep(turn, words)
    return True


def _keep(turn: Turn, words: str) -> None:
    if turn.homeowner.held_by:
        kept = f"{turn.homeowner.held_words}\n{words.strip()}".strip()
        turn.update(held_words=kept[-WORDS_KEPT:])


def _start(turn: Turn) -> None:
    """ "Start" wakes whoever stopped; the talk stays with the person."""
    side = turn.homeowner.side
    if side is not None and side.topic == "stop":
        turn.end_side()
    turn.update(standing=Standing.ACTIVE)
    turn.say(text("welcome-back"), _who_holds(turn))


def _who_holds(turn: Turn) -> Text:
    return text("person-holds", name=Verbatim(turn.homeowner.held_by))


def _read_stop_words(turn: Turn, words: str) -> bool:
    """Whether words answer our one question about stopping, which is asked whoever holds the talk."""
    instance, side = open_question(turn)
    if instance is None or side is None or side.topic != "stop":
        return False
    value = asking.read_words(turn, instance, talk.errands.scratch(turn, side), words)
    if isinstance(value, Unclear):
        return False
    _end_stop(turn, value, words)
    return True


def _read_stop_button(turn: Turn, tokens: tuple[str, ...]) -> None:
    """The same, pressed. Every other button is kept for the person to see."""
    instance, side = open_question(turn)
    parts = tokens[0].split(":") if tokens else []
    is_about_it = len(parts) == 5 and parts[0] == TOKEN_SIDE and side is not None and side.topic == "stop"
    if not is_about_it or instance is None or side is None or parts[2] != instance.question.id:
        return
    value = asking.read_codes(turn, instance, talk.errands.scratch(turn, side), (parts[4],))
    if value is not None:
        _end_stop(turn, value, "")


def _end_stop(turn: Turn, value: AnswerValue, words: str) -> None:
    instance, side = open_question(turn)
    if instance is None or side is None:
        return
    answer = asking.answer_of(turn, instance, value, words)
    talk.endings.end(turn, replace(side, answers=(*side.answers, answer)))
    if turn.homeowner.standing is Standing.STOPPED:
        _let_go(turn)


# --- the bot has the talk again --------------------------------------------------------------------------------------


def take_back_if_silent(turn: Turn) -> None:
    """Take the talk back from a person who has said nothing for long, at an hour at which its owner may be told."""
    until = held_until(turn.homeowner)
    if until is None or turn.now < until:
        return
    turn.urgency = Urgency.REMINDER
    told = _take_back(turn)
    if told:
        turn.update(last_unasked_on=turn.owner_now.date())
        _go_on(turn, *told)


def _is_silent_too_long(turn: Turn) -> bool:
    heard_at = turn.homeowner.held_heard_at
    return heard_at is None or turn.now - heard_at > SILENT_AT_MOST


def _take_back(turn: Turn) -> list[Text]:
    """Pass on what the person did not answer; what to tell of it: nothing to somebody who wants quiet."""
    name, unread = turn.homeowner.held_by, turn.homeowner.held_words
    _let_go(turn)
    turn.want(CallPerson(question=unread, lawn=turn.homeowner.active_lawn or None))
    if turn.homeowner.standing is not Standing.ACTIVE:
        return []
    passed_on = [text("person-silent-passed")] if unread else []
    return [text("person-silent", name=Verbatim(name)), *passed_on]


def _let_go(turn: Turn) -> None:
    turn.update(held_by="", held_heard_at=None, held_words="")


def _go_on(turn: Turn, *before: Text) -> None:
    """Go on where the talk stood: with the photos that came meanwhile, the open question, or what comes next.

    Whoever wants quiet is told nothing of it.
    """
    if turn.homeowner.standing is not Standing.ACTIVE:
        return
    if turn.homeowner.lawn is None:
        turn.say_any(before)
        return
    if turn.case.in_hand:
        turn.say_any(before)
        talk.photos.take_up(turn)
        ask_open(turn)
    elif open_question(turn)[0] is None:
        turn.say(*before, talk.telling.next_line(turn.case, open_tasks(turn.case)))
    else:
        ask_open(turn, *before)
