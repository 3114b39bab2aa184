from __future__ import annotations

import asyncio
import json
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from bot.commands.advisory import advisory
from bot.errors import Uncertain
from bot.ops.roles import Role
from bot.talk.case import Standing
from tests.fakes.house import open_house
from tests.ops.advisories.town import NOON, TALK, Town, open_town


@pytest.fixture(autouse=True)
def settings(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A data folder of the test's own, at a noon in February."""
    shift = folder / "shift"
    monkeypatch.setenv("AFTERFROST_DATA", str(folder))
    monkeypatch.setenv("AFTERFROST_CLOCK_SHIFT_FILE", str(shift))


def afterfrost(*typed: str, ok: bool = True) -> str:
    """What a command prints."""
    found = CliRunner().invoke(advisory, typed)
    assert (found.exit_code == 0) is ok, found.output
    return found.output


def told(*typed: str) -> Any:
    """The same as JSON."""
    return json.loads(afterfrost(*typed, "--json"))


def fill(folder: Path) -> None:
    """Five people, one of whom wants no messages, and three operators."""

    async def work() -> None:
        async with open_house(folder, talk=TALK, at=NOON) as house:
            town = Town(house)
            await town.people(4, "web")
            await town.people(1, "web", standing=Standing.STOPPED)
            for name, role in (("Ann", Role.APPROVER), ("Ben", Role.APPROVER), ("Cid", Role.ADVISOR)):
                await town.operator(name, role)

    asyncio.run(work())


def test_from_the_draft_to_the_report(folder: Path) -> None:
    """Drafted, shown, approved by somebody else, sent by the service, reported."""
    fill(folder)
    number = told("draft", "Freeze", "--words", "Freeze near {place}.", "--as", "Ann")["id"]
    shown = told("preview", str(number))
    assert (shown["selected"], shown["reached"], shown["left_out"]) == (5, 4, {"quiet": 1})
    assert shown["texts"][0]["text"] == "Freeze near Glynn County, GA."
    assert "may not do that" in afterfrost("approve", "1", "--seen", "1", "--as", "Cid", ok=False)
    assert "Somebody else" in afterfrost("approve", "1", "--seen", "1", "--as", "ann", ok=False)
    assert "--as NAME" in afterfrost("approve", "1", "--seen", "1", ok=False)
    afterfrost("approve", str(number), "--seen", shown["seen"], "--as", "Ben")
    assert told("show", "1")["approved_by"] == "Ben"

    async def send() -> None:
        async with open_town(folder, at=NOON) as town:
            approved_at = (await town.advisory(number)).approved_at or NOON
            town.house.clock.set(approved_at.replace(hour=17) + timedelta(days=1))
            await town.settle()

    asyncio.run(send())
    found = told("report", str(number))
    assert found["progress"] == {
        "selected": 5,
        "sent": 4,
        "waiting": 0,
        "under_way": 0,
        "left_out": 1,
        "failed": 0,
        "is_listed": True,
    }
    assert "5 selected = 4 sent + 0 waiting + 0 on their way + 1 left out + 0 failed" in afterfrost("report", "1")
    assert told("list")[0]["state"] == "finished"
    right = told("correct", "1", "--words", "It was called off.", "--as", "Cid")["id"]
    assert told("preview", str(right))["selected"] == 4


def test_commands_work_while_a_service_runs_and_hold_what_it_sends(folder: Path) -> None:
    """Another process holds the folder; a pause of the command line holds what stands in its outbox."""
    fill(folder)

    async def work() -> None:
        async with open_town(folder) as town:
            await town.people(1, "web", last_unasked_on=date(2027, 2, 2))
            ben = await town.operator("Bea")
            number = await town.draft()
            await town.approve(number, ben)
            town.house.pass_time(seconds=11)
            town.far["web"].before = asyncio.Event()
            await town.tick()
            await asyncio.to_thread(afterfrost, "pause", str(number), "--as", "Cid")
            assert (await town.advisory(number)).state == "paused"
            said = await asyncio.to_thread(lambda: afterfrost("resume", str(number), "--as", "Cid", ok=False))
            assert "may not do that" in said
            await asyncio.to_thread(afterfrost, "resume", str(number), "--as", "Ann")
            town.far["web"].before = None
            await asyncio.to_thread(afterfrost, "cancel", str(number), "--as", "Ann")
            await town.tick()
            assert (await town.advisory(number)).state == "dropped"

    asyncio.run(work())


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (("--words", "Hi {nme}."), "Nothing can be filled in for {nme}"),
        (("--words", "@nothing.txt"), "cannot be read as text"),
        (("--words", "x", "--region", "Nowhere"), "There is no region"),
        (("--words", "x", "--grass", "moss"), "'moss' is no grass"),
        (("--words", "x", "--soil-below", "30"), "Type it with its unit"),
        (("--words", "x", "--as", "Nobody"), "Nobody called"),
        (("--words", "x", "--after", "9", "--due", "2099-01-01"), "There is no advisory 9"),
    ],
)
def test_what_cannot_be_drafted_is_said_in_one_line(typed: tuple[str, ...], said: str) -> None:
    """With what to do about it, and no traceback."""
    told = afterfrost("draft", "Freeze", *typed, ok=False)

    assert said in told
    assert "Traceback" not in told


