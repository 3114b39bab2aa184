"""What the advisory commands print: lines to read, or plain values for JSON."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict
from datetime import datetime
from typing import Any

from bot.ops.advisories.advisory import Advisory, State
from bot.ops.advisories.preview import OnChannel, Preview
from bot.ops.advisories.report import Report
from bot.ops.advisories.wording import channel_told, reasons_told
from bot.ops.advisories.zones import told
from bot.ops.regions.audience import plain_audience
from bot.words import Words

CENTS_A_DOLLAR = 100


def line_of(advisory: Advisory) -> str:
    """One advisory in a line."""
    presses = ", pressing" if advisory.content.is_pressing else ""
    many = f", for {advisory.selected}" if advisory.selected is not None else ""
    follows = f", follows {advisory.content.after_id}" if advisory.content.after_id else ""
    return f"{advisory.id}  {advisory.state}{presses}{many}{follows}: {advisory.content.name}"


def plain(advisory: Advisory, names: Mapping[int, str]) -> dict[str, Any]:
    """One advisory."""
    content = advisory.content
    return {
        "id": advisory.id,
        "revision": advisory.rev,
        "state": str(advisory.state),
        "name": content.name,
        "words": content.words,
        "audience": plain_audience(content.audience),
        "is_pressing": content.is_pressing,
        "due_at": _iso(content.due_at),
        "useful_until": _iso(content.useful_until),
        "follows": content.after_id,
        "corrects": content.corrects,
        "made_by": _name(names, advisory.made_by),
        "made_at": _iso(advisory.made_at),
        "changed_by": _name(names, advisory.changed_by),
        "approved_by": _name(names, advisory.approved_by),
        "approved_at": _iso(advisory.approved_at),
        "ended_at": _iso(advisory.ended_at),
        "selected": advisory.selected,
        "overtaken_by": advisory.overtaken_by,
        "zone": content.zone,
    }


def lines_of(advisory: Advisory, names: Mapping[int, str], zone: str | None) -> Iterator[str]:
    """One advisory as it stands."""
    yield line_of(advisory)
    yield f"revision {advisory.rev}, by {_name(names, advisory.changed_by) or 'whoever runs this'}"
    if advisory.approved_at is not None:
        who = _name(names, advisory.approved_by) or "whoever runs this"
        yield f"approved by {who} {told(advisory.approved_at, zone)}"
    for label, at in (("goes out", advisory.content.due_at), ("of use until", advisory.content.useful_until)):
        if at is not None:
            yield f"{label} {told(at, zone)}"
    yield ""
    yield advisory.content.words


# --- preview ---------------------------------------------------------------------------------------------------------


def preview_lines(preview: Preview, words: Words, zone: str | None) -> Iterator[str]:
    """What it would do."""
    counted = preview.counted
    left_out = counted.left_out.total()
    yield f'"{preview.advisory.content.name}", revision {preview.advisory.rev}: {counted.selected} homeowners.'
    yield f"{counted.reached} would get it, {left_out} are left out."
    for reason, count in reasons_told(words, counted.left_out):
        yield f"  left out: {count} ({reason})"
    for reason, count in reasons_told(words, counted.later):
        yield f"  later: {count} ({reason})"
    yield from _beside(preview)
    for each in preview.channels:
        yield channel_line(each, words, zone)
    for name, count in sorted(counted.missing.items()):
        yield f"For {count} of them {{{name}}} is not known; sentences with it are left out for them."
    for note in preview.checked.notes:
        yield f"Note: {words.text(note)}"
    for sample in preview.samples:
        grass = f", {sample.grass}" if sample.grass else ""
        yield ""
        yield f"As one of them would read it ({channel_told(words, sample.channel)}{grass}):"
        yield from (f"  | {line}" for line in sample.text.split("\n"))
    for other in preview.following:
        yield ""
        yield f"Later, to those who got it: {line_of(other)}"
        if other.state is State.DRAFT:
            yield "It is approved together with this one."
    yield ""
    yield "It goes to nobody until somebody approves it:"
    yield f"  advisory approve {preview.advisory.id} --seen {preview.mark} --as NAME"


def _beside(preview: Preview) -> Iterator[str]:
    """What else there is to know of the numbers."""
    if preview.behind:
        yield f"{preview.behind} took a turn nobody has looked at yet: for them it shows how they stood before."
    if preview.stops is not None:
        stops, waiting = preview.stops.number, preview.stops.waiting
        yield f"Its approval stops advisory {stops} at once; {waiting} who have not got that get neither."
    if preview.without_estimate:
        yield f"Not counted: {preview.without_estimate} homeowners for whom the estimate asked for is not there."


def channel_line(each: OnChannel, words: Words, zone: str | None) -> str:
    """What one channel would have to do."""
    parts = [f"{channel_told(words, each.channel)}: {each.people}"]
    if each.segments is not None:
        about = "about " if each.is_about else ""
        parts.append(f"{about}{each.segments} parts, at most {each.most_segments} each")
    if each.cents is not None:
        parts.append(f"about ${each.cents / CENTS_A_DOLLAR:,.2f}")
    if each.forecast.done_at is not None:
        parts.append(f"done about {told(each.forecast.done_at, zone)}")
    if each.forecast.too_late:
        parts.append(f"{each.forecast.too_late} would not get it in time")
    return ", ".join(parts)


def preview_plain(preview: Preview) -> dict[str, Any]:
    """What it would do."""
    counted = preview.counted
    return {
        "id": preview.advisory.id,
        "revision": preview.advisory.rev,
        "seen": preview.mark,
        "selected": counted.selected,
        "reached": counted.reached,
        "now": counted.now.total(),
        "later": {str(why): count for why, count in counted.later.items()},
        "left_out": {str(why): count for why, count in counted.left_out.items()},
        "behind": preview.behind,
        "without_estimate": preview.without_estimate,
        "zone": preview.zone,
        "stops": None if preview.stops is None else asdict(preview.stops),
        "figures_missing": dict(counted.missing),
        "channels": [
            {
                "channel": each.channel,
                "people": each.people,
                "segments": each.segments,
                "segments_at_most_each": each.most_segments,
                "segments_are_estimated": each.is_about,
                "cents": each.cents,
                "done_about": _iso(each.forecast.done_at),
                "too_late": each.forecast.too_late,
            }
            for each in preview.channels
        ],
        "texts": [asdict(sample) for sample in preview.samples],
        "follow_ups": [other.id for other in preview.following],
    }


# --- report ----------------------------------------------------------------------------------------------------------


def report_lines(report: Report, words: Words, zone: str | None) -> Iterator[str]:
    """What became of it."""
    progress = report.progress
    yield line_of(report.advisory)
    if report.advisory.state in (State.DRAFT, State.APPROVED):
        yield "Nothing has gone out yet."
        return
    if report.advisory.overtaken_by is not None:
        yield f"Stopped when advisory {report.advisory.overtaken_by} was approved, which puts it right."
    if not progress.is_listed:
        yield "People are still being listed."
    yield (
        f"{progress.selected} selected = {progress.sent} sent + {progress.waiting} waiting + "
        f"{progress.under_way} on their way + {progress.left_out} left out + {progress.failed} failed"
    )
    for label, reasons in (("left out", report.left_out), ("waiting", report.waiting), ("failed", report.failed)):
        for reason, count in reasons_told(words, reasons):
            yield f"  {label}: {count} ({reason})"
    if report.unanswered:
        yield f"{report.unanswered} of those sent got no answer; they may not have arrived, and are not sent again."
    for each in report.channels:
        parts = [f"{each.sent} sent"]
        parts += [f"{each.delivered} delivered"] if each.delivered else []
        parts += [f"{each.undelivered} not delivered"] if each.undelivered else []
        parts += [f"{each.unsure} without an answer"] if each.unsure else []
        parts += [f"{each.waiting + each.under_way} to go"] if each.waiting + each.under_way else []
        yield f"{channel_told(words, each.channel)}: {', '.join(parts)}"
    if report.first_at is not None and report.last_at is not None:
        yield f"first sent {told(report.first_at, zone)}, last {told(report.last_at, zone)}"


def report_plain(report: Report, names: Mapping[int, str]) -> dict[str, Any]:
    """What became of it."""
    return {
        **plain(report.advisory, names),
        "progress": asdict(report.progress),
        "unanswered": report.unanswered,
        "left_out": report.left_out,
        "waiting": report.waiting,
        "failed": report.failed,
        "channels": [asdict(each) for each in report.channels],
        "first_at": _iso(report.first_at),
        "last_at": _iso(report.last_at),
    }


def _name(names: Mapping[int, str], operator_id: int | None) -> str | None:
    return None if operator_id is None else names.get(operator_id)


def _iso(at: datetime | None) -> str | None:
    return None if at is None else at.isoformat()
