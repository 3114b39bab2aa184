"""Phone numbers: one way to store them, one to show them, one for logs.

1. A homeowner's number is stored as E.164 ("+19125550123"), and only one that its country's plan knows.
2. What a gateway sends from may be a short code or a name. That is never a homeowner's number, so `e164` refuses it;
   `sender` keeps it as it is.
3. Logs hold the last four digits.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from phonenumbers import PhoneNumber

HOME = "US"
_SHOWN_DIGITS = 4


def e164(text: str, region: str = HOME) -> str | None:
    """A number as it is stored; None where this is no number a person could be reached at, or has an extension."""
    import phonenumbers

    number = _read(text, region)
    if number is None or number.extension or not phonenumbers.is_valid_number(number):
        return None
    return phonenumbers.format_number(number, phonenumbers.PhoneNumberFormat.E164)


def sender(text: str, region: str = HOME) -> str:
    """What a gateway sends from: E.164 where it is a full number, else the short code or name as it is."""
    return e164(text, region) or text.strip()


def national(number: str, region: str = HOME) -> str:
    """A stored number as people at home write it, with the country in front where it is another's."""
    import phonenumbers

    found = _read(number, region)
    if found is None:
        return number
    is_at_home = found.country_code == phonenumbers.country_code_for_region(region)
    style = phonenumbers.PhoneNumberFormat.NATIONAL if is_at_home else phonenumbers.PhoneNumberFormat.INTERNATIONAL
    return phonenumbers.format_number(found, style)


def last_four(number: str) -> str:
    """What a log line may say about a number."""
    digits = "".join(letter for letter in number if letter.isdigit())
    return f"…{digits[-_SHOWN_DIGITS:]}"


def _read(text: str, region: str) -> PhoneNumber | None:
    import phonenumbers

    try:
        return phonenumbers.parse(text, region)
    except phonenumbers.NumberParseException:
        return None
