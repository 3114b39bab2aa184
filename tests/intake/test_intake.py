from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator, Sequence
from datetime import timedelta
from pathlib import Path

import pytest

from bot.arrivals import Consent, ConsentNote, DeliveryNote, NewArrival, Reach, Reading, StoredArrival
from bot.envelope import Envelope
from bot.errors import StoreError, TryAgain
from bot.intake import Intake
from bot.store import reaches
from bot.talk.incoming import Said
from bot.talk.ports import Rendered
from tests.fakes.house import House, open_house


class Reader:
    """An inlet that reads what it was sent as instructions, and notes in which order it did."""

    name = "web"

    def __init__(self) -> None:
        self.read_ids: list[str] = []
        self.groups: list[list[str]] = []
        self.reaches: list[Reach] = []
        self.gates: dict[str, asyncio.Event] = {}

    async def read(self, arrivals: Sequence[StoredArrival], reach: Reach) -> Reading:
        """Do what the body says."""
        first = arrivals[0]
        asked = json.loads(first.body)
        self.reaches.append(reach)
        self.groups.append([each.external_id for each in arrivals])
        if gate := self.gates.get(first.external_id):
            await gate.wait()
        if asked.get("again") and first.attempts < asked["again"]:
            raise TryAgain("later", after_seconds=30)
        if asked.get("break"):
            raise ValueError("cannot be read")
        self.read_ids += [each.external_id for each in arrivals]
        return self._reading(arrivals, asked)

    def _reading(self, arrivals: Sequence[StoredArrival], asked: dict[str, object]) -> Reading:
        envelopes = tuple(
            Envelope(
                channel=self.name,
                address=each.address,
                external_id=each.external_id,
                at=each.at,
                incoming=Said(text=json.loads(each.body)["say"]),
            )
            for each in arrivals
            if "say" in json.loads(each.body)
        )
        consent = asked.get("consent")
        note = ConsentNote(consent=Consent(consent), said="yes", shown="ask", source="text") if consent else None
        return Reading(
            envelopes=() if asked.get("hold") else envelopes,
            replies=tuple(asked.get("replies", ())),  # type: ignore[arg-type]
            consent=(note,) if note else (),
            is_reachable=asked.get("reachable"),  # type: ignore[arg-type]
            is_held=bool(asked.get("hold")),
            moved_to=asked.get("moved"),  # type: ignore[arg-type]
            is_purging=bool(asked.get("purge")),
            deliveries=tuple(DeliveryNote(far_id=each, is_failed=True) for each in asked.get("failed", ())),  # type: ignore[attr-defined]
        )


class Desk:
    """A house with an intake."""

    def __init__(self, house: House) -> None:
        self.house = house
        self.reader = Reader()
        self.intake = self.opened()

    def opened(self) -> Intake:
        """An intake as a new process would have it."""
        return Intake(
            self.house.store,
            self.house.service,
            [self.reader],
            self.house.clock,
            speak=lambda _channel, key: Rendered(text=key),
            committed=lambda: None,
        )

    async def come(self, address: str, external_id: str, *, bundle: str | None = None, **asked: object) -> None:
        """Something comes in."""
        await self.intake.store("web", [self.arrival(address, external_id, bundle=bundle, **asked)])

    def arrival(self, address: str, external_id: str, *, bundle: str | None = None, **asked: object) -> NewArrival:
        return NewArrival(
            external_id=external_id,
            address=address,
            at=self.house.clock.now(),
            body=json.dumps(asked),
            group=bundle,
            wait=timedelta(seconds=2 if bundle else 0),
        )

    def waiting(self) -> int:
        return int(self.house.value("SELECT count(*) FROM arrival WHERE state = 0"))

    async def until_read(self, left: int = 0) -> None:
        """Wait until so many are left."""
        async with asyncio.timeout(10):
            while self.waiting() != left:  # noqa: ASYNC110 - what is waited for happens in a database file
                await asyncio.sleep(0.002)

    async def restart(self) -> None:
        await self.intake.stop(0)
        self.intake = self.opened()
        self.intake.start()


@pytest.fixture
async def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> AsyncIterator[Desk]:
    monkeypatch.setattr("bot.intake.LOOK_AGAIN_SECONDS", 0.01)
    async with open_house(tmp_path) as house:
        opened = Desk(house)
        yield opened
        await opened.intake.stop(5)


async def test_what_came_in_reaches_the_conversation_once(desk: Desk) -> None:
    """A repeat of what was stored, before and after it was read, has no effect."""
    await desk.come("anna", "1", say="hello")
    await desk.come("anna", "1", say="hello")
    desk.intake.start()
    await desk.until_read()
    await desk.come("anna", "1", say="hello")
    await desk.come("anna", "2", say="again")
    await desk.until_read()

    assert await desk.house.told("anna") == ["counted 1 hello", "counted 2 again"]


