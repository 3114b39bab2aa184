"""Charts of green cover for tests, made by hand: what a spot may look like, and what it hardly ever does."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, timedelta

from bot.talk.cover_chart import CoverAt, CoverChart, CoverReading

FIRST_ON = date(2027, 3, 6)


def day(number: int) -> date:
    """A day of the invented spring, counted from the first photo."""
    return FIRST_ON + timedelta(days=number)


def around(percent: float, give_or_take: float) -> tuple[float, float, float]:
    """A percent with its range, kept between 0 and 100."""
    return percent, round(max(percent - give_or_take, 0), 1), round(min(percent + give_or_take, 100), 1)


def reading(number: int, percent: float, *, is_other: bool = False) -> CoverReading:
    """One that is surer where there is hardly any green, or nothing else."""
    return CoverReading(day(number), *around(percent, 3 + 0.12 * min(percent, 100 - percent)), is_other_upload=is_other)


def line(numbers: Sequence[int], percent_on: Callable[[int], float]) -> tuple[CoverAt, ...]:
    """A line that widens with time."""
    last = numbers[-1]
    return tuple(
        CoverAt(day(number), *around(round(percent_on(number), 1), 2 + 12 * number / max(last, 1)))
        for number in numbers
    )


def grown(number: int, half_on: int = 60, pace: float = 0.055) -> float:
    """Cover of a spot that grows, in percent."""
    return 100 / (1 + 2.718 ** (pace * (half_on - number)))


def cover_charts() -> dict[str, CoverChart]:
    """The spots every picture has to be readable for."""
    weekly = range(0, 140, 7)
    grows = tuple(
        reading(number, round(grown(number) + (-1) ** number * 1.4, 1), is_other=number in (14, 28))
        for number in range(0, 43, 7)
    )
    return {
        "one": CoverChart(readings=(reading(0, 14),)),
        "one with more": CoverChart(
            readings=(reading(0, 3),), later=CoverAt(day(28), *around(9, 8)), judging_on=day(87), judging_is_about=True
        ),
        "same day": CoverChart(readings=(reading(0, 14), reading(0, 19, is_other=True))),
        "grows": CoverChart(
            readings=grows,
            line=line(range(0, 71, 7), grown),
            later=CoverAt(day(70), *around(63, 16)),
            judging_on=day(60),
            is_change_worth_telling=True,
        ),
        "twenty weeks": CoverChart(
            readings=tuple(reading(number, round(grown(number, 80), 1), is_other=number % 5 == 0) for number in weekly),
            line=line(range(0, 162, 7), lambda number: grown(number, 80)),
            later=CoverAt(day(161), *around(98.4, 1.5)),
            judging_on=day(87),
            judging_is_about=True,
            is_change_worth_telling=True,
        ),
        "sixty": CoverChart(
            readings=tuple(
                reading(number, 40 + 7 * ((number * 7) % 5 - 2), is_other=number % 9 == 0) for number in range(60)
            ),
            line=line(range(60), lambda _: 40),
            later=CoverAt(day(87), *around(40, 30)),
        ),
        "bare": CoverChart(
            readings=tuple(reading(number, 0) for number in range(0, 71, 7)),
            line=line(range(0, 99, 7), lambda _: 0),
            later=CoverAt(day(98), *around(0, 4)),
            judging_on=day(63),
        ),
        "full": CoverChart(
            readings=tuple(reading(number, 100) for number in range(0, 43, 7)),
            line=line(range(0, 71, 7), lambda _: 100),
            later=CoverAt(day(70), *around(100, 3)),
            judging_on=day(0),
        ),
        "falls": CoverChart(
            readings=(reading(0, 62), reading(9, 48), reading(12, 30), reading(13, 31), reading(30, 12)),
            line=line((0, 10, 20, 30, 58), lambda number: 62 - number),
            later=CoverAt(day(58), *around(5, 5)),
            judging_on=day(-3),
            judging_is_about=True,
            is_change_worth_telling=True,
        ),
    }
