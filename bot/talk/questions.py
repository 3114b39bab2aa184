"""The table of questions: what is asked, of whom, in which order, and what answers mean.

The next question is the first row that applies and has no answer; nothing else decides the order. A row has an id;
the catalogue holds its words under `ask-<id>` (the question), `help-<id>` (one helpful re-ask), `why-<id>` (why we
ask) and `<id>-<code>` for each choice, with what people type for it. Every row takes "not sure", "back" and plain
typing.

Stage FIRST leads to the first useful answer and never takes more than eight questions. DETAILS makes the plan fit:
amounts are asked for here, when they are first needed. AGREE ends in a confirmed plan.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum

from bot.talk import answers, reading, understand
from bot.talk.case import (
    AnswerValue,
    Case,
    DayTold,
    NamesTold,
    NotSure,
    NumberTold,
    Picked,
    PickedMany,
    PlacesTold,
    Skipped,
    TemperatureTold,
)
from bot.talk.known import Known
from bot.talk.messages import ClockTime, Text, Value, Verbatim, text
from bot.talk.understand import Unclear
from rules.evidence import sign_codes
from rules.facts.areas import PACE_FT
from rules.grasses import GrassCode, cultivar, cultivars_of
from rules.identify import BladeTip, BladeWidth, Feel, Runners, Traits, is_certain, traits_of
from rules.units import f_to_c

FIRST_ANSWER_WITHIN = 8  # questions before the first useful answer
SNOW_MATTERS_BELOW_C = f_to_c(26)  # warmer freezes hurt no crowns, with or without snow
COMMON_GRASSES = ("st_augustine", "bermuda", "zoysia", "centipede")
OTHER_GRASSES = ("bahia", "buffalo", "seashore_paspalum", "carpetgrass")
OUT_OF_SCOPE = ("cool_season", "not_grass")
BASE_UNDER = ("rye_overseeded", "mixed")  # ask which warm-season grass lies under it


class Stage(StrEnum):
    """When a question is asked."""

    FIRST = "first"
    DETAILS = "details"
    AGREE = "agree"


@dataclass(frozen=True, slots=True, kw_only=True)
class Context:
    """What a parser may look at besides the words."""

    today: date
    metric: bool
    language: str
    case: Case
    spot: str
    known: Known


Parse = Callable[["Question", str, Context], "AnswerValue | Unclear"]
ChoiceValue = Callable[[str, Context], AnswerValue]


def _picked(code: str, context: Context) -> AnswerValue:
    return Picked(code=code)


def _always(case: Case, spot: str) -> bool:
    return True


def _plain_label(question: Question, code: str, case: Case) -> Text:
    return text(f"{question.id}-{code}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One row of the table. `parse` reads typed words; `value` is what a pressed choice means."""

    id: str
    stage: Stage
    parse: Parse
    applies: Callable[[Case, str], bool] = _always
    choices: Callable[[Case], tuple[str, ...]] = lambda case: ()
    label: Callable[[Question, str, Case], Text] = _plain_label
    value: ChoiceValue = _picked
    several: bool = False
    takes_number: bool = False  # a typed number is the answer itself, not the number of a choice
    per_spot: bool = False
    may_skip: bool = False
    offers_not_sure: bool = True
    picture: str | None = None
    values: Callable[[Case, datetime], Mapping[str, Value]] | None = None  # what its wording names (a time, a place)


@dataclass(frozen=True, slots=True)
class Instance:
    """One question for one spot ("" when it is about the whole lawn)."""

    question: Question
    spot: str = ""


# --- reading typed words -------------------------------------------------------------------------------------------


def spoken_choices(question: Question, context: Context) -> list[tuple[str, tuple[str, ...]]]:
    """The choices of a question with the words people type for them: the catalogue's, or the names they show."""
    spoken = []
    for code in question.choices(context.case):
        label = question.label(question, code, context.case)
        named = tuple(value.text for value in label.values.values() if isinstance(value, Verbatim))
        spoken.append((code, named or context.known.spoken(context.language, label.key)))
    return spoken


