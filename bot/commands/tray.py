"""`afterfrost tray`: the questions homeowners asked to pass on to a person, as `afterfrost cases` lists them."""

from __future__ import annotations

from bot.commands.cases import list_questions
from bot.settings import Settings


def list_tray(settings: Settings, *, as_json: bool) -> None:
    """Print every open question with its case, day and lawn."""
    list_questions(settings, as_json=as_json)
