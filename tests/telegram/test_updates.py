"""What Telegram's updates mean, as plain data."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.channels.telegram.channel import split_text
from bot.channels.telegram.updates import Meaning, arrival_of, meaning_of
from bot.talk.incoming import Arrived, Chose, Said, SharedPlace

NOW = datetime(2027, 1, 20, 15, 0, tzinfo=UTC)
PRIVATE = {"id": 77, "type": "private", "first_name": "Nell"}
GROUP = {"id": -1005, "type": "supergroup", "title": "Lawns"}


def message(**parts: Any) -> dict[str, Any]:
    return {"update_id": 5, "message": {"message_id": 3, "date": 1_800_000_000, "chat": PRIVATE, **parts}}


@pytest.mark.parametrize(
    ("words", "meant"),
    [
        ("my lawn is brown", Said(text="my lawn is brown")),
        ("/start", Arrived()),
        ("/start@lawn_bot", Arrived()),
        ("/start region_low_coast", Arrived(invite="region_low_coast")),
        ("/start two words", Arrived()),
        ("/plan", Said(text="plan")),
        ("/new_lawn", Said(text="new lawn")),
        ("/move 7KQ4-M2XD", Said(text="move 7KQ4-M2XD")),
        ("/", Said(text="/")),
        ("1/2 inch", Said(text="1/2 inch")),
    ],
)
def test_words_and_commands(words: str, meant: object) -> None:
    """A command is the words it stands for; opening the chat is arriving."""
    assert meaning_of(message(text=words)).incoming == (meant,)


def test_a_press_carries_its_token_and_waits_for_an_end() -> None:
    """Whatever is pressed, the waiting on the phone must be ended."""
    pressed = {"callback_query": {"id": "9", "data": "q:1:snow:0:none", "message": {"chat": PRIVATE, "date": 1}}}
    assert meaning_of(pressed) == Meaning(press="9", incoming=(Chose(tokens=("q:1:snow:0:none",)),))
    assert meaning_of({"callback_query": {"id": "9"}}) == Meaning(press="9")


def test_a_place_is_kept_to_about_a_kilometre() -> None:
    """No finer than the work allows."""
    found = meaning_of(message(location={"latitude": 31.123456, "longitude": -81.98765}))
    assert found.incoming == (SharedPlace(latitude=31.12, longitude=-81.99),)
    assert meaning_of(message(location={"latitude": 131, "longitude": 0})).incoming == ()


def test_the_largest_size_of_a_photo_is_taken_and_its_words_come_after_it() -> None:
    """A caption is something said about the picture."""
    sizes = [
        {"file_id": "small", "width": 90, "height": 60},
        {"file_id": "large", "width": 1280, "height": 960, "file_size": 200_000},
        {"file_id": "middle", "width": 320, "height": 240},
    ]
    found = meaning_of(message(photo=sizes, caption="the front"))
    assert found.file is not None
    assert (found.file.id, found.file.size) == ("large", 200_000)
    assert found.incoming == (Said(text="the front"),)


@pytest.mark.parametrize("kind", ["image/jpeg", "image/png", "image/heic"])
def test_a_picture_sent_as_a_file_is_a_picture(kind: str) -> None:
    """People send the original so that it stays sharp."""
    found = meaning_of(message(document={"file_id": "f", "mime_type": kind, "file_size": 9}))
    assert found.file is not None
    assert found.file.id == "f"


@pytest.mark.parametrize(
    ("part", "reply"),
    [
        ({"voice": {}}, "telegram-no-voice"),
        ({"sticker": {}}, "telegram-no-sticker"),
        ({"video": {}}, "telegram-no-video"),
        ({"animation": {}, "document": {"mime_type": "video/mp4"}}, "telegram-no-video"),
        ({"document": {"file_id": "f", "mime_type": "application/pdf"}}, "telegram-no-file"),
        ({"poll": {}}, "telegram-no-other"),
    ],
)
def test_what_cannot_be_handled_gets_a_kind_word(part: dict[str, Any], reply: str) -> None:
    """Silence would look like a fault."""
    assert meaning_of(message(**part)) == Meaning(reply=reply)


def test_a_changed_message_is_not_an_answer() -> None:
    """What was read first counts; the owner is told so."""
    edited = {"edited_message": {"chat": PRIVATE, "text": "17", "date": 1, "edit_date": 2}}
    assert meaning_of(edited) == Meaning(reply="telegram-edited")


def test_groups_are_asked_into_private_only_where_they_speak_to_us() -> None:
    """A chat among many people is none of ours."""
    assert meaning_of(message(chat=GROUP, text="lovely weather")) == Meaning()
    assert meaning_of(message(chat=GROUP, text="/start")) == Meaning(reply="telegram-only-private")
    joined = {"my_chat_member": {"chat": GROUP, "new_chat_member": {"status": "member"}}}
    assert meaning_of(joined) == Meaning(reply="telegram-only-private")
    assert meaning_of(message(chat=GROUP, migrate_to_chat_id=-100777)) == Meaning(moved_to="-100777")


@pytest.mark.parametrize(("status", "is_reachable"), [("kicked", False), ("member", True)])
def test_a_closed_chat_is_told_apart_from_one_that_came_back(status: str, is_reachable: bool) -> None:
    """Closed by its owner, and opened again."""
    member = {"my_chat_member": {"chat": PRIVATE, "new_chat_member": {"status": status}}}
    assert meaning_of(member) == Meaning(is_reachable=is_reachable)


def test_an_update_is_stored_under_its_chat_and_its_album() -> None:
    """Parts of an album wait for each other; everything else is read at once."""
    plain = arrival_of(message(text="hello"), NOW)
    assert (plain.external_id, plain.address, plain.group, plain.wait) == ("u5", "77", None, timedelta(0))
    assert plain.at == datetime.fromtimestamp(1_800_000_000, UTC)
    part = arrival_of(message(photo=[], media_group_id="88"), NOW)
    assert (part.group, part.wait) == ("album:88", timedelta(seconds=2))
    pressed = arrival_of({"update_id": 6, "callback_query": {"message": {"chat": PRIVATE}}}, NOW)
    assert (pressed.address, pressed.at) == ("77", NOW)


_names = st.sampled_from(
    [
        "message", "edited_message", "callback_query", "my_chat_member", "chat", "id", "type", "text", "photo", "date",
        "location", "latitude", "longitude", "document", "mime_type", "file_id", "data", "new_chat_member", "status",
        "media_group_id", "caption", "migrate_to_chat_id", "update_id", "width", "height", "file_size",
    ]
)  # fmt: skip
_json = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(_names, inner, max_size=4),
    max_leaves=20,
)


@given(st.dictionaries(_names, _json, max_size=6))
def test_nothing_shaped_like_an_update_is_ever_an_error(update: dict[str, Any]) -> None:
    """The far side may change what it sends at any time."""
    stored = arrival_of(update, NOW)
    assert meaning_of(json.loads(stored.body)) == meaning_of(update)


@given(st.text(alphabet=st.sampled_from("ab .\n\U0001f33f"), max_size=400), st.integers(10, 60))
def test_long_words_are_cut_and_nothing_is_lost(words: str, longest: int) -> None:
    """No piece is too long as Telegram counts, and all of them together say the same."""
    pieces = split_text(words, longest)
    assert all(len(piece.encode("utf-16-le")) // 2 <= longest for piece in pieces)
    assert "".join("".join(pieces).split()) == "".join(words.split())