NOT_SURE = "not_sure"
SKIP = "skip"
OPEN_ENDED: Mapping[str, AnswerValue] = {NOT_SURE: NotSure(), SKIP: Skipped()}


def offered_ends(question: Question) -> tuple[str, ...]:
    """The ways out that stand behind a question's own choices, in order: "not sure", then "skip" where it may be."""
    return (*((NOT_SURE,) if question.offers_not_sure else ()), *((SKIP,) if question.may_skip else ()))


def typed_code(question: Question, said: str, context: Context) -> str | Unclear:
    """The code of a typed choice, counting "not sure" and "skip" as the last lines, as people see them numbered."""
    ends = [(code, context.known.spoken(context.language, f"choice-{code}")) for code in offered_ends(question)]
    return understand.pick_one(said, [*spoken_choices(question, context), *ends])


def parse_choice(question: Question, said: str, context: Context) -> AnswerValue | Unclear:
    """A typed choice: its number, its words, or nearly its words."""
    code = typed_code(question, said, context)
    if isinstance(code, Unclear):
        return code
    return OPEN_ENDED.get(code) or question.value(code, context)


def parse_several(question: Question, said: str, context: Context) -> AnswerValue | Unclear:
    """Typed choices where any number may be picked."""
    options = spoken_choices(question, context)
    ends = [(code, context.known.spoken(context.language, f"choice-{code}")) for code in offered_ends(question)]
    picked = understand.picks(said, [*options, *ends])
    if isinstance(picked, Unclear):
        return picked
    end = next((OPEN_ENDED[code] for code in picked if code in OPEN_ENDED), None)
    own = tuple(code for code in picked if code not in OPEN_ENDED)
    return end if end is not None and not own else PickedMany(codes=own)


_NO_VALUE_AT_ALL = frozenset({"no_number", "not_a_date", "empty", "which"})  # then the words may be a choice


def choice_or(read: Callable[[str, Context], AnswerValue | Unclear]) -> Parse:
    """Read a value; where there is none, see whether one of the choices was typed.

    A bare number is the number of a choice, unless the question takes numbers.
    """

    def parse(question: Question, said: str, context: Context) -> AnswerValue | Unclear:
        if not question.takes_number and understand.plain(said).isdigit():
            return parse_choice(question, said, context)
        value = read(said, context)
        if not isinstance(value, Unclear) or value.reason not in _NO_VALUE_AT_ALL:
            return value
        picked = parse_choice(question, said, context)
        return value if isinstance(picked, Unclear) else picked

    return parse


def _yes_no(question: Question, said: str, context: Context) -> AnswerValue | Unclear:
    answer = understand.yes_no(said)
    if answer is not None:
        return Picked(code="yes" if answer else "no")
    return parse_choice(question, said, context)


def _read_place(question: Question, said: str, context: Context) -> AnswerValue | Unclear:
    found = context.known.find_places(said)
    return PlacesTold(candidates=found[:6]) if found else Unclear("no_name")


def _read_which_place(question: Question, said: str, context: Context) -> AnswerValue | Unclear:
    places = answers.candidates(context.case)
    codes = reading.listed_codes(len(places))
    options = [(c, (f"{p.name}, {p.county}, {p.state}", p.county, p.state)) for c, p in zip(codes, places, strict=True)]
    picked = understand.pick_one(said, options)
    if not isinstance(picked, Unclear):
        return Picked(code=picked)
    return parse_choice(question, said, context)


def _read_grass(question: Question, said: str, context: Context) -> AnswerValue | Unclear:
    heard = understand.grass(said)
    if heard.grass is not None:
        return Picked(code=f"{heard.grass}/{heard.cultivar}" if heard.cultivar else heard.grass)
    if heard.out_of_scope is not None:
        return Picked(code=heard.out_of_scope)
    return parse_choice(question, said, context)


