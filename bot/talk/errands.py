"""Side talks: short runs of questions that stand before the table's next question.

Each topic is a list of rows like the table's, answered in order, and an ending that acts on the answers. Their answers
live in the side talk and go with it; what they change is written into the case. "back" takes the last one away or
leaves the side talk; "not sure" is always an answer.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import timedelta

from bot.talk import advice, answers, in_hand, reading, understand
from bot.talk.applies import grass_code
from bot.talk.case import (
    Answer,
    AnswerValue,
    Case,
    NamesTold,
    NotSure,
    NumberTold,
    Picked,
    PickedMany,
    SideTalk,
    Skipped,
)
from bot.talk.flow import answered_instances
from bot.talk.messages import Number, Several, Text, Value, Verbatim, text
from bot.talk.question import Context, Instance, Question, Stage, choice_or, parse_choice, yes_no
from bot.talk.questions import BY_ID
from bot.talk.seen import plugs_potted
from bot.talk.turn import Turn
from bot.talk.understand import Unclear
from rules.facts.areas import PACE_FT
from rules.facts.evidence import POT_PLUGS_ADVISED
from rules.facts.repair import PLUG_SPACING_IN
from rules.grasses import GrassCode, is_seedable
from rules.task_kinds import TaskKind

_SHARES: Mapping[str, float] = {
    "none": 0.0,
    "few": 0.03,
    "tenth": 0.1,
    "quarter": 0.25,
    "half": 0.5,
    "most": 0.75,
    "all": 0.95,
}


def _row(question_id: str, *codes: str, **more: object) -> Question:
    defaults: dict[str, object] = {"stage": Stage.AGREE, "parse": parse_choice, "choices": lambda case: codes}
    return Question(id=question_id, **(defaults | more))  # type: ignore[arg-type]  # names are checked by Question


def _yes_no_row(question_id: str, **more: object) -> Question:
    return _row(question_id, "yes", "no", parse=yes_no, **more)


def _read_share(question: Question, said: str, context: Context) -> AnswerValue | Unclear:
    picked = parse_choice(question, said, context)
    return picked if not isinstance(picked, Unclear) else understand.share(said)


def _green_row(question_id: str = "do_green") -> Question:
    return _row(question_id, *_SHARES, parse=_read_share, value=lambda code, context: NumberTold(value=_SHARES[code]))


def _some_green(case: Case, spot: str) -> bool:
    green = answers.number(case, "do_green")
    return green is None or green > 0


def _less_than_half_green(case: Case, spot: str) -> bool:
    green = answers.number(case, "do_green")
    return green is not None and 0 < green < _SHARES["half"]


def _half_green(case: Case, spot: str) -> bool:
    green = answers.number(case, "do_green")
    return green is not None and green >= _SHARES["half"]


def _read_note(question: Question, said: str, context: Context) -> AnswerValue | Unclear:
    return NamesTold(names=(said.strip()[:1000],)) if said.strip() else Unclear("empty")


def _read_hours(question: Question, said: str, context: Context) -> AnswerValue | Unclear:
    picked = parse_choice(question, said, context)
    return reading.hours_told(said) if isinstance(picked, Unclear) else picked


def _slow_open(case: Case, spot: str) -> bool:
    bag = answers.bag(case)
    return bag is not None and bag.slow_n_percent is None and bag.n_percent > 0


def _repair_choices(case: Case) -> tuple[str, ...]:
    """Seed and plugs are only offered for a grass that is sold as such."""
    code = grass_code(case)
    if code is None:
        return ("sod", "wait", "person")
    seed = ("seed",) if is_seedable(GrassCode(code), advice.cultivar_of(case, GrassCode(code))) else ()
    plugs = ("plugs",) if GrassCode(code) in PLUG_SPACING_IN else ()
    return ("sod", *plugs, *seed, "wait", "person")


def _read_repair(question: Question, said: str, context: Context) -> AnswerValue | Unclear:
    """Somebody who asks for seed where there is none gets told so, not "I didn't catch that"."""
    picked = parse_choice(question, said, context)
    return Picked(code="seed") if isinstance(picked, Unclear) and "seed" in said.lower() else picked


def _size_row() -> Question:
    return _row(
        "do_size",
        takes_number=True,
        parse=lambda question, said, context: understand.area(said, context.metric, pace_ft=PACE_FT.value),
        may_skip=True,
    )


TOPICS: Mapping[str, tuple[Question, ...]] = {
    "later": (
        _row(
            "do_when",
            "tomorrow",
            "weekend",
            "next_week",
            parse=choice_or(lambda said, context: reading.later_day_told(said, context.today)),
            value=lambda code, context: reading.later_choice(code, context.today),
        ),
    ),
    "feed": (
        _yes_no_row("do_frost"),
        _green_row(),
        _yes_no_row("do_shoots", applies=_less_than_half_green),
        _row("do_mowed", "none", "one", "two", applies=_half_green),
        _yes_no_row("do_rings"),
        _yes_no_row("do_weather"),
    ),
    "look": (_row("do_runners", "firm", "mixed", "soft", picture="runner_look"),),
    "green": (_green_row(), _yes_no_row("do_weeds", applies=_some_green)),
    "pull": (_row("do_pull", "lifts", "holds"),),
    "photo_weeds": (_row("do_photo_weeds", "none", "some", "most"),),
    "pot_start": (
        _row(
            "do_plugs",
            takes_number=True,
            parse=lambda question, said, context: reading.plug_number(said),
        ),
    ),
    "judge": (_green_row(), _yes_no_row("do_weeds", applies=_some_green)),
    "repair": (
        _row("do_repair", parse=_read_repair, choices=_repair_choices),
        _size_row(),
    ),
    "forget": (_yes_no_row("do_forget", offers_not_sure=False),),
    "start_over": (_yes_no_row("do_start_over", offers_not_sure=False),),
    "stop": (_yes_no_row("do_stop", offers_not_sure=False),),
    "person": (_row("do_note", parse=_read_note, offers_not_sure=False),),
    "offer_person": (_yes_no_row("do_person"),),
    "old_button": (_yes_no_row("do_change_it"),),
    "feed_bag": (
        replace(BY_ID["bag"], applies=lambda case, spot: True),
        replace(BY_ID["bag_slow"], applies=_slow_open),
    ),
    "hours": (
        _row(
            "do_hours",
            "morning",
            "midday",
            "evening",
            offers_not_sure=False,
            parse=_read_hours,
        ),
    ),
}
"""Topics whose rows are fixed. `problem`, `change`, `photo_spot` and `which_lawn` depend on the case: `rows_of`."""


def rows_of(turn: Turn, side: SideTalk) -> tuple[Question, ...]:
    """The rows of a side talk; some list what this homeowner has."""
    if side.topic == "feed" and is_frost_over(turn):
        return TOPICS["feed"][1:]
    if side.topic in TOPICS:
        return TOPICS[side.topic]
    if side.topic == "changing":
        return (BY_ID[side.about[0]],)
    if side.topic == "pot_read":
        return (_count_row(turn, side),)
    if side.topic == "problem":
        return (_problem_row(turn, side),)
    if side.topic == "change":
        return (_change_row(turn),)
    if side.topic == "photo_spot":
        return (_spot_row(turn.case, side.about[0]),)
    return (_lawn_row(turn),)


def is_frost_over(turn: Turn) -> bool:
    """Whether asking about frost would be silly: well past the day after which it is rare."""
    season = advice.lawn_view(turn.case, turn.known).season
    return turn.today >= season.frost_gate_on + timedelta(days=FROST_ASKED_DAYS)


FROST_ASKED_DAYS = 30


def scratch(turn: Turn, side: SideTalk) -> Case:
    """A throw-away case that holds the side talk's own answers, so that rows apply to it as to any case."""
    case = turn.homeowner.lawn
    if side.topic == "changing" and case is not None:
        return case
    number = case.number if case else 0
    opened_at = case.opened_at if case else turn.now
    kept = tuple(answer for answer in case.answers if answer.question in _LENT) if case else ()
    return Case(number=number, opened_at=opened_at, answers=(*kept, *side.answers))


