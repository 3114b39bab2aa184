"""A homeowner moves from one channel to another with a code, on a real database and with the real conversation."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator
from pathlib import Path

import pytest

from bot.store import outbox, schema
from bot.talk.case import Standing
from bot.talk.incoming import Arrived, Chose, SentPhoto
from tests.service.chats import (
    DESK,
    PHONE,
    STRANGER,
    TALK,
    WEB,
    Chats,
    Contact,
    a_case,
    a_plan,
    code_in,
    open_chats,
    where_reminders_wait,
)
from tests.talk.conversation import DETAILS, FIRST


@pytest.fixture
async def chats(tmp_path: Path) -> AsyncIterator[Chats]:
    async with open_chats(tmp_path) as opened:
        yield opened


# --- going on -------------------------------------------------------------------------------------------------------


async def test_a_talk_goes_on_in_another_channel_and_in_a_third(chats: Chats) -> None:
    """The answers come along, the open question is asked where they are now, and every old chat is told once."""
    await a_case(chats)
    answers = (await chats.homeowner(WEB)).lawns[0].answers

    told = await chats.send(PHONE, f"MOVE {await chats.code(WEB)}")
    assert "Got it. I have your lawn here now." in told
    assert "How cold did the air get" in told
    assert (await chats.homeowner(PHONE)).lawns[0].answers == answers
    assert "NOT ME" in chats.told(WEB)[-1]

    await chats.send(PHONE, FIRST[2])
    told = await chats.send(DESK, f"move code {await chats.code(PHONE, 'use another phone')}")
    assert "Got it. I have your lawn here now." in told
    await chats.send(DESK, *FIRST[3:], *DETAILS, "yes", "yes")

    homeowner = await chats.homeowner(DESK)
    assert [answer.question for answer in homeowner.lawns[0].answers[:3]] == ["place", "coldest_on", "air_min"]
    assert homeowner.lawns[0].planned_on is not None
    assert (chats.count("homeowner"), chats.linked()) == (1, {WEB, PHONE, DESK})
    assert [sum("NOT ME" in told for told in chats.told(where)) for where in (WEB, PHONE, DESK)] == [2, 1, 0]


async def test_reminders_go_to_the_new_chat(chats: Chats) -> None:
    """Where somebody was last heard; the rows of a plan are the same as before."""
    await a_plan(chats)
    wanted = chats.house.rows("SELECT lawn, task, due_on, due_ms, state FROM reminder ORDER BY id")
    assert wanted
    await chats.send(PHONE, f"MOVE {await chats.code(WEB)}")
    before = len(chats.told(WEB)), len(chats.told(PHONE))

    chats.house.pass_time(days=40)
    assert await chats.house.bring_up_all() >= 1

    assert len(chats.told(WEB)) == before[0]
    assert len(chats.told(PHONE)) > before[1]
    assert {row[:4] for row in wanted} <= set(chats.house.rows("SELECT lawn, task, due_on, due_ms FROM reminder"))


async def test_the_words_of_each_chat_are_as_long_as_its_channel_likes(chats: Chats) -> None:
    """The code and the notice are put short for a text message, and long elsewhere."""
    await a_case(chats)
    long = await chats.send(WEB, "move")
    await chats.send(PHONE, f"MOVE {code_in(long)}")
    short = await chats.send(PHONE, "move")
    await chats.send(DESK, f"MOVE {code_in(short)}")

    assert "Whoever sends it to me" in long
    assert "whoever sends it gets your lawn chat" in short
    assert len(short) <= 160
    assert "You can still use this one too" in chats.told(WEB)[-1]
    assert "This one still works too" in chats.told(PHONE)[-1]


async def test_an_old_button_in_the_old_chat_still_works(chats: Chats) -> None:
    """Both chats are one person's, like two phones."""
    await chats.send(WEB, Arrived(), *FIRST[:4])
    body = chats.house.rows("SELECT body FROM outbox WHERE address = ? ORDER BY id DESC LIMIT 1", WEB[1])[0][0]
    token = json.loads(body)["choices"][0]["token"]
    await chats.send(PHONE, f"MOVE {await chats.code(WEB)}")
    answers = len((await chats.homeowner(PHONE)).lawns[0].answers)

    await chats.send(WEB, Chose(tokens=(token,)))

    assert len((await chats.homeowner(PHONE)).lawns[0].answers) == answers + 1
    assert chats.heard_at() == [WEB]


