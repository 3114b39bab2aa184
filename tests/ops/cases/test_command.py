"""`afterfrost cases` beside a running service: the folder is locked by it all the while."""

from __future__ import annotations

import asyncio
import json
from typing import Any

from click.testing import CliRunner, Result

from bot.commands.cases import cases
from bot.ops.roles import Operator, Role
from tests.ops.cases.conftest import NewStaff
from tests.service.chats import PHONE, WEB, Chats, a_plan


async def run(chats: Chats, *arguments: str) -> Result:
    """A command on the folder of a running house."""
    whole = [arguments[0], *arguments[1:], "--data", str(chats.house.folder)]
    return await asyncio.to_thread(CliRunner().invoke, cases, whole)


async def told(chats: Chats, *arguments: str) -> Any:
    """What a command prints as JSON."""
    done = await run(chats, *arguments, "--json")
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


async def asked(chats: Chats, *questions: str) -> None:
    await a_plan(chats)
    for question in questions:
        await chats.send(WEB, "person", question)


async def test_a_case_from_the_list_to_its_answer(chats: Chats, ana: Operator) -> None:
    """Listed, shown, answered; what is said goes out through the running service's outbox."""
    await asked(chats, "is it dead?")
    listed = await told(chats, "list")
    assert [(each["case"], each["question"]) for each in listed["questions"]] == [(1, "is it dead?")]
    shown = await told(chats, "show", "1", "--as", "ana")
    assert shown["lawns"][0]["zip"] == "31522"
    assert "is it dead?" in [line["words"] for line in shown["lines"] if line["from"] == "homeowner"]

    assert await told(chats, "answer", "1", "No. Wait.", "--as", "Ana") == {"case": 1, "done": "answered"}

    assert chats.told(WEB)[-1] == "Ana writes:\n\nNo. Wait."
    assert (await told(chats, "list"))["questions"] == []


async def test_only_the_named_question_is_answered_or_closed(chats: Chats, ana: Operator) -> None:
    """Of two, the other stays open."""
    await asked(chats, "is it dead?", "are these grubs?")
    await told(chats, "answer", "1", "Not yet.", "--question", "2", "--as", "Ana")
    assert [each["id"] for each in (await told(chats, "list"))["questions"]] == [1]

    await told(chats, "close", "1", "--question", "1")

    assert (await told(chats, "list"))["open"] == 0
    assert "not open any more" in (await run(chats, "close", "1")).output


async def test_one_holds_a_talk_and_the_other_is_told_who(chats: Chats, ana: Operator, bo: Operator) -> None:
    """Taken, refused to another, given back."""
    await asked(chats)
    await told(chats, "take", "1", "--as", "Ana")
    refused = await run(chats, "take", "1", "--as", "Bo")

    assert refused.exit_code == 2
    assert "Ana holds this talk now." in refused.output
    assert "Held by a person" in (await run(chats, "list")).output
    await told(chats, "give-back", "1", "--as", "Ana")
    assert (await chats.homeowner(WEB)).held_by == ""


async def test_whoever_writes_to_a_homeowner_says_who_they_are(chats: Chats, staff: NewStaff) -> None:
    """The homeowner is told a name; a reader sees no case, and nobody unknown is let in."""
    await asked(chats)
    await staff("Ray", Role.READER)
    nameless = await run(chats, "answer", "1", "Hello")
    stranger = await run(chats, "show", "1", "--as", "Zed")
    reader = await run(chats, "show", "1", "--as", "Ray")

    assert "--as NAME" in nameless.output
    assert "Nobody called Zed" in stranger.output
    assert "may not see single cases" in reader.output
    assert {nameless.exit_code, stranger.exit_code, reader.exit_code} == {2}


async def test_a_note_is_kept_and_shown_to_people(chats: Chats) -> None:
    """By whoever runs this, without a name."""
    await asked(chats)
    await told(chats, "note", "1", "Called twice.")
    shown = (await run(chats, "show", "1")).output

    assert "at the command line: Called twice." in shown
    for part in ("St. Augustine", "Glynn County", "Growing points that may be lost", "The last lines:"):
        assert part in shown


async def test_a_shown_case_holds_no_address(chats: Chats) -> None:
    """In neither form."""
    await a_plan(chats, PHONE)

    assert "5550123" not in (await run(chats, "show", "1")).output
    assert "5550123" not in json.dumps(await told(chats, "show", "1"))


async def test_a_case_that_is_not_there_is_told(chats: Chats) -> None:
    """In one line."""
    done = await run(chats, "show", "7")

    assert (done.exit_code, done.output.strip()) == (2, "There is no such case.")
