"""What becomes of an alert, decided from what is known: pure, so that every case can be looked at by itself.

1. A draft nobody approved follows its alert: changed by an update, dropped when it is called off.
2. What was approved, goes out or is finished is never touched: a follow-up is drafted for those who got it.
3. One event may come in several messages, each for a part of its area. An event is called off only when no message of
   it stands, nothing graver took its place, and no other alert of cold stands for the same ground.
4. What an operator changed or dropped is theirs: an update does not write over it and does not bring it back, unless
   the cold got graver.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from bot.ops.alerts.alert import Alert, MsgType
from bot.ops.alerts.meaning import Product, When, drill, is_over, product_of, tracked_of, when_of
from bot.ops.alerts.reach import codes_of
from bot.ops.alerts.wording import Tone

WORTH_TELLING = timedelta(hours=1)
"""A shift of the weather by less is not worth another message."""


class Outcome(StrEnum):
    """What became of an alert, as it is stored and shown."""

    WAITING = "waiting"  # kept, and not decided about yet
    DRAFTED = "drafted"
    CHANGED = "draft changed"
    DROPPED = "draft dropped"
    FOLLOWED = "follow-up drafted"
    BESIDE = "drafted beside a changed one"
    DRILL = "a drill or not public"
    OTHER_WEATHER = "other weather"
    OVER = "over already"
    OLD_NEWS = "a newer message was here first"
    NOTHING_NEW = "nothing new"
    STILL_STANDS = "called off in part"
    LEFT_ALONE = "an operator dropped it"
    NOWHERE = "no area we know"
    REFUSED = "no draft could be made"


class Stage(StrEnum):
    """How far the thread's advisory is."""

    DRAFT = "draft"
    DROPPED = "dropped"  # before anybody got it
    OUT = "out"  # approved: on its way, done, or stopped on its way


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """The thread's latest advisory.

    is_theirs : an operator wrote in it since we did
    is_dropped_by_us : its alert had been called off
    """

    stage: Stage
    is_theirs: bool = False
    is_dropped_by_us: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """What to do, with the words' tone where something is drafted. `to_all`: the area grew, so all of it is told."""

    outcome: Outcome
    tone: Tone = Tone.FIRST
    to_all: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What is known beside the alert.

    thread : the other messages about the same event, in the order they were kept
    told : the message of the thread that the latest advisory's words are from
    reached : the one that the words people got are from; None when nobody got any
    standing : the latest advisory; None when there is none
    others : alerts of other events kept lately
    """

    thread: Sequence[Alert] = ()
    told: Alert | None = None
    reached: Alert | None = None
    standing: Standing | None = None
    others: Sequence[Alert] = ()


def decide(alert: Alert, known: Known, now: datetime) -> Decision:
    """What becomes of it."""
    if drill(alert) is not None:
        return Decision(outcome=Outcome.DRILL)
    product = thread_product(alert, known.thread)
    if product is None:
        return Decision(outcome=Outcome.OTHER_WEATHER if alert.infos else Outcome.NOTHING_NEW)
    if is_over(_with_times(alert, known), now):
        return Decision(outcome=Outcome.OVER)
    if alert.msg_type is MsgType.CANCEL:
        return _called_off(alert, known, now)
    if any(_is_later(each, alert) for each in known.thread):
        return Decision(outcome=Outcome.OLD_NEWS)
    return _told(alert, product, known)


def thread_product(alert: Alert, thread: Sequence[Alert]) -> Product | None:
    """What the event is, from the message itself or, where it only calls one off, from those before it."""
    found = (product_of(each) for each in (alert, *reversed(thread)))
    return next((product for product in found if product is not None), None)


def _told(alert: Alert, product: Product, known: Known) -> Decision:
    standing, told, reached = known.standing, known.told, known.reached
    if standing is None or told is None:
        return Decision(outcome=Outcome.DRAFTED)
    if reached is None and standing.stage is Stage.DROPPED:
        is_wanted = standing.is_dropped_by_us or _is_graver(product, told)
        return Decision(outcome=Outcome.DRAFTED if is_wanted else Outcome.LEFT_ALONE)
    outcome = Outcome.BESIDE if standing.is_theirs else Outcome.CHANGED
    if reached is None:
        return Decision(outcome=outcome)
    tone = Tone.GRAVER if _is_graver(product, reached) else Tone.CHANGED
    if standing.stage is not Stage.DRAFT:
        outcome = Outcome.FOLLOWED
        if not all(_is_news(alert, product, before) for before in (reached, told)):
            return Decision(outcome=Outcome.NOTHING_NEW)
    return Decision(outcome=outcome, tone=tone, to_all=_has_grown(alert, reached))


def _called_off(alert: Alert, known: Known, now: datetime) -> Decision:
    standing = known.standing
    if standing is None:
        return Decision(outcome=Outcome.NOTHING_NEW)
    if standing_of((*known.thread, alert), now):
        return Decision(outcome=Outcome.STILL_STANDS)
    is_draft = standing.stage is Stage.DRAFT
    if known.reached is None:
        return Decision(outcome=Outcome.DROPPED if is_draft else Outcome.NOTHING_NEW)
    if any(each.is_replaced for each in tracked_of(alert)) or _is_cold_there_still(alert, known, now):
        return Decision(outcome=Outcome.STILL_STANDS)
    is_changed = is_draft and not standing.is_theirs
    return Decision(outcome=Outcome.CHANGED if is_changed else Outcome.FOLLOWED, tone=Tone.CALLED_OFF)


def standing_of(messages: Iterable[Alert], now: datetime) -> tuple[Alert, ...]:
    """Those that nothing replaced or called off, that call none off themselves, and whose weather is not over."""
    messages = tuple(messages)
    replaced = {reference.identifier for each in messages for reference in each.references}
    return tuple(
        each
        for each in messages
        if each.identifier not in replaced and each.msg_type is not MsgType.CANCEL and not is_over(each, now)
    )


def _is_cold_there_still(alert: Alert, known: Known, now: datetime) -> bool:
    ground = codes_of(alert.areas) or codes_of(known.told.areas if known.told else ())
    others = [each for each in known.others if drill(each) is None and product_of(each) is not None]
    return any(codes_of(each.areas) & ground for each in standing_of(others, now))


def _is_news(alert: Alert, product: Product, before: Alert) -> bool:
    """Whether those who were told the one want to know the other."""
    has_moved = _has_moved(when_of(alert), when_of(before))
    return has_moved or _is_graver(product, before) or _has_grown(alert, before)


def _is_graver(product: Product, before: Alert) -> bool:
    told = product_of(before)
    return told is not None and product.rank > told.rank


def _has_grown(alert: Alert, before: Alert) -> bool:
    """Whether it names ground that the one before did not."""
    return not codes_of(alert.areas) <= codes_of(before.areas)


def _has_moved(now: When, before: When) -> bool:
    if abs(now.begins.at - before.begins.at) >= WORTH_TELLING:
        return True
    if now.ends is None or before.ends is None:
        return now.ends is not before.ends
    return abs(now.ends.at - before.ends.at) >= WORTH_TELLING


def _is_later(other: Alert, alert: Alert) -> bool:
    """Whether another message was sent after this one and is about it."""
    names = {reference.identifier for reference in other.references}
    return other.sent.at > alert.sent.at and alert.identifier in names


def _with_times(alert: Alert, known: Known) -> Alert:
    """What is called off has the times it was told with: a message that calls off ends when it is sent."""
    return known.told if alert.msg_type is MsgType.CANCEL and known.told is not None else alert
