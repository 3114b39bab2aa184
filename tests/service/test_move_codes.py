"""What keeps a lawn safe that can be moved: codes, wrong codes, and taking a move back."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from datetime import timedelta
from pathlib import Path

import pytest

from bot.service import Service
from bot.store import moves, reaches
from bot.store.database import milliseconds
from bot.store.moves import WRONG_OF_ALL, WRONG_OF_ONE
from bot.talk.understand.move_codes import move_code
from tests.service.chats import (
    DESK,
    PHONE,
    STRANGER,
    TALK,
    WEB,
    Chats,
    a_case,
    a_plan,
    code_in,
    open_chats,
    where_reminders_wait,
)
from tests.talk.conversation import FIRST, NOON_IN_JANUARY


@pytest.fixture
async def chats(tmp_path: Path) -> AsyncIterator[Chats]:
    async with open_chats(tmp_path) as opened:
        yield opened


# --- codes -----------------------------------------------------------------------------------------------------------


async def test_a_code_is_stored_as_a_digest_only(chats: Chats) -> None:
    """The table alone gives no code away."""
    await a_case(chats)
    code = await chats.code(WEB)
    ((digest, made_ms, expires_ms, used_ms),) = chats.house.rows(
        "SELECT digest, made_ms, expires_ms, used_ms FROM move_code"
    )

    assert move_code(code) not in digest
    assert (expires_ms - made_ms, used_ms) == (30 * 60_000, None)


async def test_a_new_code_takes_the_place_of_the_old_one(chats: Chats) -> None:
    """One open code a homeowner."""
    await a_case(chats)
    old, new = await chats.code(WEB), await chats.code(WEB, "/move")

    assert chats.count("move_code") == 1
    assert "I don't know that code" in await chats.send(STRANGER, f"MOVE {old}")
    assert "Got it." in await chats.send(PHONE, new.lower())


async def test_a_code_is_dead_after_half_an_hour(chats: Chats) -> None:
    """It works for 30 minutes."""
    await a_case(chats)
    late = await chats.code(WEB)
    chats.house.pass_time(minutes=30)
    assert "It may be old" in await chats.send(PHONE, f"MOVE {late}")

    in_time = await chats.code(WEB)
    chats.house.pass_time(minutes=29, seconds=59)
    assert "Got it." in await chats.send(PHONE, f"MOVE {in_time}")


async def test_codes_come_from_a_source_that_can_be_set(chats: Chats) -> None:
    """Chance is the shell's business."""
    house = chats.house
    house.service = Service(house.store, TALK, house.clock, committed=lambda: None, new_code=lambda: "7KQ4M2XD")
    await a_case(chats)

    assert "MOVE 7KQ4-M2XD" in await chats.send(WEB, "continue on telegram")
    await house.service.close()


async def test_two_wishes_in_one_batch_leave_the_later_code(chats: Chats) -> None:
    """Both are answered; the one told last counts."""
    await a_case(chats)
    after = chats.house.value("SELECT max(id) FROM outbox")
    await asyncio.gather(chats.send(WEB, "move"), chats.send(WEB, "move"))
    first, second = (code_in(told) for told in chats.told(WEB, after))

    assert "I don't know that code" in await chats.send(PHONE, first)
    assert "Got it." in await chats.send(PHONE, second)


async def test_a_chat_without_a_lawn_gets_no_code(chats: Chats) -> None:
    """Who types it in the new chat first is told where to type it."""
    assert "no lawn to move in this chat yet" in await chats.send(PHONE, "MOVE")
    assert chats.count("move_code") == 0


async def test_a_code_in_the_chat_it_came_from_is_kept(chats: Chats) -> None:
    """They are here already; the code still works in the other chat."""
    await a_case(chats)
    code = await chats.code(WEB)

    assert "You are already here" in await chats.send(WEB, f"MOVE {code}")
    assert "Got it." in await chats.send(PHONE, f"MOVE {code}")


# --- wrong codes ----------------------------------------------------------------------------------------------------


async def test_five_wrong_codes_an_hour_from_one_address(tmp_path: Path) -> None:
    """Then a code is not even looked up, not after a restart nor after being forgotten; others are not held up."""
    async with open_chats(tmp_path) as chats:
        await a_case(chats)
        code = await chats.code(WEB)
        for number in range(WRONG_OF_ONE):
            assert "I don't know that code" in await chats.send(STRANGER, f"MOVE {number + 2}222-CDFG")
        assert "too many" in await chats.send(STRANGER, f"MOVE {code}")
        await chats.send(STRANGER, "forget me", "yes")
        assert STRANGER not in chats.linked()
        assert STRANGER[1] not in {address for (address,) in chats.house.rows("SELECT address FROM move_try")}

    async with open_chats(tmp_path, NOON_IN_JANUARY + timedelta(minutes=20)) as chats:
        assert "too many" in await chats.send(STRANGER, f"MOVE {code}")
        assert "Got it." in await chats.send(PHONE, f"MOVE {code}")

    async with open_chats(tmp_path, NOON_IN_JANUARY + timedelta(hours=1)) as chats:
        code = await chats.code(PHONE)
        assert "Got it." in await chats.send(STRANGER, f"MOVE {code}")


async def test_fifty_wrong_codes_an_hour_from_all(chats: Chats) -> None:
    """Fresh addresses do not help whoever guesses."""
    await a_case(chats)
    code = await chats.code(WEB)
    strangers = [("web", f"browser {number}") for number in range(WRONG_OF_ALL)]
    await asyncio.gather(*(chats.send(each, "MOVE 2222-CDFG") for each in strangers))

    assert chats.count("move_try") == WRONG_OF_ALL
    assert "too many" in await chats.send(PHONE, f"MOVE {code}")
    assert chats.count("move_try") == WRONG_OF_ALL


