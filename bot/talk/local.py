"""What holds where a lawn lies: local codes, dates, the freeze as seen there, whom to ask. And how it is told.

1. A local code always wins, and that is said with it. Nothing here says that it may be passed over.
2. A ban closes feeding for its time; one that can no longer be read closes it altogether.
3. What is said of a freeze is of one freeze: it stands in only for lawns that were hit by that one.
4. When water may be given is told beside our amounts. It changes none of them.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from bot.talk import answers
from bot.talk.case import Case
from bot.talk.known import FreezeReport, Known, LocalDate, LocalRules, WateringRule
from bot.talk.messages import ClockTime, Day, DayOfYear, Several, Text, Value, Verbatim, text
from rules.facts.cold import FREEZE_MISDATED_DAYS
from rules.feed_bans import FeedBan
from rules.season import SeasonDates, spring_year

_NOTHING = LocalRules()


def rules_here(case: Case, known: Known) -> LocalRules:
    """What holds where the lawn lies."""
    return known.local_at(answers.settled_place(case)) or _NOTHING


def freeze_report(case: Case, known: Known) -> FreezeReport | None:
    """The freeze as somebody of the region saw it, or as whoever runs this did."""
    told = rules_here(case, known).freeze
    return told if told is not None and _is_this_freeze(told, case) else known.freeze


def _is_this_freeze(told: FreezeReport, case: Case) -> bool:
    """Whether a report is of the winter a lawn was told of, and of about the day its owner named, if any."""
    if told.coldest_on is None:
        return True
    opened_on = case.opened_at.astimezone(ZoneInfo(answers.zone(case))).date()
    if spring_year(told.coldest_on) != spring_year(opened_on):
        return False
    named = answers.coldest_day(case)
    if named is None:
        return True
    apart = timedelta(days=named.give_or_take_days + FREEZE_MISDATED_DAYS.value)
    return abs(named.on - told.coldest_on) <= apart


def season_dates(case: Case, known: Known, freeze_on: date) -> SeasonDates | None:
    """The dates of the spring after a freeze, as far as somebody set them."""
    rules, year = rules_here(case, known), spring_year(freeze_on)
    dates = known.dates or SeasonDates()
    frost, soil = _in_year(rules.last_frost, year), _in_year(rules.warm_soil, year)
    if frost is not None and rules.last_frost is not None:
        dates = replace(dates, last_frost_on=frost, last_frost_is_about=not rules.last_frost.is_exact)
    if soil is not None and rules.warm_soil is not None:
        dates = replace(dates, warm_soil_on=soil, warm_soil_is_about=not rules.warm_soil.is_exact)
    return dates


def _in_year(told: LocalDate | None, year: int) -> date | None:
    """The day in a year; None where it is of another one. Spring has no 29 February that matters, so none is told."""
    if told is None or told.year not in (None, year):
        return None
    return date(year, told.on[0], told.on[1])


def contact_line(case: Case | None, known: Known) -> str:
    """How to reach the advisor of the region, or else whoever runs this."""
    own = rules_here(case, known).contact_line if case is not None else ""
    return own or known.contact_line


# --- as it is told ---------------------------------------------------------------------------------------------------


def plan_parts(case: Case, known: Known, today: date, *, next_feeding_on: date | None, waters: bool) -> list[Text]:
    """What belongs beside a plan: bans, when water may be given where the plan waters, and a note of the region.

    `next_feeding_on`: the first day from today on which feeding comes in question; None: none is left this season.
    """
    rules = rules_here(case, known)
    return [
        *ban_parts(rules, today, next_feeding_on),
        *phosphorus_parts(rules, today),
        *(watering_parts(case, known) if waters else []),
        *([text("local-note", note=Verbatim(rules.note))] if rules.note else []),
    ]


def ban_parts(rules: LocalRules, today: date, next_feeding_on: date | None) -> list[Text]:
    """The bans on feeding, while they may still come, and what they leave."""
    ban = rules.nitrogen_ban
    if ban is None:
        return []
    told = _told_of(ban, today, "local-ban-nitrogen", "local-ban-unread")
    if not told or any(each.is_unread for each in ban.each):
        return told
    if next_feeding_on is None:
        return [*told, text("local-ban-none-left")]
    return [*told, text("local-ban-next", day=Day(next_feeding_on))] if ban.is_on(today) else told


def phosphorus_parts(rules: LocalRules, today: date) -> list[Text]:
    """The bans on phosphate, while they may still come."""
    ban = rules.phosphorus_ban
    return [] if ban is None else _told_of(ban, today, "local-ban-phosphorus", "local-ban-unread-phosphorus")


def _told_of(ban: FeedBan, today: date, key: str, unread: str) -> list[Text]:
    """Each code that may still hold; of those that no longer read one line for all."""
    parts = [part for each in ban.each if not each.is_unread for part in _code_parts(each, today, key)]
    return [*parts, text(unread)] if any(each.is_unread for each in ban.each) else parts


def _code_parts(ban: FeedBan, today: date, key: str) -> list[Text]:
    return [] if ban.is_over(today) else [text(key, **_ban_values(ban)), *_until_parts(ban)]


def watering_parts(case: Case, known: Known) -> list[Text]:
    """When a local code lets people water."""
    rule = rules_here(case, known).watering
    return [watering_text(rule, "local-watering")] if rule is not None else []


def _ban_values(ban: FeedBan) -> dict[str, Value]:
    return {"code": Verbatim(ban.code), "times": spans_told(ban)}


def _until_parts(ban: FeedBan) -> list[Text]:
    last_on = ban.until_on
    if last_on is None:
        return []
    day, year = DayOfYear(last_on.month, last_on.day), Verbatim(str(last_on.year))
    return [text("local-ban-until", day=day, year=year)]


def spans_told(ban: FeedBan) -> Several:
    """The times of a ban, as they are told."""
    return Several(
        tuple(text("local-span", first=DayOfYear(*span.first), last=DayOfYear(*span.last)) for span in ban.spans)
    )


def watering_text(rule: WateringRule, key: str) -> Text:
    """When people may water, in the words of `key`, or of `key`-hours where hours are named."""
    values: dict[str, Value] = {"code": Verbatim(rule.code), "days": _days_told(rule)}
    if not rule.hours:
        return text(key, **values)
    spans = tuple(text("local-hours", first=_clock(first), last=_clock(last)) for first, last in rule.hours)
    return text(f"{key}-hours", **values, hours=Several(spans))


def _days_told(rule: WateringRule) -> Several:
    return Several(tuple(text(f"local-weekday-{day}") for day in rule.weekdays))


def _clock(at: time) -> Value:
    return ClockTime(datetime.combine(date.min, at)) if at != time.min else text("local-midnight")
