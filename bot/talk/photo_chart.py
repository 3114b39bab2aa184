"""The chart beside a photo check-in, out of what was measured on the photos of a spot."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta

from bot.talk.cover_chart import MOST_POINTS, CoverAt, CoverChart, CoverReading
from rules.facts.recovery import OUTLOOK_WARM_DAYS
from rules.recovery import Reading, error_sd_percent
from rules.recovery_state import Recovery, RecoveryState
from rules.season import Season

FEWEST_VISITS = 2  # one photo is told in a sentence
LIKELY_SDS = 1.96  # 95 times in 100
JUDGING_SHOWN = timedelta(days=100)  # ahead; farther off it would squeeze everything else


def photo_chart(recovery: Recovery, season: Season) -> CoverChart | None:
    """The readings of a spot over time, what to expect, and the judging day; None where there is nothing to compare."""
    readings = recovery.trend.readings[-MOST_POINTS:]
    if len({each.visit for each in readings}) < FEWEST_VISITS:
        return None
    usual = Counter(each.upload for each in readings).most_common(1)[0][0]
    last_on = _on(readings[-1])
    is_near = last_on - JUDGING_SHOWN <= season.judging_on <= last_on + JUDGING_SHOWN
    change = recovery.since_first
    return CoverChart(
        readings=tuple(_point(each, is_other_upload=each.upload != usual) for each in readings),
        later=_later(recovery, season, last_on),
        judging_on=season.judging_on if is_near else None,
        judging_is_about=season.is_about,
        is_change_worth_telling=change is not None and change.is_worth_telling,
    )


def _on(reading: Reading) -> date:
    return date.fromordinal(reading.visit)


def _point(reading: Reading, *, is_other_upload: bool) -> CoverReading:
    percent = round(reading.grass_percent, 1)
    spread = LIKELY_SDS * error_sd_percent(reading.grass_percent, reading)
    return CoverReading(
        on=_on(reading),
        percent=percent,
        low_percent=round(max(0.0, percent - spread), 1),
        high_percent=round(min(100.0, percent + spread), 1),
        is_other_upload=is_other_upload,
    )


def _later(recovery: Recovery, season: Season, last_on: date) -> CoverAt | None:
    """What to expect, where it grows: after four more warm weeks, which begin when the ground is warm."""
    if recovery.state is not RecoveryState.RECOVERING:
        return None
    cover = recovery.trend.cover_later
    on = max(last_on, season.warm_soil_on) + timedelta(days=int(OUTLOOK_WARM_DAYS.value))
    low, middle, high = (round(each, 1) for each in (cover.low_percent, cover.middle_percent, cover.high_percent))
    return CoverAt(on=on, percent=middle, low_percent=min(low, middle), high_percent=max(middle, high))