async def test_what_was_read_leaves_only_a_digest(desk: Desk) -> None:
    """Neither words nor the far side's ids are kept beside the conversation."""
    desk.intake.start()
    await desk.come("anna", "secret-id", say="secret words")
    await desk.until_read()

    assert desk.house.rows("SELECT body, external_id FROM arrival") == [("", "")]


async def test_the_cursor_moves_with_what_was_stored(desk: Desk) -> None:
    """How far a channel has got is on disk with what came, or neither is."""
    assert await desk.intake.cursor("web") is None
    await desk.intake.store("web", [desk.arrival("anna", "1", say="hello")], cursor=12)
    async with desk.house.locked():
        async with desk.house.store.database.writer.connect() as connection:
            driver = (await connection.get_raw_connection()).driver_connection
            assert driver is not None
            await (await driver.execute("PRAGMA busy_timeout=5")).close()
        with pytest.raises(StoreError):
            await desk.intake.store("web", [desk.arrival("anna", "2", say="hello")], cursor=13)

    assert await desk.intake.cursor("web") == 12
    assert desk.waiting() == 1


async def test_order_in_a_chat_is_kept_and_chats_do_not_wait_for_each_other(desk: Desk) -> None:
    """One arrival that takes long holds up its own chat, and no other."""
    desk.reader.gates["a1"] = asyncio.Event()
    desk.intake.start()
    for number in (1, 2, 3):
        await desk.come("anna", f"a{number}", say=f"line {number}")
        await desk.come("bert", f"b{number}", say=f"line {number}")
    await desk.until_read(left=3)
    assert desk.reader.read_ids == ["b1", "b2", "b3"]
    desk.reader.gates["a1"].set()
    await desk.until_read()

    assert await desk.house.told("anna") == [f"counted {number} line {number}" for number in (1, 2, 3)]


