"""When a question applies: what the answers so far make worth asking, and what they settle."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from bot import talk
from bot.talk import answers
from bot.talk.case import AnswerValue, Case, NotSure, Picked
from rules.facts.cold import NOT_FREEZING_ABOVE_C, SNOW_MATTERS_BELOW_C
from rules.grasses import GrassCode, cultivars_of
from rules.identify import Traits, is_certain, traits_of

OUT_OF_SCOPE = ("cool_season", "not_grass")


BASE_UNDER = ("rye_overseeded", "mixed")  # ask which warm-season grass lies under it


@answers.once_a_case
def grass_code(case: Case) -> str | None:
    """The warm-season grass of the lawn as settled so far: told, told as the base under rye, or found by the key."""
    for question in ("base_grass", "grass_other", "grass"):
        told = answers.code(case, question)
        if told is not None and told.split("/")[0] in set(GrassCode):
            return told.split("/")[0]
    return None


@answers.once_a_case
def out_of_scope(case: Case) -> str | None:
    """The reason this lawn is not ours to compute, if there is one."""
    told = answers.code(case, "grass")
    return told if told in OUT_OF_SCOPE else None


@answers.once_a_case
def is_frost(case: Case) -> bool:
    """Whether the cold could have hurt anything at all: measured frost could, whatever was read beside it."""
    air = answers.air_min(case)
    return answers.measured(case) is not None or air is None or air.mean_c <= NOT_FREEZING_ABOVE_C.value


@answers.once_a_case
def is_ours(case: Case) -> bool:
    """Whether this lawn is one we compute for: a warm-season lawn and a real freeze."""
    return out_of_scope(case) is None and is_frost(case)


def ours(case: Case, spot: str) -> bool:
    return is_ours(case)


def several_places(case: Case, spot: str) -> bool:
    return len(answers.candidates(case)) > 1


def place_unknown(case: Case, spot: str) -> bool:
    answer = answers.find(case, "place")
    return answer is not None and isinstance(answer.value, NotSure)


def was_measured(case: Case, spot: str) -> bool:
    """Measured in time to be told instead of asked."""
    measured = answers.measured(case)
    return measured is not None and not measured.came_late


def is_another_day(case: Case, spot: str) -> bool:
    """The station read no frost on the day the owner named, but on another one."""
    return case.measured is not None and case.measured.is_other


def weather_is_told(case: Case, spot: str) -> bool:
    return was_measured(case, spot) and not is_another_day(case, spot)


def air_is_open(case: Case, spot: str) -> bool:
    """The owner is asked how cold it got where nobody measured it near, or where they say that it was otherwise."""
    return not was_measured(case, spot) or answers.code(case, "weather_fits") in ("colder", "milder")


def days_are_open(case: Case, spot: str) -> bool:
    return not was_measured(case, spot) and _snow_counts(case)


def snow_matters(case: Case, spot: str) -> bool:
    measured = answers.measured(case)
    is_open = measured is None or measured.came_late or measured.may_have_snowed
    return _snow_counts(case) and (is_open or answers.code(case, "weather_fits") == "snowed")


def _snow_counts(case: Case) -> bool:
    air = talk.measuring.air_here_c(case) if was_measured(case, "") else answers.air_min(case)
    return is_frost(case) and (air is None or air.mean_c - 2 * air.sd_dc < SNOW_MATTERS_BELOW_C.value)


def needs_base(case: Case, spot: str) -> bool:
    return answers.code(case, "grass") in BASE_UNDER


def named_other(case: Case, spot: str) -> bool:
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


def needs_key(question: str) -> Callable[[Case, str], bool]:
    """A trait is asked for while the ones before it leave the grass open. So an answer never unasks itself."""

    def needs(case: Case, spot: str) -> bool:
        return _needs_some_key(case) and not is_certain(traits_told(case, question))

    return needs


@answers.once_a_case
def _needs_some_key(case: Case) -> bool:
    """Whether the grass is unknown, and nothing is left to ask that would name it."""
    if not is_ours(case) or not grass_unknown(case):
        return False
    follow_ups = [answers.find(case, "base_grass"), answers.find(case, "grass_other")]
    open_follow_up = needs_base(case, "") or named_other(case, "")
    return not open_follow_up or any(a is not None and answers.is_open_ended(a.value) for a in follow_ups)


def cultivar_helps(case: Case, spot: str) -> bool:
    told = answers.code(case, "grass") or ""
    grass = grass_code(case)
    return ours(case, spot) and "/" not in told and grass is not None and bool(cultivar_choices(case))


_ASKED_CULTIVARS: Mapping[str, tuple[str, ...]] = {
    "st_augustine": ("floratam", "raleigh", "palmetto", "citrablue"),
    "bermuda": ("common_bermuda", "tifway", "tiftuf", "celebration", "tahoma_31"),
    "zoysia": ("meyer", "empire", "zeon", "emerald"),
    "centipede": ("tifblair",),
}


def cultivar_fits(case: Case, value: AnswerValue) -> bool:
    """A named cultivar holds as long as the lawn is of its species."""
    grass = grass_code(case)
    if not isinstance(value, Picked) or grass is None:
        return not isinstance(value, Picked)
    return value.code in {cultivar.code for cultivar in cultivars_of(GrassCode(grass))}


def cultivar_choices(case: Case) -> tuple[str, ...]:
    grass = grass_code(case)
    known = {cultivar.code for cultivar in cultivars_of(GrassCode(grass))} if grass else set()
    return tuple(code for code in _ASKED_CULTIVARS.get(grass or "", ()) if code in known)


def other_spots(case: Case, spot: str) -> bool:
    """Further spots are looked at one by one; the first one's signs were told for the lawn."""
    return ours(case, spot) and spot != "" and spot != answers.spots(case)[0]


def has_height(case: Case, spot: str) -> bool:
    return ours(case, spot) and answers.number(case, "mow_height") is not None


def may_be_fed(case: Case, spot: str) -> bool:
    """Centipede gets no spring feeding, so its owner is not asked what is in the shed."""
    return ours(case, spot) and grass_code(case) not in (None, GrassCode.CENTIPEDE.value)


def slow_share_open(case: Case, spot: str) -> bool:
    bag = answers.bag(case)
    is_open = bag is not None and bag.slow_n_percent is None and bag.n_percent > 0
    return may_be_fed(case, spot) and is_open


def place_is_settled(case: Case, spot: str) -> bool:
    return ours(case, spot) and answers.settled_place(case) is not None


def zone_is_open(case: Case, spot: str) -> bool:
    if not ours(case, spot):
        return False
    return answers.code(case, "time_ok") == "no" or answers.settled_place(case) is None
