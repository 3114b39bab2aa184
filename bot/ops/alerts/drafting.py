"""An advisory's content out of the messages that stand for one event. Pure: it is drafted and sent by others.

It goes to the area of all of them, tells the time from the first beginning to the last end, and is called by the
gravest. It is of no use after the weather is over.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from bot.ops.advisories.advisory import NewAdvisory
from bot.ops.alerts.alert import Alert
from bot.ops.alerts.meaning import Cold, Product, When, product_of, when_of
from bot.ops.alerts.reach import Reach, names_of, reach_of
from bot.ops.alerts.wording import Tone, name_of, words_of
from bot.ops.regions.audience import Audience
from bot.words import Words


@dataclass(frozen=True, slots=True, kw_only=True)
class Drafted:
    """What would be drafted, and where to: `content` None when no area of the alert could be used."""

    content: NewAdvisory | None
    reach: Reach


@dataclass(frozen=True, slots=True, kw_only=True)
class Follows:
    """A follow-up goes to those who got an advisory, as soon as it is approved."""

    after_id: int
    now: datetime


def drafted_from(
    words: Words, product: Product, messages: Sequence[Alert], tone: Tone, follows: Follows | None = None
) -> Drafted:
    """The content for messages about one event, at least one of them; `product` is what they are about."""
    areas = tuple(dict.fromkeys(area for message in messages for area in message.areas))
    reach = reach_of(areas)
    if reach.shape is None and follows is None:
        return Drafted(content=None, reach=reach)
    gravest = max((product, *filter(None, map(product_of, messages))), key=lambda each: each.rank)
    when = _together([when_of(message) for message in messages])
    states = ", ".join(sorted(reach.shape.states)) if reach.is_wide and reach.shape is not None else ""
    content = NewAdvisory(
        name=name_of(words, gravest, when, tone, names_of(areas), states if follows is None else ""),
        words=words_of(words, gravest, when, tone),
        audience=Audience() if follows is not None else Audience(shape=reach.shape),
        is_pressing=gravest.cold is not Cold.SNOW,
        due_at=None if follows is None else follows.now,
        after_id=None if follows is None else follows.after_id,
        useful_until=when.ends.at if when.ends is not None else None,
    )
    return Drafted(content=content, reach=reach)


def _together(whens: Sequence[When]) -> When:
    ends = [when.ends for when in whens if when.ends is not None]
    is_told = len(ends) == len(whens)
    return When(
        begins=min((when.begins for when in whens), key=lambda moment: moment.at),
        ends=max(ends, key=lambda moment: moment.at) if is_told else None,
    )
