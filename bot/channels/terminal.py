"""The conversation in a terminal. Plain text in and out, so it works with pipes; colours only on a real terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Callable

import click

from bot.errors import TryAgain
from bot.talk.ports import Rendered

WIDTH = 88
ADDRESS = "here"
NEXT_TALK_SECONDS = 1


class TerminalChannel:
    """Prints what is said to the one person at this terminal.

    is_cut_off : nobody reads any more what is printed (`talk | head`); what was not printed waits for the next talk
    """

    name = "terminal"

    def __init__(self, label: Callable[[str], str], echo: Callable[[str], None] = click.echo) -> None:
        self._label = label
        self._echo = echo
        self.is_cut_off = False

    async def send(self, address: str, outbox_id: int, rendered: Rendered) -> None:
        """Print one message with its numbered choices."""
        self._print(shown(rendered, self._label))

    async def send_data(self, address: str, outbox_id: int, document: bytes) -> None:
        """Print the copy of everything stored."""
        self._print(document.decode())

    def _print(self, lines: str) -> None:
        try:
            self._echo(lines)
        except BrokenPipeError as error:
            self.is_cut_off = True
            raise TryAgain("Nobody reads what is printed.", NEXT_TALK_SECONDS) from error


def shown(rendered: Rendered, label: Callable[[str], str]) -> str:
    """One message as lines of text: progress, paragraphs, picture described in words, numbered choices."""
    lines = [""]
    if rendered.step is not None:
        progress = f"{rendered.step}/{rendered.steps}"
        lines.append(click.style(progress, fg="cyan"))
    lines.extend(wrapped_lines(rendered.text))
    if rendered.picture_alt:
        lines.extend(click.style(line, italic=True) for line in _wrapped(f"({rendered.picture_alt})"))
    lines.extend(_choice_lines(rendered, label))
    return "\n".join(lines)


def _choice_lines(rendered: Rendered, label: Callable[[str], str]) -> list[str]:
    if not rendered.choices:
        return []
    if not rendered.numbered:
        lines = [f"  {click.style('-', fg='yellow')}  {choice.label}" for choice in rendered.choices]
        return [*lines, click.style(f"  {label('terminal-say-it')}", dim=True)]
    hint = label("terminal-pick-several" if rendered.several else "terminal-pick-one")
    numbered = [
        f"  {click.style(str(number), fg='yellow')}  {choice.label}"
        for number, choice in enumerate(rendered.choices, start=1)
    ]
    return [*numbered, click.style(f"  {hint}", dim=True)]


def wrapped_lines(text: str) -> list[str]:
    """A text as lines no wider than a terminal, paragraphs kept apart."""
    lines: list[str] = []
    for paragraph in text.split("\n"):
        lines.extend(_wrapped(paragraph) if paragraph else [""])
    return lines


def _wrapped(paragraph: str) -> list[str]:
    indent = "  " if paragraph.startswith("• ") else ""
    return textwrap.wrap(paragraph, WIDTH, subsequent_indent=indent) or [""]
