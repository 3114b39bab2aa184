"""The one function that decides what a message means and what is said to it.

Rules kept here:
1. Pure: the same homeowner, incoming, time and knowledge give the same outcome. Nothing is read or written.
2. Everything that comes in gets an answer, except a reminder that is no longer right.
3. Words that protect people come first (an emergency, a wish to stop), then wishes that work everywhere, then the
   open question. So no word of a question can trap anyone.
4. The open question is a side talk's, else the table's first unanswered one. It is worked out, never stored.
5. Unclear words change nothing but a count: one helpful re-ask, then the choices again, then the offer of a person.
6. What was learned is told: the first answer, the plan, and what a changed answer changed.
"""

from __future__ import annotations

from datetime import datetime

from bot import talk
from bot.talk import answers, asking, flow, reading, understand
from bot.talk.answering import accept, ask_open, open_question
from bot.talk.asking import TOKEN_QUESTION, TOKEN_SIDE, mark_of
from bot.talk.case import AnswerValue, Case, Homeowner, PlacesTold, Standing, Task
from bot.talk.followup import open_tasks
from bot.talk.incoming import (
    FROM_PEOPLE,
    Arrived,
    Chose,
    Incoming,
    PhotoRefused,
    RemindersDue,
    Said,
    SentPhoto,
    SharedPlace,
)
from bot.talk.known import Known
from bot.talk.messages import AreaSqft, LengthIn, Number, TemperatureC, Text, Value, Verbatim, text
from bot.talk.ports import Outcome
from bot.talk.question import OPEN_ENDED, Instance
from bot.talk.questions import BY_ID
from bot.talk.turn import Turn
from bot.talk.understand import Unclear, Wish

HELPFUL_MISSES = 1  # the first miss gets the helpful re-ask
CHOICES_MISSES = 2  # the second shows the choices; the third offers a person


def reduce(homeowner: Homeowner | None, incoming: Incoming, now: datetime, known: Known) -> Outcome:
    """Work out one message: the homeowner as they are afterwards, and what is to be said and done."""
    is_new = homeowner is None or not homeowner.lawns
    turn = Turn(homeowner=homeowner or _newcomer(known), now=now, known=known)
    if isinstance(incoming, RemindersDue):
        talk.people.take_back_if_silent(turn)
        talk.tasks.bring_up(turn, incoming.reminders)
        return Outcome(homeowner=turn.homeowner, effects=tuple(turn.effects))
    if isinstance(incoming, FROM_PEOPLE):
        talk.people.act(turn, incoming)
        return Outcome(homeowner=turn.homeowner, effects=tuple(turn.effects))
    turn.update(last_heard_at=now)
    if isinstance(incoming, Arrived) and not turn.homeowner.invite:
        turn.update(invite=incoming.invite)
    if is_new:
        turn.put_case(Case(number=1, opened_at=now))
        if not isinstance(incoming, Arrived):
            turn.say(text("greeting"))
    if not talk.people.keep_for_person(turn, incoming):
        _take(turn, incoming, is_new=is_new)
    return Outcome(homeowner=turn.homeowner, effects=tuple(turn.effects))


def _newcomer(known: Known) -> Homeowner:
    """Somebody who writes for the first time, with the hours whoever runs this chose."""
    return Homeowner(first_hour=known.first_hour, last_hour=known.last_hour)


def _take(turn: Turn, incoming: Incoming, *, is_new: bool) -> None:
    if _is_unwanted(turn.homeowner, incoming):
        turn.say(text("stopped-still"))
        if turn.homeowner.side is not None:
            ask_open(turn)
        return
    match incoming:
        case Arrived():
            _arrived(turn, is_new=is_new)
        case Said(text=words):
            _said(turn, words, is_new=is_new)
        case Chose(tokens=tokens):
            _chose(turn, tokens)
        case SharedPlace(latitude=latitude, longitude=longitude):
            _shared(turn, latitude, longitude)
        case SentPhoto(more=more):
            talk.photos.arrived(turn, incoming)
            if not more:
                ask_open(turn)
        case PhotoRefused(reason=reason):
            talk.photos.refused(turn, reason)
            ask_open(turn)


