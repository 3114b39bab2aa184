from __future__ import annotations

import asyncio
import random
import sqlite3
import sys
from collections import Counter
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from bot.ops.advisories.drafts import correction_of
from bot.store.store import DATABASE_FILE
from bot.terms import Terms
from tests.drill.drill import ROOT
from tests.fakes.house import open_house
from tests.fakes.journal_channel import read_journal
from tests.ops.advisories.child import IN_FLIGHT
from tests.ops.advisories.town import TALK, Town

PEOPLE, KILLS = 120, 2


async def start(folder: Path) -> asyncio.subprocess.Process:
    """The process that sends, once it does."""
    command = (sys.executable, "-m", "tests.ops.advisories.child", str(folder))
    process = await asyncio.create_subprocess_exec(*command, cwd=ROOT, stdout=asyncio.subprocess.PIPE)
    assert process.stdout is not None
    assert await process.stdout.readline() == b"ready\n"
    return process


@pytest.mark.drill
async def test_kills_while_it_goes_out_cost_nobody_their_message(tmp_path: Path) -> None:
    """Everybody is handed over once. On the far side at most what was in the air at a kill comes twice."""
    (tmp_path / "drill").mkdir()
    at, chance = datetime(2027, 2, 2, 17, 0, tzinfo=UTC), random.Random(3)
    (tmp_path / "drill" / "shift").write_text(str((at - datetime.now(UTC)).total_seconds()))
    async with open_house(tmp_path / "drill" / "data", talk=TALK, at=at) as house:
        town = Town(house)
        await town.people(PEOPLE)
        number = await town.draft(is_pressing=True)
        await town.approve(number)

    journal = tmp_path / "drill" / "journal"
    for kill in range(1, KILLS + 1):
        process = await start(tmp_path / "drill")
        goal = kill * PEOPLE // (KILLS + 1) + chance.randint(-20, 20)
        while len(read_journal(journal)) < goal:  # noqa: ASYNC110 - another process writes it
            await asyncio.sleep(0.002)
        process.kill()
        await process.wait()
    process = await start(tmp_path / "drill")
    with closing(sqlite3.connect(tmp_path / "drill" / "data" / DATABASE_FILE)) as database:
        async with asyncio.timeout(60):
            while database.execute("SELECT state FROM advisory").fetchone() != ("finished",):  # noqa: ASYNC110 - the same
                await asyncio.sleep(0.02)
    process.kill()
    await process.wait()

    lines = read_journal(journal)
    async with open_house(tmp_path / "drill" / "data", talk=TALK, at=at) as house:
        town = Town(house)
        found = await town.report(number)
        handed = house.rows("SELECT homeowner_id, count(*) FROM outbox WHERE urgency = 1 GROUP BY homeowner_id")
    assert len(handed) == PEOPLE
    assert {count for _, count in handed} == {1}
    assert (found.progress.selected, found.progress.sent, found.advisory.state) == (PEOPLE, PEOPLE, "finished")
    twice = sum(count - 1 for count in Counter(line.address for line in lines).values())
    assert twice <= KILLS * Terms(in_flight=IN_FLIGHT).unmarked_at_most


@pytest.mark.drill
async def test_kills_around_a_correction_leave_nobody_alone_with_the_wrong_words(tmp_path: Path) -> None:
    """Killed while the wrong words go out, and again while the right ones do: whoever read those reads these."""
    (tmp_path / "drill").mkdir()
    at, journal = datetime(2027, 2, 2, 17, 0, tzinfo=UTC), tmp_path / "drill" / "journal"
    shift = (at - datetime.now(UTC)).total_seconds()
    (tmp_path / "drill" / "shift").write_text(str(shift))
    async with open_house(tmp_path / "drill" / "data", talk=TALK, at=at) as house:
        town = Town(house)
        await town.people(PEOPLE)
        wrong = await town.draft("Feed the lawn today.", is_pressing=True)
        await town.approve(wrong)
    await run_until(tmp_path / "drill", lambda: len(read_journal(journal)) > PEOPLE // 3)
    async with open_house(tmp_path / "drill" / "data", talk=TALK, at=at + timedelta(minutes=1)) as house:
        town = Town(house)
        right = await correction_of(town.drafts, wrong, "Do not feed it.", None)
        await town.approve(right)
    (tmp_path / "drill" / "shift").write_text(str(shift + 60))
    await run_until(tmp_path / "drill", lambda: any(line.text.startswith("Do") for line in read_journal(journal)))
    (tmp_path / "drill" / "shift").write_text(str(shift + 240))
    with closing(sqlite3.connect(tmp_path / "drill" / "data" / DATABASE_FILE)) as database:
        last = "SELECT state FROM advisory WHERE id = ?"
        await run_until(tmp_path / "drill", lambda: database.execute(last, [right]).fetchone() == ("finished",))

    read = {
        words: {line.address for line in read_journal(journal) if line.text.startswith(words)} for words in ("Fe", "Do")
    }
    async with open_house(tmp_path / "drill" / "data", talk=TALK, at=at) as house:
        stopped, corrected = await Town(house).report(wrong), await Town(house).report(right)
    assert PEOPLE // 3 < len(read["Fe"]) < PEOPLE
    assert read["Fe"] <= read["Do"]
    assert len(read["Do"]) == stopped.progress.sent == corrected.progress.sent == corrected.progress.selected
    assert stopped.progress.sent - stopped.unanswered <= len(read["Fe"]) <= stopped.progress.sent
    assert stopped.left_out == {"overtaken": PEOPLE - stopped.progress.sent}


async def run_until(folder: Path, is_so: Callable[[], bool]) -> None:
    """Let the process send until something is so, and kill it."""
    process = await start(folder)
    async with asyncio.timeout(60):
        while not is_so():  # noqa: ASYNC110 - another process writes it
            await asyncio.sleep(0.002)
    process.kill()
    await process.wait()
