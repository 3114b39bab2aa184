"""A Fluent bundle that parses an entry when it is first asked for.

Parsing a whole catalogue takes longer than everything else before the first words, and a talk needs little of it. Only
where entries begin is found beforehand: at a name in the first column.
"""

from __future__ import annotations

import re
from typing import Any

from fluent.runtime import FluentBundle, FluentResource

_ENTRY = re.compile(r"^(-?[A-Za-z][\w-]*) *=(?:.*\n?)(?:(?![A-Za-z#-]).*\n?)*", re.MULTILINE)
"""A name in the first column, and the lines behind it up to the next name or remark."""


class LazyBundle(FluentBundle):
    """A bundle whose entries are added as text. The first of two with one name counts, as in any bundle."""

    def __init__(self, locales: list[str]) -> None:
        super().__init__(locales, use_isolating=False)
        self._texts: dict[str, str] = {}

    def add_text(self, catalogue: str) -> None:
        """Add the entries of a catalogue."""
        for found in _ENTRY.finditer(catalogue):
            self._texts.setdefault(found[1], found[0])

    def keys(self) -> frozenset[str]:
        """The keys of all messages. Terms, which only other entries name, are not among them."""
        return frozenset(key for key in self._texts if not key.startswith("-"))

    def has_message(self, message_id: str) -> bool:
        """Whether there is such a message."""
        return message_id in self._texts

    def _lookup(self, entry_id: str, term: bool = False) -> Any:
        """Everything the library looks for comes through here, what entries name in each other too."""
        known = self._terms if term else self._messages
        if entry_id not in known and (text := self._texts.get(f"-{entry_id}" if term else entry_id)) is not None:
            self.add_resource(FluentResource(text))
        return super()._lookup(entry_id, term)