def _is_unwanted(homeowner: Homeowner, incoming: Incoming) -> bool:
    """Old buttons and pictures of somebody who wanted quiet: nothing is promised them. What we asked still counts."""
    match incoming:
        case Chose(tokens=tokens):
            is_about_quiet = all(token.startswith(f"{TOKEN_SIDE}:") for token in tokens)
            return homeowner.standing is not Standing.ACTIVE and not is_about_quiet
        case SharedPlace() | SentPhoto() | PhotoRefused():
            return homeowner.standing is Standing.STOPPED
        case _:
            return False


# --- coming in -------------------------------------------------------------------------------------------------------


def _arrived(turn: Turn, *, is_new: bool) -> None:
    if is_new:
        ask_open(turn, text("greeting"))
        return
    instance, _ = open_question(turn)
    before = (text("welcome-back"), _where_we_are(turn, instance))
    ask_open(turn, *before)


def _where_we_are(turn: Turn, instance: Instance | None) -> Text:
    if instance is None:
        return talk.telling.next_line(turn.case, open_tasks(turn.case))
    step = flow.progress(turn.case, instance)
    if step is None:
        return text("welcome-open-question")
    return text("welcome-question", step=Number(step[0]), steps=Number(step[1]))


def _said(turn: Turn, words: str, *, is_new: bool) -> None:
    if talk.anytime.first_things(turn, words):
        return
    if turn.homeowner.standing is not Standing.ACTIVE and not talk.anytime.may_go_on(turn, words):
        return
    if _is_choice(turn, words):
        _answer_in_words(turn, words)
        return
    if talk.anytime.grant(turn, words):
        return
    if is_new and not words.strip():
        ask_open(turn)
        return
    _answer_in_words(turn, words)


def _answer_in_words(turn: Turn, words: str) -> None:
    if turn.homeowner.task_was_last and _answers_reminder(turn, words):
        return
    turn.go_to_side_lawn()
    instance, side = open_question(turn)
    if instance is None:
        _talk_after_the_plan(turn, words)
        return
    case = talk.errands.scratch(turn, side) if side else turn.case
    value = asking.read_words(turn, instance, case, words)
    if isinstance(value, Unclear) and side is not None and side.topic == "offer_person":
        return _answer_after_the_offer(turn, words)
    if isinstance(value, Unclear):
        cause = understand.other_cause(words)
        if cause is not None:
            ask_open(turn, text(f"cause-{cause}"), text("cause-more"))
            return
        aside = talk.chat.courtesy(words) or talk.chat.early_question(words)
        if aside is not None:
            ask_open(turn, aside)
            return
        _unclear(turn, instance, value, words)
        return
    turn.update(misses=0)
    accept(turn, instance, value, words)


def _answer_after_the_offer(turn: Turn, words: str) -> None:
    """Neither yes nor no to a person: it may be the answer that was asked for before, and then nobody is needed."""
    turn.end_side()
    turn.go_to_side_lawn()
    instance, side = open_question(turn)
    if instance is None:
        _talk_after_the_plan(turn, words)
        return
    case = talk.errands.scratch(turn, side) if side else turn.case
    value = asking.read_words(turn, instance, case, words)
    if isinstance(value, Unclear):
        _unclear(turn, instance, value, words)
    else:
        turn.update(misses=0)
        accept(turn, instance, value, words)


_NAMES_SPOTS = ("do_spot",)
"""Questions whose choices are names that owners gave: a part of the lawn may be called "back"."""


def _is_choice(turn: Turn, words: str) -> bool:
    """Whether words are, exactly, a choice of the open question: then they are no wish, unless nothing else may be."""
    wanted = understand.wish(words)
    if turn.homeowner.task_was_last or wanted in talk.anytime.ALWAYS_WISHES - {Wish.BACK}:
        return False
    instance, side = open_question(turn)
    if instance is None or (wanted is Wish.BACK and instance.question.id not in _NAMES_SPOTS):
        return False
    case = talk.errands.scratch(turn, side) if side else turn.case
    return asking.is_choice(turn, instance, case, words)


