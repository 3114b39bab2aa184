"""What came in, in one form: states in our words, ids that make repeats known, parts that find each other."""

from __future__ import annotations

import json
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.channels.sms.bodies import (
    WAIT_FOR_PARTS,
    Body,
    Receipt,
    Status,
    Text,
    arrival_of,
    dump_body,
    load_body,
    mended,
    read_body,
    status_of,
)

NOW = datetime(2027, 1, 20, 17, 0, tzinfo=UTC)
ANN, OURS = "+12025550143", "898211"
letters = st.text(st.characters(exclude_categories=()), max_size=50)  # halves of pairs, too


def text(**changes: object) -> Text:
    """A text of Ann's."""
    fields: dict[str, object] = {"id": "in-1", "from_": ANN, "to": OURS, "text": "My lawn froze"}
    return Text(**(fields | changes))  # type: ignore[arg-type]  # each test knows what it changes


bodies = st.one_of(
    st.builds(text, text=letters.map(mended), pictures=st.just(("https://media.example/1",))),
    st.builds(text, text=letters, parts=st.just(3), part=st.integers(1, 3), reference=st.just("9")),
    st.builds(Receipt, id=st.text(st.characters(categories=["L", "N"]), min_size=1), status=st.sampled_from(Status)),
)


@given(bodies)
def test_a_body_is_stored_and_read_as_it_was(body: Body) -> None:
    """In ASCII, whatever letters it holds."""
    stored = dump_body(body)

    assert stored.isascii()
    assert load_body(stored) == body


@pytest.mark.parametrize(
    ("told", "status"),
    [
        ("ENROUTE", Status.ON_THE_WAY),
        ("ACCEPTD", Status.ON_THE_WAY),
        ("DELIVRD", Status.DELIVERED),
        ("EXPIRED", Status.FAILED),
        ("DELETED", Status.FAILED),
        ("UNDELIV", Status.FAILED),
        ("REJECTD", Status.FAILED),
        ("UNKNOWN", Status.UNKNOWN),
        ("delivrd ", Status.DELIVERED),
        ("on the way", Status.ON_THE_WAY),
        ("Delivered", Status.DELIVERED),
        ("SKIPPED", Status.UNKNOWN),
    ],
)
def test_states_are_told_in_our_words(told: str, status: Status) -> None:
    """All eight of the protocol, our own, and words nobody knows."""
    assert status_of(told) is status


def test_a_text_is_stored_under_its_id_and_number() -> None:
    """However the gateway wrote the number."""
    event = {"kind": "text", "id": "in-1", "from": "(202) 555-0143", "to": OURS, "text": "Hi", "cost": 3}
    arrival = arrival_of(read_body(event), NOW)

    assert arrival is not None
    assert (arrival.address, arrival.external_id, arrival.group, arrival.at) == (ANN, "text:in-1", None, NOW)
    assert json.loads(arrival.body)["from"] == ANN


def test_parts_share_a_group_and_are_told_apart() -> None:
    """They wait for each other; each is stored once, even under one id."""
    arrivals = [arrival_of(text(part=part, parts=2, reference="9"), NOW) for part in (2, 1, 2)]

    assert {(arrival.group, arrival.wait) for arrival in arrivals if arrival} == {("sms:9:2", WAIT_FOR_PARTS)}
    assert len({arrival.external_id for arrival in arrivals if arrival}) == 2


def test_a_receipt_is_nobodys_turn_and_stored_once_a_state() -> None:
    """It comes twice and out of order; only a new state is news."""
    told = [Status.DELIVERED, Status.ON_THE_WAY, Status.DELIVERED]
    arrivals = [arrival_of(Receipt(id="far-1", status=status), NOW) for status in told]

    assert {arrival.address for arrival in arrivals if arrival} == {""}
    assert len({arrival.external_id for arrival in arrivals if arrival}) == 2


@pytest.mark.parametrize("name", ["898211", "LAWNSHOP", "+1555"])
def test_a_text_from_no_phone_number_is_left_out(name: str) -> None:
    """It cannot be answered."""
    assert arrival_of(text(from_=name), NOW) is None


@given(letters)
def test_any_id_can_be_stored(id_: str) -> None:
    """Plain and short, and the same for the same."""
    first, again = (arrival_of(text(id=id_), NOW) for _ in range(2))

    assert first is not None and first == again
    assert first.external_id.isascii() and len(first.external_id) <= 100


WHOLE = {"kind": "text", "id": "1", "from": ANN, "to": OURS, "text": ""}


@pytest.mark.parametrize(
    "event",
    [
        None,
        [],
        "text",
        {},
        {"kind": "picture", "id": "1"},
        {"kind": "receipt", "id": "1"},
        {"kind": "receipt", "id": " ", "status": "DELIVRD"},
        {"kind": "receipt", "id": 7, "status": "DELIVRD"},
        {"kind": "receipt", "id": "a\ud83d", "status": "DELIVRD"},
        WHOLE | {"id": "a\0b"},
        *({key: value for key, value in WHOLE.items() if key != missing} for missing in WHOLE),
        WHOLE | {"part": 3, "parts": 2, "reference": "9"},
        WHOLE | {"part": 0, "parts": 2, "reference": "9"},
        WHOLE | {"part": 1, "parts": 2},
        WHOLE | {"part": True, "parts": 2, "reference": "9"},
        WHOLE | {"part": 1, "parts": 256, "reference": "9"},
        WHOLE | {"pictures": "https://media.example/1"},
    ],
)
def test_what_is_no_body_is_refused(event: object) -> None:
    """With a word about what is missing."""
    with pytest.raises(ValueError, match="should"):
        read_body(event)


def test_an_empty_text_with_pictures_is_one() -> None:
    """A bare picture; addresses that cannot be any are left out."""
    body = read_body(WHOLE | {"pictures": ["https://media.example/1", 7, "https://média.example/"]})

    assert body == text(id="1", text="", pictures=("https://media.example/1",))