def _read_cultivar(question: Question, said: str, context: Context) -> AnswerValue | Unclear:
    heard = understand.grass(said)
    wanted = grass_code(context.case)
    if heard.cultivar is not None and (heard.grass is None or heard.grass == wanted):
        return Picked(code=heard.cultivar)
    if understand.yes_no(said) is False:
        return NotSure()
    return parse_choice(question, said, context)


def _read_spots(question: Question, said: str, context: Context) -> AnswerValue | Unclear:
    if understand.yes_no(said) is False:
        return question.value("alike", context)
    picked = parse_choice(question, said, context)
    return understand.names(said) if isinstance(picked, Unclear) else picked


# --- what pressed choices mean -------------------------------------------------------------------------------------

_COLDEST_DAYS_AGO: Mapping[str, tuple[int, int]] = {
    "last_night": (0, 0),
    "few_days": (3, 2),
    "two_weeks": (14, 4),
    "month": (30, 8),
}
_AIR_MIN: Mapping[str, tuple[float, float]] = {  # code -> (middle degF, spread as sd in degF)
    "upper_20s": (27.5, 1.5),
    "low_20s": (22.5, 1.7),
    "teens": (16.0, 2.5),
    "single": (6.0, 3.0),
    "below_zero": (-5.0, 4.0),
}
_DAYS_COLD: Mapping[str, float] = {"one": 1, "few": 2.5, "week": 6, "more": 12}
_SNOW_IN: Mapping[str, float] = {"none": 0.0, "dusting": 0.5, "some": 2.0, "deep": 5.0}
_NOTCH_IN: Mapping[str, float] = {"quarter": 0.25, "half": 0.5, "three_quarters": 0.75, "one": 1.0}


def _coldest(code: str, context: Context) -> AnswerValue:
    days, give_or_take = _COLDEST_DAYS_AGO[code]
    return DayTold(on=context.today - timedelta(days=days), give_or_take_days=give_or_take)


def _air(code: str, context: Context) -> AnswerValue:
    middle_f, sd_df = _AIR_MIN[code]
    return TemperatureTold(mean_c=f_to_c(middle_f), sd_dc=sd_df / 1.8)


def _numbers(table: Mapping[str, float]) -> ChoiceValue:
    return lambda code, context: NumberTold(value=table[code])


def _spots_value(code: str, context: Context) -> AnswerValue:
    """The offered ways to part a lawn, named in the owner's language."""
    parts = {"alike": (), "front_back": ("front", "back"), "north_side": ("open", "north")}[code]
    names = tuple(context.known.spoken(context.language, f"spot-{part}")[0] for part in parts)
    return NamesTold(names=names or ("",))


# --- when a question applies ----------------------------------------------------------------------------------------


def grass_code(case: Case) -> str | None:
    """The warm-season grass of the lawn as settled so far: told, told as the base under rye, or found by the key."""
    for question in ("base_grass", "grass_other", "grass"):
        told = answers.code(case, question)
        if told is not None and told.split("/")[0] in set(GrassCode):
            return told.split("/")[0]
    return None


def out_of_scope(case: Case) -> str | None:
    """The reason this lawn is not ours to compute, if there is one."""
    told = answers.code(case, "grass")
    return told if told in OUT_OF_SCOPE else None


def is_frost(case: Case) -> bool:
    """Whether the told cold could have hurt anything at all."""
    air = answers.air_min(case)
    return air is None or air.mean_c <= NOT_FREEZING_ABOVE_C


NOT_FREEZING_ABOVE_C = 1.0


def _ours(case: Case, spot: str) -> bool:
    return out_of_scope(case) is None and is_frost(case)


def _several_places(case: Case, spot: str) -> bool:
    return len(answers.candidates(case)) > 1


def _place_unknown(case: Case, spot: str) -> bool:
    answer = answers.find(case, "place")
    return answer is not None and isinstance(answer.value, NotSure)