_LENT = frozenset(
    {"place", "place_which", "spots", "grass", "grass_other", "base_grass", "cultivar", "size"}
)  # case answers a side talk may look at


def open_instance(turn: Turn, side: SideTalk) -> Instance | None:
    """The side talk's next question, or None when it has all it needs."""
    if side.topic == "changing":
        return Instance(BY_ID[side.about[0]], side.about[1])
    case = scratch(turn, side)
    for row in rows_of(turn, side):
        if row.applies(case, "") and answers.find(case, row.id) is None:
            if row.id == "do_size" and _no_size_needed(turn, case):
                continue
            return Instance(row, "")
    return None


def without_last(side: SideTalk) -> SideTalk | None:
    """One step back inside a side talk; None when that leaves it."""
    return replace(side, answers=side.answers[:-1]) if side.answers else None


def _no_size_needed(turn: Turn, case: Case) -> bool:
    """A repair asks for the spot's size only where amounts follow, and it is not that of the whole lawn."""
    chosen = answers.code(case, "do_repair")
    is_known = len(answers.spots(case)) == 1 and answers.area_sqft(case) is not None
    return is_known or chosen not in ("sod", "plugs", "seed") or chosen not in _repair_choices(case)


def _count_row(turn: Turn, side: SideTalk) -> Question:
    """Living plugs; a bare number is of those that were potted, where that was told."""
    task = turn.task(side.about[0])
    spot = task.spot if task and task.spot else answers.spots(turn.case)[0]
    total = plugs_potted(turn.case, spot)
    return _row("do_count", takes_number=True, parse=lambda question, said, context: reading.count_told(said, total))


