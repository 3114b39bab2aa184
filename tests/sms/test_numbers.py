"""Phone numbers against the examples of their own library, for every region and kind of line it knows."""

from __future__ import annotations

import phonenumbers
import pytest
from hypothesis import given
from hypothesis import strategies as st
from phonenumbers import PhoneNumber, PhoneNumberFormat, PhoneNumberType

from bot.channels.sms.numbers import e164, last_four, national, sender


def examples() -> list[tuple[str, PhoneNumber]]:
    """One number of each kind in each region that has one."""
    found = [
        (region, phonenumbers.example_number_for_type(region, kind))
        for region in sorted(phonenumbers.SUPPORTED_REGIONS)
        for kind in PhoneNumberType.values()
    ]
    return [(region, number) for region, number in found if number is not None]


def test_numbers_of_all_regions_are_stored_and_shown() -> None:
    """E.164 as it is, from abroad, and from how it is written at home come to the same; shown, it can be read back."""
    seen = examples()
    for region, number in seen:
        stored = phonenumbers.format_number(number, PhoneNumberFormat.E164)
        at_home = phonenumbers.format_number(number, PhoneNumberFormat.NATIONAL)
        abroad = phonenumbers.format_number(number, PhoneNumberFormat.INTERNATIONAL)
        assert [e164(stored), e164(abroad), e164(at_home, region)] == [stored] * 3
        assert e164(national(stored, region), region) == stored
        assert e164(national(stored, "AQ"), region) == stored  # nobody's home: with its country

    assert len({region for region, _ in seen}) == len(phonenumbers.SUPPORTED_REGIONS)
    assert len(seen) > 900


@pytest.mark.parametrize(
    "typed",
    ["(202) 555-0143", "202.555.0143", "1 202 555 0143", "+1 202-555-0143", "tel:+1-202-555-0143", " 2025550143 "],
)
def test_a_number_typed_in_any_way_is_one_number(typed: str) -> None:
    """Blanks, points, brackets and the country do not matter."""
    assert e164(typed) == "+12025550143"


@pytest.mark.parametrize(
    "typed", ["", "12345", "898211", "LAWNSHOP", "+1555", "555-0143", "+12025550143 ext. 7", "+999123456789", "+", "🙂"]
)
def test_what_is_no_full_number_is_refused(typed: str) -> None:
    """Short codes, names, numbers without an area, extensions."""
    assert e164(typed) is None


def test_a_gateway_may_send_from_a_short_code_or_a_name() -> None:
    """Those stay as they are; a full number is written the one way."""
    assert [sender(text) for text in ("898211", " LAWNSHOP ", "(202) 555-0143")] == [
        "898211",
        "LAWNSHOP",
        "+12025550143",
    ]


def test_numbers_are_shown_as_at_home() -> None:
    """One from elsewhere has its country in front; what is no number is shown as it is."""
    assert national("+12025550143") == "(202) 555-0143"
    assert national("+442079460018") == "+44 20 7946 0018"
    assert national("LAWNSHOP") == "LAWNSHOP"


@given(st.text())
def test_a_log_line_holds_at_most_four_digits(text: str) -> None:
    """Whatever is in the number's place."""
    shown = last_four(text)

    assert shown.startswith("…") and len(shown) <= 5
    assert shown[1:].isdigit() or shown == "…"


def test_the_last_four_are_those_at_the_end() -> None:
    """Enough to tell two numbers apart, not enough to call."""
    assert last_four("+1 (202) 555-0143") == "…0143"


@given(st.text(), st.sampled_from(["US", "DE", "ZZ", ""]))
def test_any_text_is_a_number_or_is_not(text: str, region: str) -> None:
    """No text breaks the reading, and what is stored reads as itself."""
    stored = e164(text, region)

    assert stored is None or e164(stored) == stored
