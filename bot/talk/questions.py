"""The table of questions: what is asked, of whom, in which order, and what answers mean.

The next question is the first row that applies and has no answer; nothing else decides the order. A row has an id;
the catalogue holds its words under `ask-<id>` (the question), `help-<id>` (one helpful re-ask), `why-<id>` (why we
ask) and `<id>-<code>` for each choice, with what people type for it. Every row takes "not sure", "back" and plain
typing.

Stage FIRST leads to the first useful answer and never takes more than eight questions. DETAILS makes the plan fit:
amounts are asked for here, when they are first needed. AGREE ends in a confirmed plan.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta

from bot.talk import answers, reading, understand
from bot.talk.applies import (
    air_is_open,
    cultivar_choices,
    cultivar_fits,
    cultivar_helps,
    days_are_open,
    grass_code,
    has_height,
    is_another_day,
    is_frost,
    may_be_fed,
    named_other,
    needs_base,
    needs_key,
    other_spots,
    ours,
    place_is_settled,
    place_unknown,
    several_places,
    slow_share_open,
    snow_matters,
    weather_is_told,
    zone_is_open,
)
from bot.talk.case import (
    AnswerValue,
    Case,
    DayTold,
    NamesTold,
    NotSure,
    Picked,
    Place,
    PlacesTold,
    TemperatureTold,
)
from bot.talk.messages import ClockTime, Text, Verbatim, text
from bot.talk.question import (
    Context,
    Question,
    Stage,
    choice_or,
    fixed,
    numbers,
    parse_choice,
    parse_several,
    yes_no,
)
from bot.talk.understand import Unclear
from bot.talk.weather_answers import measured_values, read_air, read_fits
from rules.facts.areas import PACE_FT
from rules.facts.evidence import SIGNS
from rules.grasses import cultivar
from rules.identify import BladeTip, BladeWidth, Feel, Runners
from rules.units import f_to_c

FIRST_ANSWER_WITHIN = 8  # questions before the first useful answer
COMMON_GRASSES = ("st_augustine", "bermuda", "zoysia", "centipede")
OTHER_GRASSES = ("bahia", "buffalo", "seashore_paspalum", "carpetgrass")


def _read_place(question: Question, said: str, context: Context) -> AnswerValue | Unclear:
    found = context.known.find_places(said) or _state_alone(said, context)
    return PlacesTold(candidates=found[:6]) if found else Unclear("no_name")


def _state_alone(said: str, context: Context) -> tuple[Place, ...]:
    """A state where a town was asked for: rough, but an answer. "ok", "hi" and "in" are words first."""
    word = said.strip()
    if understand.pleasantry(word) is not None or (len(word) <= _STATE_CODE_LENGTH and not word[:1].isupper()):
        return ()
    state = context.known.find_state(word)
    return (state,) if state else ()


_STATE_CODE_LENGTH = 2


def _read_state(question: Question, said: str, context: Context) -> AnswerValue | Unclear:
    state = context.known.find_state(said)
    return PlacesTold(candidates=(state,)) if state else _read_place(question, said, context)


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
    if heard.unclear is not None:
        return heard.unclear
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
    return _with_the_rest(understand.names(said), context) if isinstance(picked, Unclear) else picked


def _with_the_rest(named: NamesTold | Unclear, context: Context) -> NamesTold | Unclear:
    """One part that differs leaves the rest of the lawn, which is judged too."""
    if isinstance(named, Unclear) or len(named.names) > 1:
        return named
    return NamesTold(names=(context.known.spoken(context.language, "spot-rest")[0], *named.names))


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
_SNOW_IN: Mapping[str, float] = {"none": 0.0, "dusting": 0.25, "some": 2.0, "deep": 5.0}
_NOTCH_IN: Mapping[str, float] = {"quarter": 0.25, "half": 0.5, "three_quarters": 0.75, "one": 1.0}


def _coldest(code: str, context: Context) -> AnswerValue:
    days, give_or_take = _COLDEST_DAYS_AGO[code]
    return DayTold(on=context.today - timedelta(days=days), give_or_take_days=give_or_take)


def _air(code: str, context: Context) -> AnswerValue:
    middle_f, sd_df = _AIR_MIN[code]
    return TemperatureTold(mean_c=f_to_c(middle_f), sd_dc=sd_df / 1.8)


def _spots_value(code: str, context: Context) -> AnswerValue:
    """The offered ways to part a lawn, named in the owner's language."""
    parts = {"alike": (), "front_back": ("front", "back"), "north_side": ("open", "north")}[code]
    names = tuple(context.known.spoken(context.language, f"spot-{part}")[0] for part in parts)
    return NamesTold(names=names or ("",))


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
        applies=several_places,
        choices=lambda case: reading.listed_codes(len(answers.candidates(case))),
        label=_which_labels,
    ),
    Question(id="state", stage=Stage.FIRST, parse=_read_state, applies=place_unknown),
    Question(
        id="coldest_on",
        stage=Stage.FIRST,
        parse=choice_or(lambda said, context: understand.freeze_day(said, context.today)),
        choices=fixed(*_COLDEST_DAYS_AGO),
        value=_coldest,
    ),
    Question(
        id="weather_other",
        stage=Stage.FIRST,
        parse=yes_no,
        applies=is_another_day,
        choices=fixed("yes", "no"),
        values=lambda case, local_now: measured_values(case),
    ),
    Question(
        id="weather_fits",
        stage=Stage.FIRST,
        parse=read_fits,
        applies=weather_is_told,
        choices=fixed("fits", "colder", "milder", "snowed"),
        values=lambda case, local_now: measured_values(case),
    ),
    Question(
        id="air_min",
        takes_number=True,
        stage=Stage.FIRST,
        parse=read_air,
        applies=air_is_open,
        choices=fixed(*_AIR_MIN),
        value=_air,
    ),
    Question(
        id="days_cold",
        takes_number=True,
        stage=Stage.FIRST,
        parse=choice_or(lambda said, context: understand.days_count(said)),
        applies=days_are_open,
        choices=fixed(*_DAYS_COLD),
        value=numbers(_DAYS_COLD),
    ),
    Question(
        id="snow",
        takes_number=True,
        stage=Stage.FIRST,
        parse=choice_or(lambda said, context: reading.snow_depth(said, context.metric)),
        applies=snow_matters,
        choices=fixed(*_SNOW_IN),
        value=numbers(_SNOW_IN),
    ),
    Question(
        id="grass",
        stage=Stage.FIRST,
        parse=_read_grass,
        applies=lambda case, spot: is_frost(case),
        choices=fixed(*COMMON_GRASSES, "another"),
    ),
    Question(
        id="grass_other",
        stage=Stage.FIRST,
        parse=_read_grass,
        applies=named_other,
        choices=fixed(*OTHER_GRASSES),
    ),
    Question(
        id="base_grass",
        stage=Stage.FIRST,
        parse=_read_grass,
        applies=needs_base,
        choices=fixed(*COMMON_GRASSES),
    ),
    Question(
        id="key_runners",
        stage=Stage.FIRST,
        parse=parse_choice,
        applies=needs_key("key_runners"),
        choices=fixed(*Runners),
        picture="runners",
    ),
    Question(
        id="key_width",
        stage=Stage.FIRST,
        parse=parse_choice,
        applies=needs_key("key_width"),
        choices=fixed(*BladeWidth),
        picture="blade_width",
    ),
    Question(
        id="see",
        stage=Stage.FIRST,
        parse=parse_several,
        applies=ours,
        choices=lambda case: tuple(SIGNS),
        several=True,
    ),
    Question(
        id="key_tip",
        stage=Stage.DETAILS,
        parse=parse_choice,
        applies=needs_key("key_tip"),
        choices=fixed(*BladeTip),
        picture="blade_tip",
    ),
    Question(
        id="key_feel",
        stage=Stage.DETAILS,
        parse=parse_choice,
        applies=needs_key("key_feel"),
        choices=fixed(*Feel),
    ),
    Question(
        id="cultivar",
        stage=Stage.DETAILS,
        parse=_read_cultivar,
        applies=cultivar_helps,
        holds=cultivar_fits,
        choices=cultivar_choices,
        label=_cultivar_label,
        values=lambda case, local_now: {"grass": text(f"grass-name-{grass_code(case)}")},
        may_skip=True,
    ),
    Question(
        id="spots",
        stage=Stage.DETAILS,
        parse=_read_spots,
        applies=ours,
        choices=fixed("alike", "front_back", "north_side"),
        value=_spots_value,
    ),
    Question(
        id="site",
        stage=Stage.DETAILS,
        parse=parse_several,
        applies=ours,
        choices=fixed("north_shade", "slope_north", "windy", "low_wet", "new_turf", "none"),
        several=True,
        per_spot=True,
    ),
    Question(
        id="see_spot",
        stage=Stage.DETAILS,
        parse=parse_several,
        applies=other_spots,
        choices=lambda case: tuple(SIGNS),
        several=True,
        per_spot=True,
    ),
    Question(
        id="mow_height",
        takes_number=True,
        stage=Stage.DETAILS,
        parse=lambda question, said, context: understand.inches_height(said, context.metric),
        applies=ours,
    ),
    Question(
        id="notch",
        takes_number=True,
        stage=Stage.DETAILS,
        parse=choice_or(lambda said, context: understand.notch_step(said, context.metric)),
        applies=has_height,
        choices=fixed(*_NOTCH_IN),
        value=numbers(_NOTCH_IN),
        picture="notch",
    ),
    Question(
        id="size",
        takes_number=True,
        stage=Stage.DETAILS,
        parse=lambda question, said, context: understand.area(said, context.metric, pace_ft=PACE_FT.value),
        applies=ours,
        may_skip=True,
    ),
    Question(
        id="bag",
        stage=Stage.DETAILS,
        parse=lambda question, said, context: reading.label_of_bag(said),
        applies=may_be_fed,
        may_skip=True,
        picture="bag",
    ),
    Question(
        id="bag_slow",
        takes_number=True,
        stage=Stage.DETAILS,
        parse=choice_or(lambda said, context: reading.slow_part(said, answers.bag(context.case))),
        applies=slow_share_open,
        choices=fixed("none", "half"),
        value=lambda code, context: reading.slow_choice(code, answers.bag(context.case)),
        may_skip=True,
    ),
    Question(
        id="time_ok",
        stage=Stage.AGREE,
        parse=yes_no,
        applies=place_is_settled,
        choices=fixed("yes", "no"),
        values=lambda case, local_now: {"time": ClockTime(local_now), "place": place_text(case)},
    ),
    Question(
        id="zone",
        stage=Stage.AGREE,
        parse=parse_choice,
        applies=zone_is_open,
        choices=fixed(*ZONES),
        value=_zone_value,
    ),
    Question(
        id="keep_track",
        stage=Stage.AGREE,
        parse=yes_no,
        applies=ours,
        choices=fixed("yes", "no"),
    ),
)

BY_ID: Mapping[str, Question] = {question.id: question for question in QUESTIONS}