def _snow_matters(case: Case, spot: str) -> bool:
    air = answers.air_min(case)
    return is_frost(case) and (air is None or air.mean_c - 2 * air.sd_dc < SNOW_MATTERS_BELOW_C)


def _days_matter(case: Case, spot: str) -> bool:
    return _snow_matters(case, spot)


def _needs_base(case: Case, spot: str) -> bool:
    return answers.code(case, "grass") in BASE_UNDER


def _named_other(case: Case, spot: str) -> bool:
    return answers.code(case, "grass") == "another"


def grass_unknown(case: Case) -> bool:
    """Whether the owner was asked for the grass and did not know."""
    asked = answers.find(case, "grass")
    return asked is not None and grass_code(case) is None and out_of_scope(case) is None


_KEY_TRAITS = {"key_runners": "runners", "key_width": "blade_width", "key_tip": "blade_tip", "key_feel": "feel"}


def traits_told(case: Case, before: str | None = None) -> Traits:
    """What the owner saw of the grass, as the identification key takes it; only what was asked before a question."""
    told: dict[str, str | None] = {}
    for question, trait in _KEY_TRAITS.items():
        if question == before:
            break
        told[trait] = answers.code(case, question)
    return traits_of(told)


def _needs_key(question: str) -> Callable[[Case, str], bool]:
    """A trait is asked for while the ones before it leave the grass open. So an answer never unasks itself."""

    def needs(case: Case, spot: str) -> bool:
        if not _ours(case, spot) or not grass_unknown(case) or is_certain(traits_told(case, question)):
            return False
        follow_ups = [answers.find(case, "base_grass"), answers.find(case, "grass_other")]
        open_follow_up = _needs_base(case, spot) or _named_other(case, spot)
        return not open_follow_up or any(a is not None and answers.is_open_ended(a.value) for a in follow_ups)

    return needs


def _cultivar_helps(case: Case, spot: str) -> bool:
    told = answers.code(case, "grass") or ""
    grass = grass_code(case)
    return _ours(case, spot) and "/" not in told and grass is not None and bool(_cultivar_choices(case))


_ASKED_CULTIVARS: Mapping[str, tuple[str, ...]] = {
    "st_augustine": ("floratam", "raleigh", "palmetto", "citrablue"),
    "bermuda": ("common_bermuda", "tifway", "tiftuf", "celebration", "tahoma_31"),
    "zoysia": ("meyer", "empire", "zeon", "emerald"),
    "centipede": ("tifblair",),
}


def _cultivar_choices(case: Case) -> tuple[str, ...]:
    grass = grass_code(case)
    known = {cultivar.code for cultivar in cultivars_of(GrassCode(grass))} if grass else set()
    return tuple(code for code in _ASKED_CULTIVARS.get(grass or "", ()) if code in known)


def _site_spots(case: Case, spot: str) -> bool:
    return _ours(case, spot)


def _other_spots(case: Case, spot: str) -> bool:
    """Further spots are looked at one by one; the first one's signs were told for the lawn."""
    return _ours(case, spot) and spot != "" and spot != answers.spots(case)[0]


def _has_height(case: Case, spot: str) -> bool:
    return _ours(case, spot) and answers.number(case, "mow_height") is not None


def _may_be_fed(case: Case, spot: str) -> bool:
    """Centipede gets no spring feeding, so its owner is not asked what is in the shed."""
    return _ours(case, spot) and grass_code(case) not in (None, GrassCode.CENTIPEDE.value)


def _slow_share_open(case: Case, spot: str) -> bool:
    bag = answers.bag(case)
    return _may_be_fed(case, spot) and bag is not None and bag.slow_n_percent is None and bag.n_percent > 0


def _place_is_settled(case: Case, spot: str) -> bool:
    return _ours(case, spot) and answers.settled_place(case) is not None