def _talk_after_the_plan(turn: Turn, words: str) -> None:
    """Nothing is being asked: words are about the last task, a dose, trouble, care in general, or not understood."""
    if talk.anytime.told_dose(turn, words) or _answers_reminder(turn, words):
        return
    if talk.troubles.takes_words(turn, understand.trouble(words)):
        return
    cause = understand.other_cause(words)
    if cause is not None and not talk.chat.asks_about_care(words):
        turn.say(text(f"cause-{cause}"), text("cause-more"))
        return
    if talk.chat.takes_words(turn, words):
        return
    if not flow.is_ours(turn.case) and _takes_back_the_scope(turn, words):
        return
    turn.update(misses=turn.homeowner.misses + 1)
    if turn.homeowner.misses > CHOICES_MISSES:
        turn.update(misses=0)
        turn.start_side("offer_person", words[:1000])
        ask_open(turn)
        return
    turn.say(text("not-understood"), talk.telling.next_line(turn.case, open_tasks(turn.case)))


def _takes_back_the_scope(turn: Turn, words: str) -> bool:
    """ "Actually it is bermuda", after we said that such a lawn, or such a frost, is not ours."""
    question = BY_ID["air_min" if flow.out_of_scope_reason(turn.case) == "not_frost" else "grass"]
    value = asking.read_words(turn, Instance(question), turn.case, words)
    if isinstance(value, Unclear):
        return False
    turn.update(misses=0)
    turn.start_side("changing", question.id, "")
    accept(turn, Instance(question), value, words)
    return True


def _answers_reminder(turn: Turn, words: str) -> bool:
    """Whether words answer the reminder last said: trouble with it, what it leads up to, or one of its four answers."""
    task = talk.tasks.told_task(turn)
    if task is None:
        return False
    if talk.troubles.takes_words(turn, understand.trouble(words)):
        ask_open(turn)
        return True
    is_count = task.kind in talk.tasks.COUNTED and understand.plain(words).isdigit()
    verb = None if is_count else talk.tasks.typed_verb(turn, task, words)
    if verb is None:
        return _answers_what_it_leads_to(turn, task, words)
    turn.update(misses=0)
    talk.tasks.act_on_told(turn, task, verb)
    ask_open(turn)
    return True


def _answers_what_it_leads_to(turn: Turn, task: Task, words: str) -> bool:
    """ "3 of 6" when asked to count: as if "I counted" had been said first."""
    if task.kind not in talk.tasks.ASKED_AT_ONCE:
        return False
    before, said = turn.homeowner, list(turn.effects)
    talk.tasks.act_on_told(turn, task, talk.tasks.DONE)
    instance, side = open_question(turn)
    value: AnswerValue | Unclear = Unclear("empty")
    if instance is not None and side is not None:
        value = asking.read_words(turn, instance, talk.errands.scratch(turn, side), words)
    if instance is None or isinstance(value, Unclear):
        turn.homeowner, turn.effects = before, said
        return False
    turn.update(misses=0)
    accept(turn, instance, value, words)
    return True


def _unclear(turn: Turn, instance: Instance, why: Unclear, words: str) -> None:
    turn.update(misses=turn.homeowner.misses + 1)
    misses = turn.homeowner.misses
    if misses > CHOICES_MISSES:
        turn.update(misses=0)
        turn.wait_with_side()
        turn.start_side("offer_person", words[:1000])
        ask_open(turn)
        return
    before = [_reason_text(why, instance)]
    if misses <= HELPFUL_MISSES:
        before.append(text(f"help-{instance.question.id}"))
    else:
        before.append(text("unclear-choices"))
    ask_open(turn, *before)


def _reason_text(why: Unclear, instance: Instance) -> Text:
    if why.reason not in _RANGED or why.low is None or why.high is None:
        return text(f"unclear-{why.reason}")
    low, high = _bound(why.low, instance), _bound(why.high, instance)
    return text(f"unclear-{why.reason}-range", low=low, high=high)


_RANGED = frozenset({"too_big", "too_small", "negative", "zero"})


def _bound(value: float, instance: Instance) -> Value:
    """A bound of the allowed range in the unit the question is about."""
    match instance.question.id:
        case "air_min" | "weather_fits":
            return TemperatureC(value)
        case "mow_height" | "notch" | "snow":
            return LengthIn(value)
        case "size" | "do_size":
            return AreaSqft(value)
        case _:
            return Number(value)


