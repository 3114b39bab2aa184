from __future__ import annotations

import asyncio
import logging
from dataclasses import replace
from pathlib import Path

import pytest

from bot.errors import StoreError
from bot.store import database, inbox
from bot.talk.case import Homeowner
from bot.talk.effects import Reminder
from bot.talk.incoming import Arrived, Chose, Incoming, SentPhoto, SharedPlace
from tests.fakes.house import House, open_house
from tests.fakes.small_talk import TALK, lines_of, number_of

PHOTO = "ab" * 32


async def test_state_and_reply_are_on_disk_when_take_in_returns(house: House) -> None:
    """What `take_in` acknowledges can be read by another process."""
    await house.hear("anna", "good morning")

    assert house.rows("SELECT channel, address, rev FROM homeowner") == [("web", "anna", 1)]
    assert house.rows("SELECT address, state, due_ms FROM outbox") == [("anna", 0, 0)]
    assert await house.told("anna") == ["counted 1 good morning"]


async def test_same_message_three_times_has_one_effect(house: House) -> None:
    """A repeat returns quietly and does nothing, one after the other or all at once."""
    for _ in range(3):
        await house.hear("anna", "hello", external_id="m1")
    await asyncio.gather(*(house.hear("bert", "hello", external_id="m2") for _ in range(3)))

    assert await house.told("anna") == ["counted 1 hello"]
    assert await house.told("bert") == ["counted 1 hello"]
    assert house.value("SELECT count(*) FROM inbox") == 2


async def test_same_id_on_another_channel_is_another_message(house: House) -> None:
    """A channel's message ids are its own."""
    await house.hear("anna", "hello", external_id="m1")
    await house.service.take_in(replace(house.envelope("anna", "hello", "m1"), channel="terminal"))

    assert house.value("SELECT count(*) FROM inbox") == 2


async def test_ten_messages_of_one_chat_at_once_keep_their_order(house: House) -> None:
    """Messages of one homeowner are taken in the order they were handed in."""
    await asyncio.gather(*(house.hear("anna", f"line {number}") for number in range(10)))

    homeowner = await house.store.homeowner(1)
    assert homeowner is not None
    assert lines_of(homeowner) == [f"line {number}" for number in range(10)]
    assert await house.told("anna") == [f"counted {number + 1} line {number}" for number in range(10)]


async def test_messages_of_many_chats_share_commits(house: House) -> None:
    """64 chats that write at once cost far fewer commits than messages, and each still gets its own answer."""
    chats = [f"chat-{number}" for number in range(64)]

    async def talk(address: str) -> None:
        for number in range(5):
            await house.hear(address, f"line {number}")

    await asyncio.gather(*(talk(address) for address in chats))

    assert house.value("SELECT count(*) FROM inbox") == 320
    assert house.commits <= 32
    for address in chats:
        assert (await house.told(address))[-1] == "counted 5 line 4"


async def test_a_batch_costs_the_same_number_of_statements_whatever_its_size(house: House) -> None:
    """Sixty chats in one transaction need no more statements than two."""
    chats = [f"chat-{number}" for number in range(60)]
    await asyncio.gather(*(house.hear(address, "hello") for address in chats))

    few: list[str] = []
    many: list[str] = []
    for counted, who in ((few, chats[:2]), (many, chats)):
        with house.statements(counted):
            await asyncio.gather(*(house.hear(address, "again") for address in who))

    assert len(few) == len(many)
    assert len(many) <= 10


async def test_a_turn_that_raises_leaves_the_others_of_its_batch_alone(
    house: House, caplog: pytest.LogCaptureFixture
) -> None:
    """The failed message is kept as failed, its homeowner is told, and no words of it reach the log."""
    await house.hear("anna", "hello")
    before = await house.store.homeowner(1)
    await asyncio.gather(
        house.hear("anna", "break my secret garden"), house.hear("bert", "hello"), house.hear("carl", "hello")
    )

    assert await house.store.homeowner(1) == before
    assert await house.told("anna") == ["counted 1 hello", "broke"]
    assert await house.told("bert") == await house.told("carl") == ["counted 1 hello"]
    ((state, error),) = house.rows("SELECT state, error FROM inbox WHERE body LIKE '%secret%'")
    assert state == 1
    assert error.startswith("ToldToBreak in _answered")
    assert "ToldToBreak" in caplog.text
    assert "secret" not in caplog.text


async def test_a_chat_goes_on_after_a_turn_that_raised(house: House) -> None:
    """Later messages, even of the same batch, find the homeowner as before the failure."""
    await asyncio.gather(*(house.hear("anna", words) for words in ("one", "break", "three")))

    assert await house.told("anna") == ["counted 1 one", "broke", "counted 2 three"]
    homeowner = await house.store.homeowner(1)
    assert homeowner is not None
    assert lines_of(homeowner) == ["one", "three"]