def _zone_is_open(case: Case, spot: str) -> bool:
    if not _ours(case, spot):
        return False
    return answers.code(case, "time_ok") == "no" or answers.settled_place(case) is None


def place_text(case: Case) -> Text:
    """The settled place as told back: county and state, or the state alone."""
    place = answers.place_or_stand_in(case)
    key = "place-county" if place.county else "place-state"
    return text(key, name=Verbatim(place.name), county=Verbatim(place.county), state=Verbatim(place.state))


def _cultivar_label(question: Question, code: str, case: Case) -> Text:
    return text("spot-name", name=Verbatim(cultivar(code).name))


def _which_labels(question: Question, code: str, case: Case) -> Text:
    place = answers.candidates(case)[reading.index_of(code) or 0]
    return text(
        "place-which-one", name=Verbatim(place.name), county=Verbatim(place.county), state=Verbatim(place.state)
    )


def _fixed(*codes: str) -> Callable[[Case], tuple[str, ...]]:
    return lambda case: codes


ZONES = ("america_new_york", "america_chicago", "america_denver", "america_phoenix", "america_los_angeles")
_ZONE_NAMES = {
    "america_new_york": "America/New_York",
    "america_chicago": "America/Chicago",
    "america_denver": "America/Denver",
    "america_phoenix": "America/Phoenix",
    "america_los_angeles": "America/Los_Angeles",
}


def _zone_value(code: str, context: Context) -> AnswerValue:
    return Picked(code=_ZONE_NAMES[code])


# --- the table -----------------------------------------------------------------------------------------------------

