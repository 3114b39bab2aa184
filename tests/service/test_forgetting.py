from __future__ import annotations

import asyncio
from datetime import timedelta
from pathlib import Path

from bot.talk.incoming import SentPhoto
from tests.fakes.house import House, open_house

SECRET = "behind-the-old-oak"


async def _a_full_life(house: House, address: str) -> str:
    """A homeowner with a row in every table. Returns their photo."""
    photo = house.store.files.keep(address.encode(), house.clock.now())
    await house.hear(address, f"{SECRET} of {address}")
    await house.hear(address, "remind cut 2026-03-01 09:00")
    await house.hear(address, f"person {SECRET}")
    await house.hear(address, SentPhoto(photo_id=photo))
    return photo


async def test_whoever_asks_is_gone_and_gets_the_last_words(house: House) -> None:
    """Every row goes in the transaction of that turn; the farewell waits without an owner."""
    photo = await _a_full_life(house, "anna")
    await house.hear("anna", "forget me")

    for table in ("homeowner", "contact", "reminder", "photo", "handover"):
        assert house.value(f"SELECT count(*) FROM {table}") == 0, table
    assert house.rows("SELECT homeowner_id, inbox_id, address, kind FROM outbox") == [(None, None, "anna", 0)]
    assert "farewell" in house.value("SELECT body FROM outbox")
    assert set(house.rows("SELECT homeowner_id, body, error FROM inbox")) == {(None, "", None)}
    assert house.store.files.read(photo) is None


async def test_others_are_not_touched(house: House) -> None:
    """Erasing one homeowner in a batch with others leaves everything of the others."""
    await _a_full_life(house, "anna")
    bert_photo = await _a_full_life(house, "bert")
    await asyncio.gather(house.hear("anna", "forget me"), house.hear("bert", "hello"))

    assert len(await house.told("bert")) == 5
    assert house.rows("SELECT DISTINCT homeowner_id FROM reminder") == [(2,)]
    assert house.store.files.read(bert_photo) is not None


async def test_a_photo_that_two_homeowners_sent_stays_for_the_other(house: House) -> None:
    """The same file under the same name belongs to both until both are gone."""
    photo = house.store.files.keep(b"the same picture", house.clock.now())
    for address in ("anna", "bert"):
        await house.hear(address, SentPhoto(photo_id=photo))
    await house.hear("anna", "forget me")
    assert house.store.files.read(photo) is not None

    await house.hear("bert", "forget me")
    assert house.store.files.read(photo) is None


async def test_a_repeat_after_forgetting_has_no_effect(house: House) -> None:
    """A channel that hands the last message in again must not bring the homeowner back."""
    await house.hear("anna", "hello", external_id="m1")
    await house.hear("anna", "forget me", external_id="m2")
    await house.hear("anna", "forget me", external_id="m2")
    await house.hear("anna", "hello", external_id="m1")

    assert house.value("SELECT count(*) FROM homeowner") == 0
    assert house.value("SELECT count(*) FROM outbox") == 1


async def test_who_writes_again_is_somebody_new(house: House) -> None:
    """A later message from the same address starts from nothing, under a new id."""
    await house.hear("anna", "hello")
    await house.hear("anna", "forget me")
    await house.hear("anna", "good morning")

    assert house.rows("SELECT id, rev FROM homeowner") == [(2, 1)]
    assert await house.told("anna") == ["counted 1 good morning"]


async def test_who_writes_on_in_the_same_batch_is_somebody_new(house: House) -> None:
    """Messages before the wish to be forgotten are erased, those after it are kept, all in one transaction."""
    await house.hear("anna", "hello")
    commits = house.commits
    await asyncio.gather(*(house.hear("anna", words) for words in ("more", "forget me", "good morning", "and so on")))

    assert house.commits == commits + 1
    assert await house.told("anna") == ["counted 1 good morning", "counted 2 and so on"]
    bodies = [body for (body,) in house.rows("SELECT body FROM inbox WHERE homeowner_id = 2 ORDER BY id")]
    assert ["good morning" in bodies[0], "and so on" in bodies[1]] == [True, True]
    assert house.rows("SELECT homeowner_id, count(*) FROM inbox GROUP BY 1 ORDER BY 1") == [(None, 3), (2, 2)]


async def test_a_newcomer_who_asks_to_be_forgotten_leaves_nothing(house: House) -> None:
    """Arriving and leaving in one batch stores no homeowner at all, and still says goodbye."""
    await asyncio.gather(house.hear("anna", "hello"), house.hear("anna", "forget me"), house.hear("bert", "hello"))

    assert house.rows("SELECT address FROM homeowner") == [("bert",)]
    assert [owner for (owner,) in house.rows("SELECT homeowner_id FROM outbox WHERE address = 'anna'")] == [None, None]
    assert house.value("SELECT count(*) FROM inbox WHERE body <> ''") == 1


async def test_forgetting_twice_in_one_batch(house: House) -> None:
    """Forget, come back, forget again: nobody is left."""
    await house.hear("anna", "hello")
    await asyncio.gather(*(house.hear("anna", words) for words in ("forget me", "hello again", "forget me too")))

    assert house.value("SELECT count(*) FROM homeowner") == 0
    assert house.value("SELECT count(*) FROM inbox WHERE body <> ''") == 0


async def test_nothing_of_the_words_is_left_on_disk_after_the_night(tmp_path: Path) -> None:
    """Erased words are overwritten in the database, and gone from its log after the nightly work."""
    async with open_house(tmp_path) as house:
        await _a_full_life(house, "anna")
        assert any(SECRET.encode() in content for content in _contents(tmp_path))

        await house.hear("anna", "forget me")
        await house.store.tidy(house.clock.now())
        assert [file for file in _contents(tmp_path) if SECRET.encode() in file] == []


async def test_digests_of_the_erased_go_after_a_week(house: House) -> None:
    """They are kept as long as a repeat could still come, and no longer."""
    await house.hear("anna", "forget me")
    await house.hear("bert", "hello")

    early = await house.store.tidy(house.clock.now() + timedelta(days=6))
    late = await house.store.tidy(house.clock.now() + timedelta(days=8))

    assert (early.dropped, late.dropped) == (0, 1)
    assert house.value("SELECT count(*) FROM inbox") == 1


def _contents(folder: Path) -> list[bytes]:
    return [file.read_bytes() for file in folder.rglob("*") if file.is_file()]
