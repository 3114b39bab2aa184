"""What stored updates lead to: presses that are ended, pictures that are fetched, and words of the channel's own."""

from __future__ import annotations

import json
import logging
from io import BytesIO
from typing import Any

import pytest
from PIL import Image

from bot.arrivals import Reach, Reading, StoredArrival
from bot.channels.telegram.inlet import TelegramInlet
from bot.channels.telegram.updates import arrival_of
from bot.errors import TryAgain
from bot.photos.intake import PhotoIntake
from bot.talk.incoming import Incoming, PhotoRefused, Said, SentPhoto
from tests.fakes.bot_api_faults import asks_for_pause, gateway_page, hangs_up, refuses
from tests.fakes.turf import Look, Scene, lawn, packed, photographed
from tests.telegram.conftest import Line


def picture(colour: str = "green", size: tuple[int, int] = (640, 480), **exif: str) -> bytes:
    content = BytesIO()
    image = Image.new("RGB", size, colour)
    tags = image.getexif()
    for text in exif.values():
        tags[0x010E] = text  # what the picture shows, in the owner's words
    image.save(content, "JPEG", exif=tags)
    return content.getvalue()


def as_stored(line: Line, update: dict[str, Any], attempts: int = 0) -> StoredArrival:
    """An update on its way back from the store."""
    new = arrival_of(update, line.house.clock.now())
    return StoredArrival(
        id=1, external_id=new.external_id, address=new.address, at=new.at, body=new.body, attempts=attempts
    )


async def read(line: Line, *updates: dict[str, Any], attempts: int = 0, reach: Reach | None = None) -> Reading:
    inlet = TelegramInlet(line.client, PhotoIntake(), line.house.store.files, line.house.clock)
    return await inlet.read([as_stored(line, update, attempts) for update in updates], reach or Reach())


def incoming(reading: Reading) -> list[Incoming]:
    return [envelope.incoming for envelope in reading.envelopes]


def photo_of(line: Line, sent: Incoming) -> Image.Image:
    """The kept file behind a photo."""
    assert isinstance(sent, SentPhoto)
    content = line.house.store.files.read(sent.photo_id)
    assert content is not None
    return Image.open(BytesIO(content))


async def test_a_photo_is_kept_without_what_it_tells_of_its_owner(line: Line) -> None:
    """Its pixels stay, its notes go."""
    sent = picture(note="42 Marsh Lane")
    assert b"42 Marsh Lane" in sent
    reading = await read(line, line.api.people.sends_document(77, sent))

    kept = photo_of(line, incoming(reading)[0])
    assert kept.size == (640, 480)
    assert dict(kept.getexif()) == {}


async def test_words_under_a_photo_come_after_it(line: Line) -> None:
    """Each under an id of its own, so that both count once."""
    reading = await read(line, update := line.api.people.sends_photo(77, picture(), caption="the front"))

    seen, words = incoming(reading)
    assert isinstance(seen, SentPhoto)
    assert words == Said(text="the front")
    number = update["update_id"]
    assert [each.external_id for each in reading.envelopes] == [f"u{number}", f"u{number}:1"]


async def test_an_album_is_a_photo_each_in_order(line: Line) -> None:
    """One that is too small does not take the others along."""
    pictures = [picture("green"), picture("brown", size=(200, 200)), picture("white")]
    reading = await read(line, *line.api.people.sends_album(77, pictures))

    first, second, third = incoming(reading)
    assert second == PhotoRefused(reason="too_small")
    assert [photo_of(line, each).getpixel((5, 5))[1] > 200 for each in (first, third)] == [False, True]  # type: ignore[index]


async def test_photos_of_an_album_say_that_more_come(line: Line) -> None:
    """But the last, and one before what cannot be used: so that one answer does for all."""
    pictures = [picture("green"), picture("brown"), picture("red", size=(200, 200)), picture("white"), picture("blue")]
    sent = incoming(await read(line, *line.api.people.sends_album(77, pictures)))

    assert [each.more for each in sent if isinstance(each, SentPhoto)] == [True, False, True, False]


@pytest.mark.parametrize(("caption", "heard"), [("with white paper", []), ("back, with paper", ["back, with paper"])])
async def test_a_caption_may_name_the_paper_in_the_photo(line: Line, caption: str, heard: list[str]) -> None:
    """Then it is read in blue light too. Words about the paper alone answer nothing, so the talk does not hear them."""
    seen = lawn(Scene(truth_percent=30, blade_px=7, seed=7, size=(640, 480), paper=True))
    content = packed(photographed(seen, Look(cast=-0.35)))
    sent, *said = incoming(await read(line, line.api.people.sends_photo(77, content, caption=caption)))

    assert isinstance(sent, SentPhoto)
    assert sent.cover is not None
    assert sent.cover.reason == ""
    assert said == [Said(text=each) for each in heard]


async def test_a_file_that_says_it_is_too_big_is_not_fetched(line: Line) -> None:
    """The owner is told; not a byte of it comes here."""
    update = line.api.people.sends_document(77, picture(), file_size=20_000_001)

    assert incoming(await read(line, update)) == [PhotoRefused(reason="too_big")]
    assert line.api.count("getFile") == 0