QUESTIONS: tuple[Question, ...] = (
    Question(id="place", stage=Stage.FIRST, parse=_read_place),
    Question(
        id="place_which",
        stage=Stage.FIRST,
        parse=_read_which_place,
        applies=_several_places,
        choices=lambda case: reading.listed_codes(len(answers.candidates(case))),
        label=_which_labels,
    ),
    Question(id="state", stage=Stage.FIRST, parse=_read_place, applies=_place_unknown),
    Question(
        id="coldest_on",
        stage=Stage.FIRST,
        parse=choice_or(lambda said, context: understand.day(said, context.today)),
        choices=_fixed(*_COLDEST_DAYS_AGO),
        value=_coldest,
    ),
    Question(
        id="air_min",
        takes_number=True,
        stage=Stage.FIRST,
        parse=choice_or(lambda said, context: understand.temperature(said, context.metric)),
        choices=_fixed(*_AIR_MIN),
        value=_air,
    ),
    Question(
        id="days_cold",
        takes_number=True,
        stage=Stage.FIRST,
        parse=choice_or(lambda said, context: understand.days_count(said)),
        applies=_days_matter,
        choices=_fixed(*_DAYS_COLD),
        value=_numbers(_DAYS_COLD),
    ),
    Question(
        id="snow",
        takes_number=True,
        stage=Stage.FIRST,
        parse=choice_or(lambda said, context: reading.snow_depth(said, context.metric)),
        applies=_snow_matters,
        choices=_fixed(*_SNOW_IN),
        value=_numbers(_SNOW_IN),
    ),
    Question(
        id="grass",
        stage=Stage.FIRST,
        parse=_read_grass,
        applies=lambda case, spot: is_frost(case),
        choices=_fixed(*COMMON_GRASSES, "another"),
    ),
    Question(
        id="grass_other",
        stage=Stage.FIRST,
        parse=_read_grass,
        applies=_named_other,
        choices=_fixed(*OTHER_GRASSES),
    ),
    Question(
        id="base_grass",
        stage=Stage.FIRST,
        parse=_read_grass,
        applies=_needs_base,
        choices=_fixed(*COMMON_GRASSES),
    ),
    Question(
        id="key_runners",
        stage=Stage.FIRST,
        parse=parse_choice,
        applies=_needs_key("key_runners"),
        choices=_fixed(*Runners),
        picture="runners",
    ),
    Question(
        id="key_width",
        stage=Stage.FIRST,
        parse=parse_choice,
        applies=_needs_key("key_width"),
        choices=_fixed(*BladeWidth),
        picture="blade_width",
    ),
    Question(
        id="see",
        stage=Stage.FIRST,
        parse=parse_several,
        applies=_ours,
        choices=lambda case: sign_codes(),
        several=True,
    ),
    Question(
        id="key_tip",
        stage=Stage.DETAILS,
        parse=parse_choice,
        applies=_needs_key("key_tip"),
        choices=_fixed(*BladeTip),
        picture="blade_tip",
    ),
    Question(
        id="key_feel",
        stage=Stage.DETAILS,
        parse=parse_choice,
        applies=_needs_key("key_feel"),
        choices=_fixed(*Feel),
    ),
    Question(
        id="cultivar",
        stage=Stage.DETAILS,
        parse=_read_cultivar,
        applies=_cultivar_helps,
        choices=_cultivar_choices,
        label=_cultivar_label,
        values=lambda case, local_now: {"grass": text(f"grass-name-{grass_code(case)}")},
        may_skip=True,
    ),
    Question(
        id="spots",
        stage=Stage.DETAILS,
        parse=_read_spots,
        applies=_ours,
        choices=_fixed("alike", "front_back", "north_side"),
        value=_spots_value,
    ),
    Question(
        id="site",
        stage=Stage.DETAILS,
        parse=parse_several,
        applies=_site_spots,
        choices=_fixed("north_shade", "slope_north", "windy", "low_wet", "new_turf", "none"),
        several=True,
        per_spot=True,
    ),
    Question(
        id="see_spot",
        stage=Stage.DETAILS,
        parse=parse_several,
        applies=_other_spots,
        choices=lambda case: sign_codes(),
        several=True,
        per_spot=True,
    ),
    Question(
        id="mow_height",
        takes_number=True,
        stage=Stage.DETAILS,
        parse=lambda question, said, context: understand.inches_height(said, context.metric),
        applies=_ours,
    ),
    Question(
        id="notch",
        takes_number=True,
        stage=Stage.DETAILS,
        parse=choice_or(lambda said, context: understand.notch_step(said, context.metric)),
        applies=_has_height,
        choices=_fixed(*_NOTCH_IN),
        value=_numbers(_NOTCH_IN),
        picture="notch",
    ),
    Question(
        id="size",
        takes_number=True,
        stage=Stage.DETAILS,
        parse=lambda question, said, context: understand.area(said, context.metric, pace_ft=PACE_FT.value),
        applies=_ours,
        may_skip=True,
    ),
    Question(
        id="bag",
        stage=Stage.DETAILS,
        parse=lambda question, said, context: understand.label(said),
        applies=_may_be_fed,
        may_skip=True,
        picture="bag",
    ),
    Question(
        id="bag_slow",
        takes_number=True,
        stage=Stage.DETAILS,
        parse=choice_or(lambda said, context: reading.slow_part(said, answers.bag(context.case))),
        applies=_slow_share_open,
        choices=_fixed("none", "half"),
        value=lambda code, context: reading.slow_choice(code, answers.bag(context.case)),
        may_skip=True,
    ),
    Question(
        id="time_ok",
        stage=Stage.AGREE,
        parse=_yes_no,
        applies=_place_is_settled,
        choices=_fixed("yes", "no"),
        values=lambda case, local_now: {"time": ClockTime(local_now), "place": place_text(case)},
    ),
    Question(
        id="zone",
        stage=Stage.AGREE,
        parse=parse_choice,
        applies=_zone_is_open,
        choices=_fixed(*ZONES),
        value=_zone_value,
    ),
    Question(
        id="keep_track",
        stage=Stage.AGREE,
        parse=_yes_no,
        applies=_ours,
        choices=_fixed("yes", "no"),
    ),
)

BY_ID: Mapping[str, Question] = {question.id: question for question in QUESTIONS}
