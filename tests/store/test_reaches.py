from __future__ import annotations

from pathlib import Path

from bot.arrivals import Consent, ConsentNote
from bot.store import reaches
from bot.store.store import SECRET_FILE
from tests.fakes.house import House, open_house

YES = ConsentNote(consent=Consent.GIVEN, said="yes", shown="ask", source="text")
NO = ConsentNote(consent=Consent.WITHDRAWN, said="stop", shown="", source="keyword")


async def test_the_record_of_consent_only_grows_and_its_last_entry_counts(house: House) -> None:
    """Every change is kept with its words, its source and its instant."""
    async with house.store.database.write() as tx:
        await reaches.note_consent(tx, "web", "anna", [YES], 1000)
        await reaches.note_consent(tx, "web", "anna", [NO], 2000)
    async with house.store.database.read() as tx:
        record = await reaches.record_of(tx, "web", "anna")
        standing = await reaches.of(tx, "web", "anna")

    assert [(entry.at_ms, entry.consent, entry.said) for entry in record] == [
        (1000, Consent.GIVEN, "yes"),
        (2000, Consent.WITHDRAWN, "stop"),
    ]
    assert standing.consent is Consent.WITHDRAWN


async def test_a_no_outlives_being_forgotten_and_nothing_else_does(house: House) -> None:
    """Whoever is erased after a "no" is known by a keyed digest alone, so that no list enrols them again."""
    for address, note in (("anna", NO), ("bert", YES)):
        await house.hear(address, "hello")
        async with house.store.database.write() as tx:
            await reaches.note_consent(tx, "web", address, [note], 1000)
        await house.hear(address, "forget me")

    async with house.store.database.read() as tx:
        assert await reaches.has_refused(tx, "web", "anna")
        assert not await reaches.has_refused(tx, "web", "bert")
        assert not await reaches.has_refused(tx, "sms", "anna")
    assert house.value("SELECT (SELECT count(*) FROM consent) + (SELECT count(*) FROM reach)") == 0
    assert house.value("SELECT count(*) FROM opt_out WHERE digest LIKE '%anna%'") == 0


async def test_the_secret_of_a_folder_stays_the_same(tmp_path: Path) -> None:
    """A restart still knows who said no; another folder's digests say nothing here."""
    async with open_house(tmp_path) as house:
        await house.hear("anna", "hello")
        async with house.store.database.write() as tx:
            await reaches.note_consent(tx, "web", "anna", [NO], 1000)
        await house.hear("anna", "forget me")
    assert (tmp_path / SECRET_FILE).stat().st_mode & 0o077 == 0
    async with open_house(tmp_path) as house, house.store.database.read() as tx:
        assert await reaches.has_refused(tx, "web", "anna")
    (tmp_path / SECRET_FILE).write_bytes(b"another secret of another folder")
    async with open_house(tmp_path) as house, house.store.database.read() as tx:
        assert not await reaches.has_refused(tx, "web", "anna")


async def test_a_copy_of_the_data_holds_the_record_of_consent(house: House) -> None:
    """What somebody agreed to is theirs to see."""
    await house.hear("anna", "hello")
    async with house.store.database.write() as tx:
        await reaches.note_consent(tx, "web", "anna", [YES], 1000)
    copy = await house.store.export_homeowner(1)

    assert copy["consent"] == [
        {"at": "1970-01-01T00:00:01+00:00", "consent": "given", "said": "yes", "shown": "ask", "from": "text"}
    ]