@pytest.mark.parametrize(
    ("from_", "to", "goes_to"),
    [
        (WEB, DESK, DESK),
        (WEB, PHONE, WEB),
        (PHONE, DESK, DESK),
        (PHONE, ("sms", "+19125550199"), ("sms", "+19125550199")),
    ],
)
async def test_a_reminder_that_waits_goes_along_where_its_words_fit(
    chats: Chats, from_: Contact, to: Contact, goes_to: Contact
) -> None:
    """Words at length do not go into a text message: they stay in the old chat, which still works."""
    await a_plan(chats, from_)
    chats.house.pass_time(days=40)
    await chats.house.bring_up_all()
    assert await where_reminders_wait(chats) == {from_}
    await chats.house.change("UPDATE outbox SET fence = 9 WHERE urgency = ?", schema.REMINDER)

    await chats.send(to, f"MOVE {await chats.code(from_)}")

    assert await where_reminders_wait(chats) == {goes_to}
    fence = chats.house.value("SELECT max(fence) FROM outbox WHERE urgency = ?", schema.REMINDER)
    assert fence == (9 if goes_to == from_ else 0)


async def test_what_is_stored_of_a_move_is_that_somebody_arrived(chats: Chats) -> None:
    """The stored homeowner can be worked out from the inbox alone, and no code stands there."""
    await a_case(chats)
    code = await chats.code(WEB)
    await chats.send(STRANGER, "hello")
    await chats.send(STRANGER, f"MOVE {code}", "24 F")
    await chats.send(WEB, "MOVE 2222-CDFG")
    homeowner_id = await chats.house.store.find_homeowner(*WEB)
    assert homeowner_id is not None

    replayed = None
    said = [entry for entry in await chats.house.store.entries(homeowner_id) if entry.incoming is not None]
    for entry in said:
        assert entry.incoming is not None
        replayed = TALK.reduce(replayed, entry.incoming, entry.at, TALK.known).homeowner

    assert replayed == await chats.homeowner(WEB)
    assert chats.house.value("SELECT rev FROM homeowner") == len(said)
    assert chats.house.value("SELECT count(*) FROM inbox WHERE body LIKE ?", f"%{code}%") == 0


async def test_a_reminder_that_was_tried_stays_where_it_was_tried(chats: Chats) -> None:
    """It may have arrived; sent to the new chat it would come twice."""
    await a_plan(chats)
    homeowner_id = await chats.house.store.find_homeowner(*WEB)
    row = outbox.NewRow(
        homeowner_id=homeowner_id,
        inbox_id=1,
        channel=WEB[0],
        address=WEB[1],
        kind=schema.MESSAGE,
        urgency=schema.REMINDER,
        made_ms=0,
        due_ms=0,
        body='{"text": "Good morning."}',
    )
    async with chats.house.store.database.write() as tx:
        await outbox.add(tx, [row])
    await chats.house.change("UPDATE outbox SET attempts = 1, unsure = 1 WHERE urgency = ?", schema.REMINDER)
    await chats.send(DESK, f"MOVE {await chats.code(WEB)}")

    assert await where_reminders_wait(chats) == {WEB}


# --- once, and in one piece ----------------------------------------------------------------------------------------