async def test_a_newcomer_whose_first_message_breaks_is_still_answered(house: House) -> None:
    """Nothing is stored of them but the message; the next one meets them as somebody new."""
    await house.hear("anna", "break")
    assert house.rows("SELECT doc, rev FROM homeowner") == [(None, 1)]
    assert await house.store.homeowner(1) is None

    await house.hear("anna", "hello")
    assert await house.told("anna") == ["broke", "counted 1 hello"]


@pytest.mark.parametrize("words", ["bad value", "bad words"])
async def test_what_cannot_be_stored_or_said_counts_as_a_turn_that_raised(house: House, words: str) -> None:
    """A value that could not be loaded again, or words that cannot be rendered: nothing of the turn happened."""
    await asyncio.gather(house.hear("anna", words), house.hear("bert", "hello"))

    assert await house.told("anna") == ["broke"]
    assert await house.told("bert") == ["counted 1 hello"]
    assert house.rows("SELECT doc FROM homeowner WHERE address = 'anna'") == [(None,)]


async def test_a_homeowner_who_cannot_be_loaded_breaks_only_their_own_turns(house: House) -> None:
    """A damaged document stays as it is for somebody to repair, and the others of the batch do not notice."""
    await asyncio.gather(house.hear("anna", "hello"), house.hear("bert", "hello"))
    await house.change("""UPDATE homeowner SET doc = '{"version":1,"colour":"green"}' WHERE address = 'anna'""")

    await asyncio.gather(house.hear("anna", "again"), house.hear("bert", "again"))

    assert await house.told("anna") == ["counted 1 hello", "broke"]
    assert await house.told("bert") == ["counted 1 hello", "counted 2 again"]
    assert house.value("SELECT doc FROM homeowner WHERE address = 'anna'") == '{"version":1,"colour":"green"}'


@pytest.mark.usefixtures("refusals")
async def test_rows_the_database_refuses_break_only_the_turn_they_belong_to(tmp_path: Path) -> None:
    """A number no database takes: the batch is taken again one by one, and only the culprit fails."""

    def too_many_lawns(homeowner: Homeowner) -> frozenset[Reminder]:
        wanted = TALK.wanted_reminders(homeowner)
        return frozenset(replace(one, lawn=2**70) if one.task == "huge" else one for one in wanted)

    async with open_house(tmp_path, talk=replace(TALK, wanted_reminders=too_many_lawns)) as house:
        await asyncio.gather(
            house.hear("anna", "remind cut 2026-03-01 09:00"),
            house.hear("bert", "remind huge 2026-03-01 09:00"),
            house.hear("carl", "hello"),
        )

        assert await house.told("anna") == ["counted 1 remind cut 2026-03-01 09:00"]
        assert await house.told("bert") == ["broke"]
        assert await house.told("carl") == ["counted 1 hello"]
        assert house.rows("SELECT task FROM reminder") == [("cut",)]


async def test_half_characters_are_stored_as_question_marks(house: House) -> None:
    """Phones can send halves of characters; no database takes them, and no chat may get stuck on them."""
    await house.hear("anna", "grass \ud83d green")
    await house.hear("anna", Chose(tokens=("\udc00ok",)))

    homeowner = await house.store.homeowner(1)
    assert homeowner is not None
    assert lines_of(homeowner) == ["grass ? green"]
    assert number_of(homeowner) == 2


async def test_every_kind_of_incoming_comes_back_from_the_record(house: House) -> None:
    """The inbox holds what came in exactly as it came in."""
    came_in: tuple[Incoming, ...] = (
        Arrived(),
        SharedPlace(latitude=31.15, longitude=-81.49),
        Chose(tokens=("a", "b")),
        SentPhoto(photo_id=PHOTO),
    )
    for one in came_in:
        await house.hear("anna", one)

    assert [entry.incoming for entry in await house.conversation("anna") if entry.incoming] == list(came_in)


async def test_effects_become_rows(house: House) -> None:
    """A question for a person, a photo to file and a copy of the data are rows of the same transaction."""
    await house.hear("anna", "person is this grub damage")
    await house.hear("anna", SentPhoto(photo_id=PHOTO))
    await house.hear("anna", "data")

    assert house.rows("SELECT homeowner_id, lawn, question, closed_ms FROM handover") == [
        (1, 1, "person is this grub damage", None)
    ]
    assert house.rows("SELECT photo_id, lawn, spot, shown_on FROM photo") == [(PHOTO, 1, "front", "2026-02-10")]
    assert house.rows("SELECT kind, body FROM outbox ORDER BY id DESC LIMIT 1") == [(1, "")]


async def test_several_messages_of_one_turn_are_queued_in_order(house: House) -> None:
    """What one turn says comes out in the order it was said."""
    await house.hear("anna", "two")

    assert await house.told("anna") == ["first 1", "second 1"]


async def test_a_turn_may_say_nothing(house: House) -> None:
    """Silence is an answer too; the turn still counts."""
    await house.hear("anna", "quiet")

    assert await house.told("anna") == []
    assert house.value("SELECT rev FROM homeowner") == 1