async def test_a_file_that_turns_out_too_big_is_told_so(line: Line) -> None:
    """Also where the message hid its length."""
    update = line.api.people.sends_document(77, picture(), file_size=30_000_000)
    del update["message"]["document"]["file_size"]

    assert incoming(await read(line, update)) == [PhotoRefused(reason="too_big")]


@pytest.mark.parametrize(
    "faults",
    [
        [refuses(500, method="getFile")],
        [gateway_page(404, method="getFile")],
        [asks_for_pause(1, method="getFile")],
        [hangs_up(after_taking=True, method="getFile")],
        [refuses(401, "Unauthorized", method="getFile")],
        [hangs_up(after_taking=False, method="download")] * 2,  # a file is asked for once more at once
        [refuses(500, method="download")],
    ],
)
async def test_a_photo_that_cannot_be_had_now_is_fetched_later(line: Line, faults: list[Any]) -> None:
    """It is read again; what was sent is not refused for what is no fault of its owner."""
    update = line.api.people.sends_photo(77, picture())
    line.api.next_calls(*faults)
    with pytest.raises(TryAgain):
        await read(line, update)

    assert isinstance(incoming(await read(line, update, attempts=1))[0], SentPhoto)


async def test_a_photo_nobody_finds_is_given_up_after_some_tries(line: Line) -> None:
    """The same word means "gone" and "not there yet"."""
    update = line.api.people.sends_photo(77, picture())
    line.api.files.contents.clear()
    for attempts in (0, 1):
        with pytest.raises(TryAgain):
            await read(line, update, attempts=attempts)

    assert incoming(await read(line, update, attempts=2)) == [PhotoRefused(reason="broken")]


async def test_a_photo_waits_while_too_many_are_opened(line: Line) -> None:
    """Being busy is ours: nothing is refused for it."""
    inlet = TelegramInlet(
        line.client, PhotoIntake(at_once=0, wait_seconds=0.01), line.house.store.files, line.house.clock
    )
    with pytest.raises(TryAgain):
        await inlet.read([as_stored(line, line.api.people.sends_photo(77, picture()))], Reach())


async def test_a_press_counts_though_its_waiting_cannot_be_ended(line: Line) -> None:
    """What somebody meant matters more than a circle that turns."""
    message = line.api.people.message(77, text="Which?")
    update = line.api.people.presses_button(77, "q:1:snow:0:none", message["message_id"])
    for fault in (
        refuses(500, method="answerCallbackQuery"),
        hangs_up(after_taking=False, method="answerCallbackQuery"),
    ):
        line.api.next_calls(fault)
        assert len((await read(line, update)).envelopes) == 1


async def test_what_belongs_to_nobody_leads_to_nothing(line: Line) -> None:
    """There would be nobody to answer; the press is ended all the same."""
    nobody: dict[str, Any] = {"type": "private"}
    assert await read(line, {"update_id": 1, "message": {"chat": nobody, "text": "hello"}}) == Reading()
    assert await read(line, {"update_id": 2, "message": {"chat": nobody, "voice": {}}}) == Reading()
    pressed = line.api.people.presses_button(77, "x", line.api.people.message(77, text="Which?")["message_id"])
    del pressed["callback_query"]["message"]
    assert await read(line, pressed) == Reading()
    assert len(line.api.answered) == 1


async def test_the_same_word_is_said_once_for_an_album(line: Line) -> None:
    """Three films in one message are answered once."""
    films = [
        {"update_id": number, "message": {"chat": {"id": 77, "type": "private"}, "video": {}, "media_group_id": "8"}}
        for number in range(3)
    ]
    assert (await read(line, *films)).replies == ("telegram-no-video",)


async def test_whoever_writes_can_be_written_to(line: Line) -> None:
    """A chat that counted as closed is open when its owner speaks; nothing is said of one that never was closed."""
    closed = Reach(is_unreachable=True)
    update = line.api.people.says(77, "hello")
    assert (await read(line, update, reach=closed)).is_reachable is True
    assert (await read(line, update)).is_reachable is None
    assert (await read(line, line.api.people.blocks(77), reach=closed)).is_reachable is False


async def test_what_nobody_knows_is_noted_without_its_content(line: Line, caplog: pytest.LogCaptureFixture) -> None:
    """A later version may send what we have no word for."""
    caplog.set_level(logging.INFO, logger="bot")
    unknown = {"update_id": 1, "message": {"chat": {"id": 77, "type": "private"}, "hologram": {"of": "my lawn"}}}

    assert await read(line, unknown) == Reading()
    assert "nothing that is read here" in caplog.text
    assert not any(word in caplog.text for word in ("hologram", "my lawn", "77"))


@pytest.mark.parametrize("body", ["[]", "7", "null", '"words"', "{}"])
async def test_what_is_no_update_leads_to_nothing(line: Line, body: str) -> None:
    """Whatever lies in the store, reading it is no error."""
    odd = as_stored(line, {"update_id": 1})
    inlet = TelegramInlet(line.client, PhotoIntake(), line.house.store.files, line.house.clock)
    arrival = StoredArrival(
        id=1, external_id="u1", address="77", at=odd.at, body=json.dumps(json.loads(body)), attempts=0
    )
    assert await inlet.read([arrival], Reach()) == Reading()
