from __future__ import annotations

import json
from pathlib import Path

from bot.store import handovers
from bot.store.store import Store
from bot.talk.incoming import Chose, Said, SentPhoto
from tests.fakes.house import House, open_house


async def test_a_conversation_reads_in_the_order_it_was_held(house: House) -> None:
    """Each thing said stands before what was told in answer to it, also when many were stored at once."""
    await house.hear("anna", "one")
    await house.hear("bert", "elsewhere")
    await house.hear("anna", "two")
    await house.hear("anna", Chose(tokens=("ok",)))

    entries = await house.conversation("anna")
    shown = [entry.incoming or (entry.rendered and entry.rendered.text) for entry in entries]
    assert shown == [
        Said(text="one"),
        "counted 1 one",
        Said(text="two"),
        "first 2",
        "second 2",
        Chose(tokens=("ok",)),
        "hello 3",
    ]


async def test_a_conversation_can_be_read_on_from_a_turn(house: House) -> None:
    """A page that knows the last turn gets exactly what came after it."""
    await house.hear("anna", "one")
    seen = (await house.conversation("anna"))[-1].turn
    assert await house.store.entries(1, after=seen) == []

    await house.hear("anna", "three")
    assert [entry.rendered.text for entry in await house.store.entries(1, after=seen) if entry.rendered] == [
        "counted 2 three"
    ]


async def test_a_copy_of_the_data_holds_everything_and_nothing_of_others(house: House) -> None:
    """Addresses, answers, both sides of the talk, reminders, photos and questions, as plain data."""
    await house.hear("anna", "person about grubs")
    await house.hear("anna", "remind cut 2026-03-01 09:00")
    await house.hear("anna", SentPhoto(photo_id="ab" * 32))
    await house.hear("anna", "break")
    await house.hear("bert", "a stranger's words")

    copy = await house.store.export_homeowner(1)
    written = json.dumps(copy)

    assert copy["addresses"] == [{"channel": "web", "address": "anna"}]
    for part in ("about grubs", "passed 1", "2026-03-01T14:00:00+00:00", "ab" * 32, "broke", '"handled": false'):
        assert part in written, part
    assert "stranger" not in written
    assert {name: len(part) for name, part in copy.items() if isinstance(part, list)} == {
        "addresses": 1,
        "consent": 0,
        "came_in": 4,
        "told": 4,
        "reminders": 1,
        "photos": 1,
        "notes_about_them": 0,
        "seen_by_operators": 0,
        "questions_for_a_person": 1,
    }


async def test_a_copy_for_nobody_is_empty(house: House) -> None:
    """There is nothing to hand out about somebody who is not there."""
    assert await house.store.export_homeowner(7) == {}
    assert await house.store.find_homeowner("web", "nobody") is None
    assert await house.store.homeowner(7) is None


async def test_everything_is_there_after_opening_again(tmp_path: Path) -> None:
    """A restart finds the conversation as it was."""
    async with open_house(tmp_path) as house:
        await house.hear("anna", "one")
    async with open_house(tmp_path) as house:
        await house.hear("anna", "three")
        assert await house.told("anna") == ["counted 1 one", "counted 2 three"]


async def test_a_question_is_open_until_somebody_closes_it(house: House) -> None:
    """Closing twice is told, not repeated."""
    await house.hear("anna", "person about grubs")
    await house.hear("bert", "person about weeds")
    async with house.store.database.write() as tx:
        assert [row.question for row in await handovers.open_ones(tx)] == ["person about grubs", "person about weeds"]
        assert [await handovers.close(tx, 1, 5), await handovers.close(tx, 1, 6)] == [True, False]
        assert [row.homeowner_id for row in await handovers.open_ones(tx)] == [2]
        assert (await handovers.of_homeowner(tx, 1))[0].closed_ms == 5


async def test_the_data_folder_is_for_its_owner_alone(tmp_path: Path) -> None:
    """Other users of the machine cannot look in."""
    async with Store.open(tmp_path / "data"):
        assert (tmp_path / "data").stat().st_mode & 0o077 == 0