async def test_a_chat_passed_over_in_one_round_is_not_read_further_on_in_it(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It was busy at its second line and free at its third: the third must wait for the second."""
    monkeypatch.setattr("bot.intake.PAGE", 2)
    monkeypatch.setattr("bot.intake.CHATS_AT_ONCE", 2)
    desk.intake = desk.opened()
    for held in ("a1", "b1", "c1"):
        desk.reader.gates[held] = asyncio.Event()
    for address, external_id in (("a", "a1"), ("b", "b1"), ("a", "a2"), ("c", "c1"), ("a", "a3"), ("d", "d1")):
        await desk.come(address, external_id, say=external_id)
    desk.intake.start()
    while len(desk.reader.groups) < 2:  # noqa: ASYNC110 - the reader tells nobody
        await asyncio.sleep(0.002)
    await asyncio.sleep(0.02)
    for held in ("a1", "c1", "b1"):
        desk.reader.gates[held].set()
        await asyncio.sleep(0.02)
    await desk.until_read()

    assert [each for each in desk.reader.read_ids if each.startswith("a")] == ["a1", "a2", "a3"]


async def test_an_album_is_read_together_and_what_came_after_it_waits(desk: Desk) -> None:
    """Its parts come one by one without an end mark."""
    desk.intake.start()
    await desk.come("anna", "1", bundle="album", say="one")
    await desk.come("anna", "2", bundle="album", say="both")
    await desk.come("anna", "3", say="and words")
    await asyncio.sleep(0.05)
    assert desk.reader.groups == []

    desk.house.pass_time(seconds=3)
    await desk.until_read()
    assert desk.reader.groups == [["1", "2"], ["3"]]
    assert await desk.house.told("anna") == ["counted 1 one", "counted 2 both", "counted 3 and words"]


async def test_a_far_side_in_trouble_is_asked_again_and_the_chat_waits(desk: Desk) -> None:
    """A picture that cannot be fetched for the moment holds up what came after it."""
    desk.intake.start()
    await desk.come("anna", "1", say="one", again=1)
    await desk.come("anna", "2", say="both")
    await desk.until_read(left=2)
    await asyncio.sleep(0.05)
    assert desk.reader.read_ids == []

    desk.house.pass_time(seconds=31)
    await desk.until_read()
    assert desk.reader.read_ids == ["1", "2"]


async def test_what_cannot_be_read_is_kept_and_its_sender_told(desk: Desk, caplog: pytest.LogCaptureFixture) -> None:
    """After three tries it stands aside for a person; what came after it goes on."""
    desk.intake.start()
    await desk.come("anna", "1", **{"break": True, "say": "secret words"})
    await desk.come("anna", "2", say="both")
    for _ in range(3):
        await asyncio.sleep(0.05)
        desk.house.pass_time(seconds=60)
    await desk.until_read()

    assert desk.house.rows("SELECT state, attempts FROM arrival ORDER BY id") == [(2, 2), (1, 0)]
    assert await desk.house.told("anna") == ["counted 1 both"]
    assert desk.house.rows("SELECT json_extract(body, '$.text') FROM outbox WHERE homeowner_id IS NULL") == [("broke",)]
    assert "kept unread" in caplog.text
    assert "secret words" not in caplog.text


@pytest.mark.parametrize("stop_after", [0.0, 0.003, 0.01, 0.03])
async def test_killed_at_any_moment_nothing_is_lost_and_nothing_comes_twice(desk: Desk, stop_after: float) -> None:
    """Whatever was stored reaches the conversation once, in order."""
    for number in range(40):
        await desk.come(f"chat-{number % 4}", str(number), say=f"line {number}", replies=[f"own {number}"])
    desk.intake.start()
    for _ in range(3):
        await asyncio.sleep(stop_after)
        await desk.restart()
    await desk.until_read()

    for chat in range(4):
        lines = [number for number in range(40) if number % 4 == chat]
        told = await desk.house.told(f"chat-{chat}")
        assert told == [f"counted {place} line {number}" for place, number in enumerate(lines, start=1)]
    own = [
        text
        for (text,) in desk.house.rows("SELECT json_extract(body, '$.text') FROM outbox WHERE homeowner_id IS NULL")
    ]
    assert sorted(own) == sorted(f"own {number}" for number in range(40))


async def test_what_must_wait_for_consent_is_read_after_it(desk: Desk) -> None:
    """The words somebody began with are not lost while they are asked whether they agree."""
    desk.intake.start()
    await desk.come("anna", "1", say="my lawn is brown", hold=True, replies=["ask"])
    await desk.until_read()
    assert await desk.house.told("anna") == []
    await desk.house.change("UPDATE arrival SET body = ? WHERE state = 3", json.dumps({"say": "my lawn is brown"}))
    await desk.come("anna", "2", consent=2)
    await asyncio.sleep(0.05)
    await desk.until_read()

    assert await desk.house.told("anna") == ["counted 1 my lawn is brown"]
    async with desk.house.store.database.read() as tx:
        record = await reaches.record_of(tx, "web", "anna")
        assert (await reaches.of(tx, "web", "anna")).consent is Consent.GIVEN
    assert [(entry.consent, entry.said, entry.shown, entry.source) for entry in record] == [
        (Consent.GIVEN, "yes", "ask", "text")
    ]


async def test_a_wish_to_stop_takes_back_what_waits_but_not_its_own_answer(desk: Desk) -> None:
    """Everything queued before it goes; the confirmation stays."""
    await desk.house.hear("anna", "two")
    assert desk.house.value("SELECT count(*) FROM outbox WHERE state = 0") == 2
    desk.intake.start()
    await desk.come("anna", "1", say="stop", purge=True, consent=3)
    await desk.until_read()

    assert desk.house.rows("SELECT json_extract(body, '$.text') FROM outbox") == [("counted 2 stop",)]


async def test_a_chat_that_was_closed_and_opened_again(desk: Desk) -> None:
    """What waits for it is given up; it is known as reachable again when it says so."""
    await desk.house.hear("anna", "two")
    desk.intake.start()
    await desk.come("anna", "1", reachable=False)
    await desk.until_read()
    assert desk.house.rows("SELECT state FROM outbox") == [(2,), (2,)]
    assert desk.house.value("SELECT unreachable_ms FROM reach") is not None

    await desk.come("anna", "2", reachable=True)
    await desk.until_read()
    assert desk.house.value("SELECT unreachable_ms FROM reach") is None


async def test_a_chat_that_moved_goes_on_under_its_new_address(desk: Desk) -> None:
    """Whoever wrote from the old address writes from the new one, with everything they told."""
    await desk.house.hear("anna", "my grass is brown")
    desk.intake.start()
    await desk.come("anna", "1", moved="anna-2")
    await desk.until_read()
    await desk.house.hear("anna-2", "hello again")

    assert await desk.house.told("anna-2") == ["counted 1 my grass is brown", "counted 2 hello again"]
    assert desk.house.rows("SELECT DISTINCT address FROM outbox WHERE state = 0") == [("anna-2",)]


async def test_two_final_failures_close_an_address(desk: Desk) -> None:
    """One may be a moment's trouble; a repeat of the same receipt counts once."""
    await desk.house.hear("anna", "two")
    await desk.house.change("UPDATE outbox SET state = 1, far_id = 'far-' || id")
    desk.intake.start()
    await desk.come("", "r1", failed=["far-1"])
    await desk.come("", "r2", failed=["far-1"])
    await desk.until_read()
    assert desk.house.rows("SELECT failures, unreachable_ms FROM reach") == [(1, None)]

    await desk.come("", "r3", failed=["far-2"])
    await desk.until_read()
    assert desk.house.value("SELECT unreachable_ms FROM reach WHERE address = 'anna'") is not None