async def test_tries_go_after_the_hour(chats: Chats) -> None:
    """What no limit looks at is not kept."""
    await chats.send(STRANGER, "MOVE 2222-CDFG")
    chats.house.pass_time(hours=1)
    await chats.send(PHONE, "MOVE 2222-CDFG")

    assert chats.house.rows("SELECT channel FROM move_try") == [("sms",)]


# --- not me ---------------------------------------------------------------------------------------------------------


async def test_not_me_cuts_the_new_chat_off(chats: Chats) -> None:
    """It is a stranger again, hears nothing of it, and its open code is dead; the lawn is where it was."""
    await a_case(chats)
    await chats.send(STRANGER, f"MOVE {await chats.code(WEB)}")
    code, rows = await chats.code(STRANGER), len(chats.told(STRANGER))

    told = await chats.send(WEB, "NOT ME")
    assert "The other chat is cut off" in told
    assert (chats.linked(), chats.heard_at()) == ({WEB}, [WEB])
    assert len(chats.told(STRANGER)) < rows  # what was not sent yet is not sent
    assert "I don't know that code" in await chats.send(PHONE, f"MOVE {code}")
    assert "After a hard freeze" in await chats.send(STRANGER, "31522")


async def test_not_me_takes_waiting_reminders_back(chats: Chats) -> None:
    """What nobody asked for comes to the chat that is left."""
    await a_plan(chats)
    await chats.send(STRANGER, f"MOVE {await chats.code(WEB)}")
    chats.house.pass_time(days=5)
    await chats.house.bring_up_all()
    assert await where_reminders_wait(chats) == {STRANGER}

    await chats.send(WEB, "that wasn't me")
    assert await where_reminders_wait(chats) == {WEB}


async def test_whoever_joined_cannot_cut_off_where_they_came_from(chats: Chats) -> None:
    """Only a chat that was told of a move may take it back."""
    await a_case(chats)
    await chats.send(STRANGER, f"MOVE {await chats.code(WEB)}")
    await chats.send(STRANGER, "not me")

    assert chats.linked() == {WEB, STRANGER}


async def test_not_me_holds_to_who_joined_not_to_what_was_said(chats: Chats) -> None:
    """An answer that is taken back before it is sent makes nobody else the one who joined."""
    await a_case(chats)
    await chats.send(PHONE, f"MOVE {await chats.code(WEB)}")
    chats.house.pass_time(minutes=1)
    await chats.send(STRANGER, f"MOVE {await chats.code(PHONE)}")
    async with chats.house.store.database.write() as tx:
        await reaches.take_back(tx, *STRANGER)

    await chats.send(PHONE, "not me")
    assert chats.linked() == {WEB, PHONE}


async def test_not_me_cuts_off_every_chat_that_joined_since(chats: Chats) -> None:
    """A stranger who moves on at once is cut off at both."""
    await a_case(chats)
    await chats.send(STRANGER, f"MOVE {await chats.code(WEB)}")
    await chats.send(DESK, f"MOVE {await chats.code(STRANGER)}")
    await chats.send(WEB, "No, it was not me!")

    assert chats.linked() == {WEB}


async def test_not_me_works_for_a_week_and_once(chats: Chats) -> None:
    """Later, or without a move, it is a word like any other."""
    await a_case(chats)
    await chats.send(PHONE, f"MOVE {await chats.code(WEB)}")
    chats.house.pass_time(days=7)
    assert "cut off" not in await chats.send(WEB, "not me")
    assert chats.linked() == {WEB, PHONE}

    await chats.send(STRANGER, f"MOVE {await chats.code(WEB)}")
    assert "cut off" in await chats.send(WEB, "not me")
    assert "cut off" not in await chats.send(WEB, "not me")
    assert chats.linked() == {WEB, PHONE}


async def test_what_the_cut_off_chat_said_in_that_batch_is_a_strangers(chats: Chats) -> None:
    """Words that come in right behind the cut change nothing of the lawn."""
    await a_case(chats)
    await chats.send(STRANGER, f"MOVE {await chats.code(WEB)}")
    before = (await chats.homeowner(WEB)).lawns
    await asyncio.gather(chats.send(STRANGER, "plan"), chats.send(WEB, "not me"), chats.send(STRANGER, FIRST[2]))

    assert (await chats.homeowner(WEB)).lawns == before
    assert await chats.house.store.find_homeowner(*STRANGER) == 2
    assert {
        owner for (owner,) in chats.house.rows("SELECT homeowner_id FROM outbox WHERE address = ?", STRANGER[1])
    } <= {2}


# --- the store ------------------------------------------------------------------------------------------------------


async def test_old_codes_go(chats: Chats) -> None:
    """Unused ones when they are dead, used ones when a move cannot be taken back any more."""
    await a_case(chats)
    await chats.send(PHONE, f"MOVE {await chats.code(WEB)}")
    await chats.code(WEB)
    for days, left in ((6, 1), (1, 0)):
        chats.house.pass_time(days=days)
        async with chats.house.store.database.write() as tx:
            await moves.drop_old(tx, milliseconds(chats.house.clock.now()))
        assert chats.count("move_code") == left


def test_codes_are_sound_and_differ() -> None:
    """No two of a thousand are the same, and each is read again as it is."""
    codes = {moves.new_code() for _ in range(1000)}

    assert len(codes) == 1000
    assert [code for code in codes if move_code(code) != code] == []
