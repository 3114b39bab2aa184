"""The weekly letter at the desk: what would go out right now, and looking at it sends and keeps nothing."""

from __future__ import annotations

import json

from bot.ops.desk.digest_pages import DigestRoom
from bot.ops.digest.weekly import WeeklyDigest
from bot.ops.roles import Role
from bot.store import operators
from bot.words import Words
from tests.fakes.desk import open_desk
from tests.fakes.house import House
from tests.ops.regions.homes import Homes

COUNTED = ("outbox", "meter", "audit")


async def test_the_letter_reads_as_it_goes_out(house: House, words: Words) -> None:
    """The same words as are queued a moment later; before that nothing was queued or counted by looking."""
    homes = Homes(house)
    for _ in range(3):
        await homes.add({})
    async with open_desk(house, words, [DigestRoom()]) as at:
        reader = await at.sits(Role.READER)
        assert reader.operator_id is not None
        before = [house.value(f"SELECT count(*) FROM {table}") for table in COUNTED]
        await reader.look("/letter")
        after = [house.value(f"SELECT count(*) FROM {table}") for table in COUNTED]
        async with house.store.database.write() as tx:
            await operators.set_channel(tx, reader.operator_id, "web", "ada")
        queued = await WeeklyDigest(house.store, house.clock, words, short=(), desk="").run()
        (sent,) = house.rows("SELECT body FROM outbox")

    assert before == after
    assert queued == 1
    letter = " ".join(json.loads(str(sent[0]))["text"].split())
    assert letter.startswith("The week of")
    assert letter in reader.text
