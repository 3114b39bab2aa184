"""The dated care plan of one lawn: what to do, when at the earliest, why, how much, and with which cautions.

A plan is worked out from facts and a day. It never changes by itself as days pass: it is worked out again when
something was learned. Gates come first: no cut before the frost gate, no feeding before warm soil has held, no
verdict before the judging day. Words are not here; reasons are codes.
"""

from __future__ import annotations

from calendar import SATURDAY
from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import StrEnum
from zlib import crc32

from rules.facts import cold as cold_facts
from rules.facts import plan as facts
from rules.facts.cautions import Caution, cautions_for
from rules.facts.mowing import USUAL_NOTCH_IN
from rules.facts.watering import FLORIDA_WINTER_DRY_DAYS, SPRING_BEFORE_IN, WINTER_DRY_DAYS
from rules.feed_bans import FeedBan, banned, first_open_on, last_feeding_on, last_open_on
from rules.feeding import FedLawn, FeedDose, FeedRefusal, Label, Tier, dose
from rules.grasses import GrassCode
from rules.mowing import Cut, CutLadder, cut_ladder, heights
from rules.restraint import Restraint, nitrogen_until_on, restraints
from rules.season import Season
from rules.survival import AliveOdds
from rules.task_kinds import TaskKind
from rules.units import DAYS_PER_WEEK
from rules.watering import water_volume_gal, winter_water


class Band(StrEnum):
    """How a spot probably stands, for choosing what the plan asks of the owner."""

    MOSTLY_FINE = "mostly_fine"
    MIXED = "mixed"
    MOSTLY_LOST = "mostly_lost"


FEED_CHECK_KEY = "feed:check"


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterAmount:
    """Water to give over the whole lawn. [in]; [gal] when the size is known."""

    depth_in: float
    volume_gal: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotFacts:
    """One spot: its name in the owner's words ("" for the whole lawn), its odds, and those of what grows on top.

    `top` None: nothing lives below, the odds are those of the top.
    """

    name: str
    odds: AliveOdds
    top: AliveOdds | None = None

    @property
    def is_hurt(self) -> bool:
        """Whether what grows on top probably suffered, whatever comes back from below."""
        return band_of(self.top or self.odds) is not Band.MOSTLY_FINE