async def test_the_same_message_twice_is_one_move(chats: Chats) -> None:
    """A channel hands it in again; the code is used up, and nothing more is said."""
    await a_case(chats)
    code = await chats.code(WEB)
    await chats.send(PHONE, f"MOVE {code}", external_id="m1")
    rows = chats.count("outbox")

    assert await chats.send(PHONE, f"MOVE {code}", external_id="m1") == ""
    assert (chats.count("outbox"), chats.count("move_try")) == (rows, 0)


async def test_a_used_code_opens_nothing_for_another(chats: Chats) -> None:
    """It works once."""
    await a_case(chats)
    code = await chats.code(WEB)
    await chats.send(PHONE, f"MOVE {code}")

    assert "I don't know that code" in await chats.send(STRANGER, f"MOVE {code}")
    assert chats.linked() == {WEB, PHONE, STRANGER}
    assert await chats.house.store.find_homeowner(*STRANGER) != await chats.house.store.find_homeowner(*PHONE)


async def test_everything_of_a_move_is_one_transaction(chats: Chats) -> None:
    """Killed anywhere, either all of it happened or nothing."""
    await a_case(chats)
    code = await chats.code(WEB)
    commits = chats.house.commits

    await chats.send(PHONE, f"MOVE {code}")
    assert chats.house.commits == commits + 1


async def test_a_new_chat_that_says_more_in_the_same_batch(chats: Chats) -> None:
    """Greeting, code and answer come in together: the greeting's homeowner goes, the answer is the mover's."""
    await a_case(chats)
    code = await chats.code(WEB)
    await asyncio.gather(*(chats.send(STRANGER, words) for words in ("hello", f"MOVE {code}", FIRST[2])))

    assert chats.count("homeowner") == 1
    assert [answer.question for answer in (await chats.homeowner(STRANGER)).lawns[0].answers][-1] == "air_min"
    bodies = chats.house.rows("SELECT homeowner_id, body <> '' FROM inbox ORDER BY id DESC LIMIT 3")
    assert bodies == [(1, 1), (1, 1), (None, 0)]
    assert not any("After a hard freeze" in told for told in chats.told(STRANGER))


async def test_a_code_that_fails_for_a_fault_of_ours_is_not_used_up(chats: Chats) -> None:
    """Whoever typed it hears that something broke, and nothing else has happened."""
    await a_case(chats)
    code = await chats.code(WEB)
    doc = chats.house.value("SELECT doc FROM homeowner")
    await chats.house.change("UPDATE homeowner SET doc = 'spoiled'")
    assert "Something broke" in await chats.send(PHONE, f"MOVE {code}")
    assert chats.heard_at() == [WEB, PHONE]

    await chats.house.change("UPDATE homeowner SET doc = ? WHERE id = 1", doc)
    assert "Got it. I have your lawn here now." in await chats.send(PHONE, f"MOVE {code}")
    assert chats.heard_at() == [PHONE]


# --- who joins ------------------------------------------------------------------------------------------------------


async def test_a_chat_that_told_nothing_joins_and_leaves_nothing_behind(chats: Chats) -> None:
    """Its empty homeowner goes; what its number agreed to stays."""
    await a_case(chats)
    await chats.send(STRANGER, Arrived(), "help")
    await chats.house.change("INSERT INTO reach (channel, address, consent) VALUES (?, ?, 1)", *STRANGER)
    await chats.send(STRANGER, f"MOVE {await chats.code(WEB)}")

    assert (chats.count("homeowner"), chats.linked()) == (1, {WEB, STRANGER})
    assert chats.house.rows("SELECT DISTINCT homeowner_id FROM outbox") == [(1,)]
    assert chats.house.value("SELECT count(*) FROM inbox WHERE homeowner_id IS NULL") == 2
    assert chats.house.value("SELECT consent FROM reach WHERE address = ?", STRANGER[1]) == 1