def _problem_row(turn: Turn, side: SideTalk) -> Question:
    """What can go wrong with such a task. Brown stems show when it is cut, missing green when it is fed or judged."""
    task = turn.task(side.about[0])
    own = _OWN_TROUBLES.get(task.kind if task else "", ())
    return _row("do_problem", *own, "frost_again", "no_means", "other")


_OWN_TROUBLES: Mapping[str, tuple[str, ...]] = {
    TaskKind.CUT: ("brown_stem", "too_wet"),
    TaskKind.LOOK: ("too_wet",),
    TaskKind.POT_START: ("too_wet",),
    TaskKind.FEED_CHECK: ("no_green", "too_wet"),
    TaskKind.WATER: ("too_wet",),
    TaskKind.SPRING_WATER: ("too_wet",),
}


def _change_row(turn: Turn) -> Question:
    listed = answered_instances(turn.case)
    return _row(
        "do_which",
        *reading.listed_codes(len(listed)),
        offers_not_sure=False,
        label=lambda question, code, case: change_label(turn, listed[reading.index_of(code) or 0]),
        parse=lambda question, said, context: _read_which(said, change_options(turn)),
    )


def change_options(turn: Turn) -> understand.Options:
    """The answers that may be changed, by what they are called: "size", "mowing height"."""
    listed = answered_instances(turn.case)
    names = (turn.known.spoken(turn.homeowner.language, f"name-{each.question.id}") for each in listed)
    return list(zip(reading.listed_codes(len(listed)), names, strict=True))


def _read_which(said: str, options: understand.Options) -> AnswerValue | Unclear:
    """An answer to change, by number or name; "no" leaves all as it is."""
    if understand.yes_no(said) is False:
        return Picked(code="none")
    picked = understand.pick_one(said, options)
    return picked if isinstance(picked, Unclear) else Picked(code=picked)


def change_label(turn: Turn, instance: Instance) -> Text:
    """A line of the list behind "change": what was asked and what was answered."""
    answer = answers.find(turn.case, instance.question.id, instance.spot)
    words = _answer_words(instance.question, answer, turn.case) if answer else Verbatim("")
    name = text(f"name-{instance.question.id}")
    if instance.spot:
        name = text("task-at-spot", task=name, spot=Verbatim(instance.spot))
    return text("change-line", name=name, words=words)


def _answer_words(question: Question, answer: Answer, case: Case) -> Value:
    """An answer as its choice reads, where it was one (people type "1"); as they wrote it otherwise."""
    offered = question.choices(case)
    match answer.value:
        case Picked(code=code) if code in offered:
            return question.label(question, code, case)
        case NotSure() | Skipped():
            return text("choice-not_sure" if isinstance(answer.value, NotSure) else "choice-skip")
        case PickedMany(codes=codes) if codes and set(codes) <= set(offered):
            return Several(tuple(question.label(question, code, case) for code in codes))
        case _:
            return Verbatim(answer.words)


def _spot_row(case: Case, photo_id: str) -> Question:
    names = answers.spots(case)
    return _row(
        "do_spot",
        *reading.listed_codes(len(names)),
        label=lambda question, code, _: text("spot-name", name=Verbatim(names[reading.index_of(code) or 0])),
        parse=reading.choice_name(names),
        values=lambda case, now: {"which": in_hand.which_text(case, photo_id, now)},
    )


def _lawn_row(turn: Turn) -> Question:
    lawns = turn.homeowner.lawns

    def label(question: Question, code: str, case: Case) -> Text:
        lawn = lawns[reading.index_of(code) or 0]
        place = answers.place_or_stand_in(lawn)
        values: dict[str, Value] = {"n": Number(lawn.number), "place": Verbatim(place.name or place.state)}
        return text("lawn-line" if place.state else "lawn-line-new", **values)

    codes = reading.listed_codes(len(lawns))
    return _row("do_lawn", *codes, label=label, offers_not_sure=False, parse=reading.choice_number(len(lawns)))


PLUGS_ADVISED = int(POT_PLUGS_ADVISED.value)