def test_who_is_meant_can_be_typed(tmp_path: Path) -> None:
    """Every filter, and the words from a file."""
    (tmp_path / "words.txt").write_text("Wait.\nThen look.\n")
    number = told(
        *("draft", "Freeze", "--words", f"@{tmp_path / 'words.txt'}", "--state", "ga", "--county", "13127"),
        *("--zip", "315", "--grass", "bermuda", "--stage", "waiting", "--channel", "sms", "--soil-below", "30F"),
        *("--runners-below=-5C", "--pressing", "--due", "2099-01-02 18:00", "--useful-until", "2099-01-03 09:00"),
    )["id"]

    found = told("show", str(number))

    assert found["words"] == "Wait.\nThen look."
    assert found["audience"]["shape"] == {"states": ["GA"], "counties": ["13127"], "zip_prefixes": ["315"]}
    assert found["audience"]["crown_min_below_c"] == -5.0
    assert round(found["audience"]["soil_min_below_c"], 2) == -1.11
    assert found["is_pressing"] is True
    assert found["due_at"].startswith("2099-01-0")
    assert "draft, pressing: Freeze" in afterfrost("list")
    afterfrost("drop", str(number))
    assert "is no draft any more" in afterfrost("drop", str(number), ok=False)


def test_times_are_by_the_clock_of_most_recipients_unless_another_is_named(folder: Path) -> None:
    """Read so, told so with the zone's name; an hour that clocks skip is refused, and so is a zone there is not."""
    fill(folder)
    words = ("--words", "Freeze.", "--due", "2027-03-01 18:00")
    told("preview", str(told("draft", "Look", "--words", "Freeze.")["id"]))  # everybody was looked at
    mine = told("draft", "Freeze", *words)["id"]
    other = told("draft", "Freeze", *words, "--zone", "America/Chicago")["id"]

    assert told("show", str(mine))["due_at"] == "2027-03-01T23:00:00+00:00"
    assert told("show", str(other))["due_at"] == "2027-03-02T00:00:00+00:00"
    assert "goes out 2027-03-01 18:00 EST (America/New_York)" in afterfrost("show", str(mine))
    assert "goes out 2027-03-01 18:00 CST (America/Chicago)" in afterfrost("show", str(other))
    assert "goes out 2027-03-01 17:00 CST (America/Chicago)" in afterfrost(
        "show", str(mine), "--zone", "America/Chicago"
    )
    assert "EST (America/New_York)" in afterfrost("preview", str(mine))
    assert "clocks skip" in afterfrost("draft", "X", "--words", "X.", "--due", "2027-03-14 02:30", ok=False)
    assert "no time zone" in afterfrost("draft", "X", "--words", "X.", "--zone", "Mars", ok=False)
    assert "no time zone" in afterfrost("report", str(mine), "--zone", "Mars", ok=False)


def test_what_got_no_answer_and_what_was_overtaken_is_told(folder: Path) -> None:
    """Who may not have got it, as a number of its own, with a way to write to them; what a correction stops and did."""

    async def send() -> None:
        async with open_town(folder, at=NOON) as town:
            await town.people(3)
            await town.people(2, last_unasked_on=date(2027, 2, 2))
            town.far["web"].answers.extend([None, Uncertain("no answer"), None])
            await town.begin("Feed it today.", useful_until=NOON + timedelta(days=3000))
            await town.settle()

    asyncio.run(send())
    report = afterfrost("report", "1")
    assert "1 of those sent got no answer; they may not have arrived, and are not sent again." in report
    assert told("report", "1")["unanswered"] == 1
    again = told("again", "1")["id"]
    assert told("preview", str(again))["selected"] == 1
    assert f"Drafted as {again + 1}." in afterfrost("again", "1")

    right = told("correct", "1", "--words", "Do not feed it.")["id"]
    shown = told("preview", str(right))
    assert (shown["selected"], shown["stops"]) == (3, {"number": 1, "waiting": 2})
    assert "stops advisory 1 at once; 2 who have not got that get neither" in afterfrost("preview", str(right))
    afterfrost("approve", str(right), "--seen", shown["seen"])
    assert told("show", "1")["overtaken_by"] == right
    assert f"Stopped when advisory {right} was approved" in afterfrost("report", "1")
