from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from bot.store import photos
from bot.store.files import PhotoFolder
from bot.store.photos import Arrival, Filing
from bot.talk.incoming import SentPhoto
from tests.fakes.house import House

AT = datetime(2026, 2, 10, tzinfo=UTC)


def test_a_photo_is_known_by_its_content(tmp_path: Path) -> None:
    """The same content twice is one file, other content another."""
    folder = PhotoFolder(tmp_path)
    first = folder.keep(b"green", AT)

    assert folder.keep(b"green", AT) == first
    assert folder.keep(b"brown", AT) != first
    assert folder.read(first) == b"green"
    assert len([file for file in tmp_path.rglob("*") if file.is_file()]) == 2


@pytest.mark.parametrize("name", ["../../etc/passwd", "", "ab", "A" * 64, "g" * 64])
def test_only_a_hash_is_the_name_of_a_photo(tmp_path: Path, name: str) -> None:
    """What comes from a web address can never lead out of the folder."""
    with pytest.raises(ValueError, match="not the id"):
        PhotoFolder(tmp_path).read(name)


def test_a_photo_that_is_not_there_reads_as_nothing(tmp_path: Path) -> None:
    """And removing it is no error."""
    folder = PhotoFolder(tmp_path)
    folder.remove(["ab" * 32])

    assert folder.read("ab" * 32) is None


def test_a_write_that_was_cut_short_is_not_a_photo(tmp_path: Path) -> None:
    """A half-written file is never found under a photo's name."""
    folder = PhotoFolder(tmp_path)
    photo_id = folder.keep(b"green", AT)
    folder.path(photo_id).rename(folder.path(photo_id).with_suffix(".half"))

    assert folder.read(photo_id) is None
    assert folder.older_than(AT + timedelta(days=9)) == set()
    assert folder.keep(b"green", AT) == photo_id
    assert folder.read(photo_id) == b"green"


async def test_a_photo_is_noted_when_it_comes_and_filed_when_the_conversation_says_where(house: House) -> None:
    """Both in one row; filing again moves it."""
    await house.hear("anna", "hello")
    async with house.store.database.write() as tx:
        await photos.arrived(tx, [Arrival(homeowner_id=1, photo_id="ab", received_ms=5)] * 2)
        assert [(row.photo_id, row.spot) for row in await photos.of_homeowner(tx, 1)] == [("ab", None)]
        for spot in ("front", "back"):
            filing = Filing(
                homeowner_id=1, photo_id="ab", received_ms=9, lawn=1, spot=spot, shown_on=date(2026, 2, 9).isoformat()
            )
            await photos.file(tx, [filing])
        (row,) = await photos.of_homeowner(tx, 1)

    assert (row.received_ms, row.spot, row.shown_on) == (5, "back", "2026-02-09")


async def test_a_photo_belongs_to_who_sent_it(house: House) -> None:
    """Nobody is shown a photo of somebody else by guessing its name."""
    await house.hear("anna", SentPhoto(photo_id="ab" * 32))
    await house.hear("bert", "hello")
    async with house.store.database.read() as tx:
        assert await photos.belongs_to(tx, "ab" * 32, 1)
        assert not await photos.belongs_to(tx, "ab" * 32, 2)


async def test_files_without_a_row_go_after_a_day(house: House) -> None:
    """A file whose message never came is removed at night; one that may still come, or has a row, stays."""
    claimed = house.store.files.keep(b"claimed", house.clock.now())
    lost = house.store.files.keep(b"lost", house.clock.now())
    await house.hear("anna", SentPhoto(photo_id=claimed))
    house.pass_time(days=2)
    on_the_way = house.store.files.keep(b"on the way", house.clock.now())

    found = await house.store.tidy(house.clock.now())

    assert found.unclaimed_photos == 1
    kept = [house.store.files.read(photo_id) is not None for photo_id in (claimed, lost, on_the_way)]
    assert kept == [True, False, True]