@dataclass(frozen=True, slots=True, kw_only=True)
class LawnFacts:
    """Everything a plan is worked out from."""

    code: GrassCode
    cultivar: str | None
    state: str
    season: Season
    freeze_on: date
    planned_on: date
    spots: tuple[SpotFacts, ...]
    mowing_height_in: float | None
    notch_in: float | None
    area_sqft: float | None
    label: Label | None
    has_disease_signs: bool = False
    has_soil_test_for_p: bool = False
    must_not_lower: bool = False  # brown stem showed at a cut
    frost_again_on: date | None = None  # the owner reported frost after the gate
    pots_from_on: date | None = None  # a look at the runners asked for pot tests from this day
    nitrogen_ban: FeedBan | None = None  # of a local code
    phosphorus_ban: FeedBan | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanTask:
    """One task: a stable key, its kind, the first good day, the last useful day, and what it needs."""

    key: str
    kind: TaskKind
    on: date
    until_on: date
    spot: str = ""
    cut: Cut | None = None
    water: WaterAmount | None = None
    feed: FeedDose | FeedRefusal | None = None
    week: int | None = None  # of a pot reading
    keeps_height: bool = False  # a cut that clears dead blades without lowering the mower
    raise_to_in: float | None = None  # the mower stands too low: set it up to this before the cut
    floor_in: float | None = None  # of a cut whose height is not known: never lower than this
    dry_weeks: int | None = None  # of winter water: after so many weeks without rain
    cautions: tuple[Caution, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CarePlan:
    """A lawn's plan: tasks by date, what not to do until when, the cutting ladder, and the bands it rests on.

    `is_feeding_out`: a local code leaves no day for feeding this season.
    """

    tasks: tuple[PlanTask, ...]
    not_now: tuple[Restraint, ...]
    ladder: CutLadder | None
    bands: tuple[tuple[str, Band], ...]
    is_feeding_out: bool = False


def band_of(odds: AliveOdds) -> Band:
    """The band of one spot from its odds: median alive at or above 0.85 is fine, at or below 0.25 mostly lost."""
    median = odds.quantile_fraction(0.5)
    if median >= cold_facts.MOSTLY_FINE_ALIVE_FRACTION.value:
        return Band.MOSTLY_FINE
    if median <= cold_facts.MOSTLY_LOST_ALIVE_FRACTION.value:
        return Band.MOSTLY_LOST
    return Band.MIXED


def care_plan(lawn: LawnFacts) -> CarePlan:
    """Work out the care plan of one lawn.

    Parameters
    ----------
    lawn : LawnFacts
        Heights and notch in inches, area in square feet, dates local. Unknown parts may be None: the plan then asks
        for the general thing (one notch, the rate per 1,000 sq ft) and leaves the amount open.

    Returns
    -------
    CarePlan
        Tasks in order of their day. Every task with a blade, a bag, a spade or a hose carries its cautions.

    Source
    ------
    rules/facts/plan.py and season.py; each part's own module for cuts, feeding and water.
    """
    bands = tuple((spot.name, band_of(spot.odds)) for spot in lawn.spots)
    ladder = _ladder(lawn)
    tasks = [
        *_photo_tasks(lawn),
        *_look_tasks(lawn),
        *_water_tasks(lawn),
        *_pot_tasks(lawn, bands),
        *_cut_tasks(lawn, ladder),
        *_feed_tasks(lawn, bands),
        *_waiting_tasks(lawn),
    ]
    useful = [task for task in tasks if task.until_on >= lawn.planned_on or task.kind is TaskKind.JUDGE]
    useful.sort(key=lambda task: (task.on, list(TaskKind).index(task.kind)))  # spots stay in their order
    return CarePlan(
        tasks=tuple(useful),
        not_now=_not_now(lawn, tasks),
        ladder=ladder,
        bands=bands,
        is_feeding_out=not any(task.kind is TaskKind.FEED_CHECK for task in tasks),
    )


def _not_now(lawn: LawnFacts, tasks: list[PlanTask]) -> tuple[Restraint, ...]:
    """What to leave alone; nitrogen until the plan's own check, which may be later than the soil allows."""
    checks = [task.on for task in tasks if task.kind is TaskKind.FEED_CHECK]
    return restraints(
        lawn.code,
        frost_gate_on(lawn),
        lawn.season.warm_soil_on,
        lawn.season.judging_on,
        feed_check_on=min(checks, default=None),
        is_feeding_out=not checks,
    )


def spot_key(name: str) -> str:
    """A short key for a spot's name, the same however the spots of the lawn are counted; "0" for the whole lawn."""
    return f"{crc32(name.encode()):08x}" if name else "0"


def saturday_on_or_after(day: date) -> date:
    """The first Saturday on or after a day: care that takes an hour falls on weekends."""
    return day + timedelta(days=(SATURDAY - day.weekday()) % DAYS_PER_WEEK)


def _task(lawn: LawnFacts, key: str, kind: TaskKind, on: date, open_days: float, spot: str = "") -> PlanTask:
    """A task that starts on its day, or today where that has passed, and stays useful for some days after."""
    start = max(on, lawn.planned_on)
    return PlanTask(
        key=key,
        kind=kind,
        on=start,
        until_on=on + timedelta(days=int(open_days)),
        spot=spot,
        cautions=cautions_for(kind.value),
    )


def _photo_tasks(lawn: LawnFacts) -> list[PlanTask]:
    """A picture now, then weekly from shortly before growth can start until the judging day."""
    first = _task(lawn, "photo:first", TaskKind.FIRST_PHOTO, lawn.planned_on, facts.TASK_OPEN_DAYS.value)
    lead = timedelta(days=int(facts.PHOTOS_FROM_BEFORE_WARM_SOIL_DAYS.value))
    step = timedelta(days=int(facts.PHOTO_EVERY_DAYS.value))
    day = saturday_on_or_after(max(lawn.season.warm_soil_on - lead, lawn.planned_on + step))
    weekly: list[PlanTask] = []
    while day < lawn.season.judging_on and len(weekly) < facts.PLAN_PHOTOS_AT_MOST.value:
        weekly.append(_task(lawn, f"photo:{day.isoformat()}", TaskKind.PHOTO, day, step.days - 1))
        day += step
    return [first, *weekly]


def _look_tasks(lawn: LawnFacts) -> list[PlanTask]:
    """A look at the runners once frost had time to show, and again two weeks later where the top is not all fine."""
    first_on = max(lawn.freeze_on + timedelta(days=int(facts.LOOK_AFTER_THAW_DAYS.value)), lawn.planned_on)
    looks = [first_on]
    if any(spot.is_hurt for spot in lawn.spots):
        looks.append(first_on + timedelta(days=int(facts.SECOND_LOOK_AFTER_DAYS.value)))
    return [
        _task(lawn, f"look:{number}", TaskKind.LOOK, day, facts.TASK_OPEN_DAYS.value)
        for number, day in enumerate(looks, start=1)
        if day < lawn.season.judging_on
    ]


def _water_tasks(lawn: LawnFacts) -> list[PlanTask]:
    """Winter water where weeks stay dry, until the soil is warm; then light weekly water until half is green."""
    dry = FLORIDA_WINTER_DRY_DAYS if lawn.state == "FL" else WINTER_DRY_DAYS
    step = timedelta(days=int(dry.value))
    depth_in = winter_water(step.days, 0.0, lawn.state).depth_in
    tasks = []
    day = lawn.planned_on + step
    while day <= lawn.season.warm_soil_on - timedelta(days=int(facts.WINTER_WATER_ENDS_BEFORE_DAYS.value)):
        task = _water_task(lawn, f"water:{day.isoformat()}", TaskKind.WATER, day, depth_in)
        tasks.append(replace(task, dry_weeks=step.days // DAYS_PER_WEEK))
        day += step
    spring_on = max(lawn.season.warm_soil_on, lawn.planned_on)
    if spring_on < lawn.season.judging_on:
        tasks.append(_water_task(lawn, "spring_water", TaskKind.SPRING_WATER, spring_on, SPRING_BEFORE_IN.value))
    return tasks


def _water_task(lawn: LawnFacts, key: str, kind: TaskKind, on: date, depth_in: float) -> PlanTask:
    volume = water_volume_gal(depth_in, lawn.area_sqft) if lawn.area_sqft else None
    task = _task(lawn, key, kind, on, facts.WATER_OPEN_DAYS.value)
    return replace(task, water=WaterAmount(depth_in=depth_in, volume_gal=volume))


def _pot_tasks(lawn: LawnFacts, bands: tuple[tuple[str, Band], ...]) -> list[PlanTask]:
    """The pot test for each spot that is not clearly fine: plugs on a Saturday, read after 2, 3 and 4 weeks."""
    thawed_on = lawn.freeze_on + timedelta(days=int(facts.LOOK_AFTER_THAW_DAYS.value))
    earliest = max(thawed_on, lawn.planned_on, lawn.pots_from_on or lawn.planned_on)
    start_on = saturday_on_or_after(earliest)
    tasks: list[PlanTask] = []
    if start_on >= lawn.season.judging_on:
        return tasks
    for spot, band in bands:
        if band is Band.MOSTLY_FINE:
            continue
        of_spot = f"pot:{spot_key(spot)}"
        tasks.append(_task(lawn, f"{of_spot}:start", TaskKind.POT_START, start_on, facts.TASK_OPEN_DAYS.value, spot))
        for reading in range(int(facts.POT_READS.value)):
            after = int(facts.POT_READ_FIRST_DAYS.value + reading * facts.POT_READ_AGAIN_DAYS.value)
            week = after // DAYS_PER_WEEK
            key = f"{of_spot}:week{week}"
            day = start_on + timedelta(days=after)
            task = _task(lawn, key, TaskKind.POT_READ, day, facts.TASK_OPEN_DAYS.value, spot)
            tasks.append(replace(task, week=week))
    return tasks


def _ladder(lawn: LawnFacts) -> CutLadder | None:
    if lawn.mowing_height_in is None or lawn.must_not_lower:
        return None
    damaged = any(spot.is_hurt for spot in lawn.spots)
    notch = USUAL_NOTCH_IN.value if lawn.notch_in is None else lawn.notch_in
    first_on = saturday_on_or_after(max(frost_gate_on(lawn), lawn.planned_on))
    limits = heights(
        lawn.code,
        lawn.cultivar,
        damaged=damaged,
        notch_in=notch,
        current_in=lawn.mowing_height_in,
        state=lawn.state,
    )
    return cut_ladder(lawn.mowing_height_in, notch, limits, first_on=first_on)


def frost_gate_on(lawn: LawnFacts) -> date:
    """The day from which cutting is safe: the season's gate, or a while after the freeze itself where that came late,
    or after frost the owner reported again.
    """
    last_frost_on = max(lawn.freeze_on, lawn.frost_again_on or lawn.freeze_on)
    return max(lawn.season.frost_gate_on, last_frost_on + timedelta(days=int(facts.AFTER_LATE_FROST_DAYS.value)))


def _cut_tasks(lawn: LawnFacts, ladder: CutLadder | None) -> list[PlanTask]:
    """One task a cut of the ladder. Where nothing is lowered, one cut at the height that is right, to clear dead
    blades: the present one, one set up where it stands too low, at least the floor where nobody knows.
    """
    if ladder is not None and ladder.cuts:
        return [
            replace(_task(lawn, f"cut:{number}", TaskKind.CUT, cut.on, facts.TASK_OPEN_DAYS.value), cut=cut)
            for number, cut in enumerate(ladder.cuts, start=1)
        ]
    day = saturday_on_or_after(max(frost_gate_on(lawn), lawn.planned_on))
    task = _task(lawn, "cut:1", TaskKind.CUT, day, facts.TASK_OPEN_DAYS.value)
    if ladder is None and not lawn.must_not_lower:
        limits = heights(lawn.code, lawn.cultivar, damaged=True, state=lawn.state)
        return [replace(task, floor_in=limits.floor_in)]
    return [replace(task, keeps_height=True, raise_to_in=ladder.raise_to_in if ladder else None)]


def _feed_tasks(lawn: LawnFacts, bands: tuple[tuple[str, Band], ...]) -> list[PlanTask]:
    """One check of the feeding gates, two weeks into warm soil; centipede not before June. Dead ground is not fed.

    Where a local code forbids it then, on the first day after; no check where the season is over by that day.
    """
    day = _fed_from(lawn)
    if all(band is Band.MOSTLY_LOST for _, band in bands):
        day = max(day, lawn.season.judging_on)
    on = _open_day_on(lawn, max(day, lawn.planned_on))
    if on is None:
        return []
    first_on = day if on == max(day, lawn.planned_on) else on
    task = _task(lawn, FEED_CHECK_KEY, TaskKind.FEED_CHECK, first_on, facts.FEED_OPEN_DAYS.value)
    until_on = last_open_on(lawn.nitrogen_ban, on, task.until_on)
    return [replace(task, until_on=until_on, feed=_light_dose(lawn, on))]


def next_feeding_on(lawn: LawnFacts, day: date) -> date | None:
    """The first day from a given one on which feeding comes in question: in warm soil, and no local code forbids it.
    None where that comes too late in the season.
    """
    return _open_day_on(lawn, max(day, _fed_from(lawn)))


def _fed_from(lawn: LawnFacts) -> date:
    return nitrogen_until_on(lawn.code, frost_gate_on(lawn), lawn.season.warm_soil_on)


def _open_day_on(lawn: LawnFacts, day: date) -> date | None:
    return first_open_on(lawn.nitrogen_ban, day, last_feeding_on(lawn.season.first_fall_frost_on))


def _light_dose(lawn: LawnFacts, on: date) -> FeedDose | FeedRefusal | None:
    """What the bag at hand would come to on a day, once every gate is open; None without a bag with nitrogen."""
    if lawn.label is None or lawn.label.n_percent == 0 or lawn.code is GrassCode.CENTIPEDE:
        return None
    fed = FedLawn(
        grass=lawn.code,
        state=lawn.state,
        has_soil_test_for_p=lawn.has_soil_test_for_p,
        is_p_banned=banned(lawn.phosphorus_ban, on),
    )
    return dose(lawn.label, Tier.LIGHT, fed, lawn.area_sqft)


def _waiting_tasks(lawn: LawnFacts) -> list[PlanTask]:
    """A word against judging early, and the judging day of each spot."""
    season = lawn.season
    note_on = season.warm_soil_on + timedelta(days=int(facts.DONT_JUDGE_AFTER_WARM_SOIL_DAYS.value))
    tasks = []
    if note_on > lawn.planned_on:
        tasks.append(_task(lawn, "dont_judge", TaskKind.DONT_JUDGE, note_on, facts.TASK_OPEN_DAYS.value))
    for spot in lawn.spots:
        key = f"judge:{spot_key(spot.name)}"
        tasks.append(_task(lawn, key, TaskKind.JUDGE, season.judging_on, facts.JUDGE_OPEN_DAYS.value, spot.name))
    return tasks
