"""`afterfrost check`: what this installation is, what it can do, and what to look at."""

from __future__ import annotations

import os
import platform
import time
from collections.abc import Iterator

import click

from bot.errors import AfterfrostError
from bot.settings import PREFIX, Settings, known_variables
from bot.store.glance import counts, sqlite_version_info
from bot.talk.messages import Number, Text, Verbatim, text
from bot.words import Words

SAFE_SQLITE = (3, 51, 3)
"""Older ones can damage a write-ahead log when two connections checkpoint at one instant; we use one writer only."""


def check_here(settings: Settings) -> bool:
    """Print one line a finding. False when something keeps Afterfrost from running."""
    words = Words()
    good = True
    for is_good, message in findings(settings):
        good = good and is_good
        mark = click.style("ok  ", fg="green") if is_good else click.style("look", fg="yellow")
        click.echo(f"{mark}  {words.text(message)}")
    return good


def findings(settings: Settings) -> Iterator[tuple[bool, Text]]:
    """Every finding: whether it is good, and its words."""
    from bot.ops.alerts.feeds import without_login

    yield True, text("check-python", version=Verbatim(platform.python_version()))
    yield _sqlite()
    yield _folder(settings)
    yield _contents(settings)
    yield _places()
    yield _facts(settings)
    yield True, text("check-page", where=Verbatim(f"http://{settings.host}:{settings.port}"))
    yield from _weather(settings)
    yield from watch_findings(settings)
    yield True, text("check-person", line=Verbatim(settings.contact_line or "-"))
    for name, holds in known_variables().items():
        now = os.environ.get(name) or getattr(settings, name.removeprefix(PREFIX).lower())
        now = "***" if now and name in _SECRET else without_login(str(now))
        yield True, text("check-setting", name=Verbatim(name), now=Verbatim(str(now)), holds=Verbatim(holds))


_SECRET = frozenset(PREFIX + name for name in ("REANALYSIS_KEY", "TELEGRAM_TOKEN", "SMS_KEY", "SMS_SECRET"))


def _weather(settings: Settings) -> Iterator[tuple[bool, Text]]:
    from bot.weather.shelf import Shelf

    kept, broken = Shelf(settings.data).all()
    yield True, text("check-weather-kept", count=Number(len(kept)))
    yield from ((False, text("check-weather-broken", why=Verbatim(each.why))) for each in broken)
    if settings.weather == "off":
        yield True, text("check-weather-off")
        return
    from bot.weather.fetching import require_ready

    yield True, text("check-weather-on", source=Verbatim(settings.weather))
    if settings.weather in ("reanalysis", "both"):
        yield True, text("check-weather-credit")
    try:
        require_ready(settings)
    except AfterfrostError as error:
        yield False, text("check-weather-contact", why=Verbatim(str(error)))


def watch_findings(settings: Settings) -> Iterator[tuple[bool, Text]]:
    """What is watched by itself, and what ails it."""
    from bot.ops.alerts.feeds import key_of, shown_source
    from bot.ops.alerts.notes import read_notes
    from bot.ops.alerts.outlook import has_forecasts
    from bot.ops.alerts.round import watched_sources

    if settings.clock_shift_file is not None:
        yield True, text("check-watch-rehearsal")
    else:
        yield True, text("check-watch-on" if has_forecasts(settings) else "check-watch-off")
    sources, notes = watched_sources(settings), read_notes(settings.data)
    if not sources:
        yield True, text("check-alerts-off")
    for source in sources:
        name, note = Verbatim(shown_source(source)), notes.sources.get(key_of(source))
        if note is not None and note.fault:
            yield False, text("check-alerts-fault", source=name, why=Verbatim(note.fault))
        else:
            yield True, text("check-alerts-on", source=name)


def _sqlite() -> tuple[bool, Text]:
    version = Verbatim(".".join(str(part) for part in sqlite_version_info()))
    is_safe = sqlite_version_info() >= SAFE_SQLITE
    return True, text("check-sqlite" if is_safe else "check-sqlite-old", version=version)


def _folder(settings: Settings) -> tuple[bool, Text]:
    folder = settings.data if settings.data.exists() else settings.data.absolute().parent
    can_write = os.access(folder, os.W_OK)
    return can_write, text("check-folder" if can_write else "check-folder-closed", folder=Verbatim(str(settings.data)))


def _contents(settings: Settings) -> tuple[bool, Text]:
    try:
        found = counts(settings.data)
    except AfterfrostError:
        return True, text("check-empty")
    return True, text("check-contents", **{name: Number(count) for name, count in found.items()})


def _places() -> tuple[bool, Text]:
    from bot.places import PlaceFinder

    began = time.monotonic()
    found = PlaceFinder().find("31522")
    seconds = round(time.monotonic() - began, 1)
    return bool(found), text("check-places" if found else "check-places-missing", seconds=Number(seconds))


def _facts(settings: Settings) -> tuple[bool, Text]:
    from bot.conversation import regional_facts

    if settings.facts_file is None:
        return True, text("check-facts-none")
    try:
        regional_facts(settings)
    except AfterfrostError as error:
        return False, text("check-facts-broken", why=Verbatim(str(error)))
    return True, text("check-facts", file=Verbatim(str(settings.facts_file)))
