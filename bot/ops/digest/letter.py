"""The digest in words: what moved, who is stuck, what is due. The same facts in every channel, without empty lines."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

from bot.store.digests import Week
from bot.talk.effects import Say
from bot.talk.glance import Stage
from bot.talk.messages import Day, Number, Several, Text, Value, Verbatim, text
from rules.task_kinds import TaskKind

MOST_DUE = 4
"""Kinds of task that are named; the rest is left to the desk."""


def digest_letter(week: Week, before: Mapping[str, int], on: date, desk: str = "") -> Say:
    """The letter of the week that ends on a day, beside the stages counted the week before; `desk`: where to look."""
    parts = [
        text("digest-head", first=Day(on - timedelta(days=7)), last=Day(on)),
        text("digest-moved", newcomers=Number(week.newcomers), heard=Number(week.heard)),
        _stages(week.stages, before),
        *_stuck(week),
        _due(week.due),
    ]
    if week.advised:
        parts.append(text("digest-advised", count=Number(week.advised)))
    if desk:
        parts.append(text("digest-desk", address=Verbatim(desk)))
    return Say(parts=tuple(parts))


def _stages(stages: Mapping[str, int], before: Mapping[str, int]) -> Text:
    told: list[Value] = [
        text(
            "digest-stage",
            stage=text(f"digest-stage-{stage.name.lower()}"),
            count=Number(stages.get(stage, 0)),
            change=Verbatim(_change(stages.get(stage, 0) - before[stage]) if stage in before else ""),
        )
        for stage in Stage
        if stages.get(stage, 0) or before.get(stage, 0)
    ]
    return text("digest-stages", stages=Several(tuple(told))) if told else text("digest-no-lawns")


def _change(difference: int) -> str:
    return f" ({difference:+d})" if difference else ""


def _stuck(week: Week) -> list[Text]:
    found = []
    if week.questions_open:
        days = Number(week.oldest_question_days)
        found.append(text("digest-questions", count=Number(week.questions_open), days=days))
    if week.questions_closed:
        found.append(text("digest-answered", count=Number(week.questions_closed)))
    for key, count in (("silent", week.silent), ("failed", week.failed), ("parked", week.parked)):
        if count:
            found.append(text(f"digest-{key}", count=Number(count)))
    if week.unreachable:
        found.append(text("digest-unreachable", count=Number(week.unreachable)))
    return found or [text("digest-nobody-stuck")]


def _due(due: Mapping[str, int]) -> Text:
    known = [(kind, due[kind]) for kind in TaskKind if due.get(kind)]
    if not known:
        return text("digest-nothing-due")
    most = sorted(known, key=lambda each: -each[1])[:MOST_DUE]
    tasks = [text("digest-task", count=Number(count), task=text(f"task-{kind}")) for kind, count in most]
    return text("digest-due", tasks=Several(tuple(tasks)))
