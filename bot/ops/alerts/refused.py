"""The one error of this room: something that was to be an alert and cannot be used, with a reason and a sentence.

Reasons: `too_large`, `too_deep`, `too_many`, `bad_encoding`, `has_dtd`, `not_xml`, `not_json`, `not_cap`,
`wrong_version`, `not_alerts`, `missing:<element>`, `twice:<element>`, `bad_value:<element>`, `bad_time`, `bad_area`,
`bad_reference`, and from `sources.py` `not_found`, `not_readable`, `bad_address`, `leads_away`, `not_answered`.
"""

from __future__ import annotations

from bot.errors import AfterfrostError


class AlertRefused(AfterfrostError):
    """It is no alert we can use. `reason` is one short name (like "has_dtd"), the message says more."""

    def __init__(self, reason: str, message: str) -> None:
        super().__init__(message)
        self.reason = reason


class NotNow(AlertRefused):
    """The address gives no alerts now. `after_seconds`: how long it wants to be left alone; 0 where it does not say."""

    def __init__(self, message: str, after_seconds: float) -> None:
        super().__init__("not_answered", message)
        self.after_seconds = after_seconds
