"""Why something cannot be done about a case, in words for whoever tried."""

from __future__ import annotations

from enum import StrEnum

from bot.errors import AfterfrostError
from bot.talk.messages import Text, Verbatim, text


class Why(StrEnum):
    """What stands in the way, as a key of the catalogue.

    missing : there is no such case, question or template
    closed : the question was answered or closed before
    held : another person holds the talk
    not_held : the talk is not held by who wants to give it back
    quiet : the homeowner wants no messages, and has asked nothing that is open
    empty, long : nothing was written, or more than a message should hold
    blank : a template has a blank nobody knows
    broke : the conversation could not take it
    """

    MISSING = "cases-cannot-missing"
    CLOSED = "cases-cannot-closed"
    HELD = "cases-cannot-held"
    NOT_HELD = "cases-cannot-not-held"
    QUIET = "cases-cannot-quiet"
    EMPTY = "cases-cannot-empty"
    LONG = "cases-cannot-long"
    BLANK = "cases-cannot-blank"
    BROKE = "cases-cannot-broke"


class CannotDo(AfterfrostError):
    """Something about a case cannot be done. `who` names the person in the way, or the blank that is not known."""

    def __init__(self, why: Why, who: str = "") -> None:
        super().__init__(f"This cannot be done: {why.name.lower()}" + (f" ({who})." if who else "."))
        self.why = why
        self.who = who

    @property
    def told(self) -> Text:
        """The same in words of the catalogue."""
        return text(self.why, who=Verbatim(self.who)) if self.who else text(self.why)