@pytest.mark.parametrize("told", ["31522", "a photo", "a question", "another chat"])
async def test_a_chat_that_told_us_something_keeps_it(chats: Chats, told: str) -> None:
    """Nothing is erased that nobody asked to erase, and the code is not used up."""
    await a_case(chats)
    if told == "a photo":
        await chats.send(STRANGER, Arrived(), SentPhoto(photo_id="ab" * 32))
    elif told == "a question":
        await chats.send(STRANGER, Arrived(), "person", "Is my mower too old?")
    elif told == "another chat":
        await a_case(chats, STRANGER)
        await chats.send(DESK, f"MOVE {await chats.code(STRANGER)}")
        await chats.send(STRANGER, "start over", "yes")
    else:
        await chats.send(STRANGER, Arrived(), told)
    code, before = await chats.code(WEB), await chats.homeowner(STRANGER)

    assert "a lawn of its own" in await chats.send(STRANGER, f"MOVE {code}")
    assert (await chats.homeowner(STRANGER)).lawns == before.lawns

    await chats.send(STRANGER, "forget me", "yes")
    assert "Got it." in await chats.send(STRANGER, f"MOVE {code}")


async def test_a_chat_that_wants_quiet_stays_quiet(chats: Chats) -> None:
    """The conversation answers it as anything else; no code is looked up, and none is used."""
    await a_case(chats)
    await chats.send(STRANGER, Arrived(), "stop")
    code = await chats.code(WEB)
    told = await chats.send(STRANGER, f"MOVE {code}")

    assert "I'm quiet" in told
    assert (await chats.homeowner(STRANGER)).standing is Standing.STOPPED
    await chats.send(STRANGER, "start")
    assert "Got it." in await chats.send(STRANGER, f"MOVE {code}")


async def test_a_homeowner_who_wants_quiet_moves_quietly(chats: Chats) -> None:
    """Moving is no wish for messages: they stay as they were."""
    await a_plan(chats)
    code = await chats.code(WEB)
    await chats.send(WEB, "stop")
    await chats.send(PHONE, f"MOVE {code}")

    assert (await chats.homeowner(PHONE)).standing is Standing.STOPPED
    assert chats.house.value("SELECT count(*) FROM reminder WHERE state = 0") == 0


# --- forgetting -----------------------------------------------------------------------------------------------------


async def test_forgetting_from_the_new_chat_erases_both(chats: Chats) -> None:
    """One person, whichever chat they ask in."""
    await a_plan(chats)
    await chats.send(PHONE, f"MOVE {await chats.code(WEB)}")
    await chats.code(PHONE)
    await chats.send(PHONE, "forget me", "yes")

    for table in ("homeowner", "contact", "reminder", "move_code"):
        assert chats.count(table) == 0, table
    assert chats.house.value("SELECT count(*) FROM outbox WHERE homeowner_id IS NOT NULL") == 0
    assert "Where is the lawn" in await chats.send(WEB, Arrived())


async def test_the_code_of_somebody_erased_is_dead(chats: Chats) -> None:
    """It leads nowhere, in the same batch or later."""
    await a_case(chats)
    code = await chats.code(WEB)
    await chats.send(WEB, "forget me")
    await asyncio.gather(chats.send(WEB, "yes"), chats.send(PHONE, f"MOVE {code}"))

    assert "I don't know that code" in chats.told(PHONE)[-1]
    assert "I don't know that code" in await chats.send(STRANGER, f"MOVE {code}")
    assert chats.count("move_code") == 0


async def test_moving_and_forgetting_in_one_batch_leaves_nothing(chats: Chats) -> None:
    """The new chat is linked and erased again in one transaction."""
    await a_case(chats)
    code = await chats.code(WEB)
    await asyncio.gather(*(chats.send(PHONE, words) for words in ("hi", f"MOVE {code}", "forget me", "yes")))

    assert (chats.count("homeowner"), chats.count("contact"), chats.count("move_code")) == (0, 0, 0)
    assert chats.house.value("SELECT count(*) FROM inbox WHERE body <> ''") == 0