async def test_two_addresses_of_one_homeowner_share_one_conversation(house: House) -> None:
    """Answers go to where the question came from; both see the same homeowner, also within one batch."""
    await house.hear("phone", "hello")
    await house.change("INSERT INTO contact (channel, address, homeowner_id) VALUES ('web', 'laptop', 1)")

    await asyncio.gather(house.hear("laptop", "one"), house.hear("phone", "three"))

    assert house.rows("SELECT address FROM outbox ORDER BY id") == [("phone",), ("laptop",), ("phone",)]
    assert await house.told("laptop") == ["counted 1 hello", "counted 2 one", "counted 3 three"]
    assert house.value("SELECT address FROM homeowner") == "phone"


async def test_a_locked_database_is_tried_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A write that cannot be done now is done when the lock is gone."""
    monkeypatch.setattr(database, "BUSY_TIMEOUT_MS", 20)
    async with open_house(tmp_path) as house:
        async with house.locked():
            taking = asyncio.create_task(house.hear("anna", "hello"))
            await asyncio.sleep(0.05)
            assert not taking.done()
        await taking

        assert await house.told("anna") == ["counted 1 hello"]


async def test_a_database_that_stays_locked_gives_the_message_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The adapter is told, so it can hand the message in again; nothing of it was kept meanwhile."""
    monkeypatch.setattr(database, "BUSY_TIMEOUT_MS", 10)
    monkeypatch.setattr("bot.service.PAUSES_SECONDS", (0.01, 0.01))
    async with open_house(tmp_path) as house:
        async with house.locked():
            with pytest.raises(StoreError, match="database is locked"):
                await house.hear("anna", "hello", external_id="m1")
        assert house.value("SELECT count(*) FROM inbox") == 0

        await house.hear("anna", "hello", external_id="m1")
        assert await house.told("anna") == ["counted 1 hello"]


async def test_nothing_is_taken_in_after_closing(house: House) -> None:
    """What was handed in before closing is done; what comes after is given back."""
    taking = asyncio.create_task(house.hear("anna", "hello"))
    await asyncio.sleep(0)
    await house.service.close()

    assert taking.done()
    with pytest.raises(StoreError, match="stopping"):
        await house.hear("anna", "again")


async def test_a_caller_who_gives_up_does_not_stop_the_batch(house: House) -> None:
    """A web request that is dropped half-way leaves the others of its batch alone, and its message is taken."""
    dropped = asyncio.create_task(house.hear("anna", "hello"))
    kept = asyncio.create_task(house.hear("bert", "hello"))
    await asyncio.sleep(0.001)
    dropped.cancel()
    await kept
    await house.service.close()

    assert await house.told("anna") == await house.told("bert") == ["counted 1 hello"]


async def test_a_naive_instant_is_refused_before_anything_is_stored(house: House) -> None:
    """An envelope without a zone is a mistake of the adapter, and says so to the adapter."""
    envelope = replace(house.envelope("anna", "hello"), at=house.clock.now().replace(tzinfo=None))
    with pytest.raises(TypeError, match="offset-naive"):
        await house.service.take_in(envelope)
    assert house.value("SELECT count(*) FROM inbox") == 0


async def test_the_homeowner_can_be_worked_out_again_from_the_inbox(house: House) -> None:
    """Folding what came in through the conversation, at the instants written beside it, gives the stored homeowner."""
    for words in ("hello", "remind cut 2026-02-10 11:00", "break", "zone America/Chicago", "two"):
        house.clock.set(house.clock.now().replace(microsecond=123_456))
        await house.hear("anna", words)
        house.pass_time(minutes=17)
    house.pass_time(hours=3)
    assert await house.bring_up_all() == 1

    async with house.store.database.read() as tx:
        rows = await inbox.of_homeowner(tx, 1)
    homeowner: Homeowner | None = None
    for row in rows:
        if row.is_handled:
            homeowner = TALK.reduce(homeowner, row.incoming, row.at, None).homeowner
    assert homeowner == await house.store.homeowner(1)
    assert len(rows) == 6


async def test_the_service_says_when_something_was_committed(house: House) -> None:
    """The courier is woken once a commit."""
    await house.hear("anna", "hello")
    await house.hear("anna", "hello")

    assert house.woken == house.commits == 2


@pytest.mark.usefixtures("refusals")
async def test_log_of_a_refused_batch_names_no_address(house: House, caplog: pytest.LogCaptureFixture) -> None:
    """Even the database's own errors reach the log without the values of its statements."""
    caplog.set_level(logging.DEBUG, logger="bot")
    await house.change("CREATE TRIGGER no BEFORE INSERT ON contact BEGIN SELECT raise(ABORT, 'no more'); END")
    with pytest.raises(StoreError):
        await house.hear("anna-at-home", "hello")

    assert "refused" in caplog.text
    assert "anna-at-home" not in caplog.text