# --- buttons ---------------------------------------------------------------------------------------------------------


def _chose(turn: Turn, tokens: tuple[str, ...]) -> None:
    parsed = [token.split(":") for token in tokens]
    if not parsed:
        ask_open(turn)
        return
    kind = parsed[0][0]
    if kind == talk.tasks.TOKEN_TASK and len(parsed[0]) >= 4:
        _task_button(turn, tokens[0])
    elif kind in (TOKEN_QUESTION, TOKEN_SIDE) and all(len(parts) == 5 for parts in parsed):
        _question_button(turn, parsed)
    else:
        turn.say(text("button-unknown"))
        ask_open(turn)


def _task_button(turn: Turn, token: str) -> None:
    _, lawn, rest = token.split(":", 2)
    key, _, verb = rest.rpartition(":")
    if not _switch_to(turn, lawn) or (task := turn.task(key)) is None or verb not in talk.tasks.VERBS:
        turn.say(text("button-unknown"))
        ask_open(turn)
        return
    talk.tasks.act(turn, task, verb)
    ask_open(turn)


def _question_button(turn: Turn, parsed: list[list[str]]) -> None:
    kind, lawn, question_id, mark, _ = parsed[0]
    codes = tuple(parts[4] for parts in parsed if parts[:4] == parsed[0][:4])
    turn.go_to_side_lawn()
    instance, side = open_question(turn)
    here = str(turn.case.number) == lawn
    case = talk.errands.scratch(turn, side) if side else turn.case
    if instance is not None and here and instance.question.id == question_id and mark == mark_of(instance, case, side):
        value = asking.read_codes(turn, instance, case, codes)
        if value is not None:
            turn.update(misses=0)
            accept(turn, instance, value, _label_words(turn, instance, case, codes))
            return
    _old_button(turn, kind, lawn, question_id, mark)


def _label_words(turn: Turn, instance: Instance, case: Case, codes: tuple[str, ...]) -> str:
    """Buttons are kept as the words they showed."""
    if len(codes) == 1 and codes[0] in OPEN_ENDED:
        return turn.known.spoken(turn.homeowner.language, f"choice-{codes[0]}")[0]
    words = []
    for code in (each for each in instance.question.choices(case) if each in codes):
        label = instance.question.label(instance.question, code, case)
        words.append(
            turn.known.spoken(turn.homeowner.language, label.key)[0]
            if not label.values
            else next((v.text for v in label.values.values() if isinstance(v, Verbatim)), code)
        )
    return ", ".join(words)


def _old_button(turn: Turn, kind: str, lawn: str, question_id: str, mark: str) -> None:
    """A button of a question that is no longer open: offer to change that answer, or just go on."""
    question = BY_ID.get(question_id)
    names = answers.spots(turn.case)
    number = reading.index_of(mark.partition("-")[0])
    spot = names[number] if number is not None and number < len(names) else ""
    spot = spot if question and question.per_spot else ""
    answered = kind == TOKEN_QUESTION and question is not None and answers.find(turn.case, question_id, spot)
    if answered and str(turn.case.number) == lawn and turn.homeowner.side is None:
        turn.say(text("button-answered", name=text(f"name-{question_id}")))
        turn.start_side("old_button", question_id, spot)
    else:
        turn.say(text("button-passed"))
    ask_open(turn)


def _switch_to(turn: Turn, lawn: str) -> bool:
    if not any(str(case.number) == lawn for case in turn.homeowner.lawns):
        return False
    turn.update(active_lawn=int(lawn))
    return True


# --- places --------------------------------------------------------------------------------------------------------


def _shared(turn: Turn, latitude: float, longitude: float) -> None:
    place = turn.known.place_at(latitude, longitude) if -90 <= latitude <= 90 else None
    if place is None:
        turn.say(text("shared-nowhere"))
        ask_open(turn)
        return
    case = turn.homeowner.lawn
    if case is not None and answers.find(case, "place") is not None:
        turn.start_side("changing", "place", "")  # so that what it changes is worked out and told
    accept(turn, Instance(BY_ID["place"]), PlacesTold(candidates=(place,)), place.name)
