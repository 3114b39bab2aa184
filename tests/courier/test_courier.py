from __future__ import annotations

import asyncio
import json
import logging
from datetime import UTC, datetime

import pytest

from bot.errors import Rejected, TryAgain, Unreachable
from bot.lane import PAUSES_SECONDS
from bot.store.schema import REMINDER
from tests.courier.conftest import Post
from tests.fakes.far_side import FarSide, FarSideWithFiles


async def test_what_was_committed_is_sent_and_marked(post: Post) -> None:
    """The service's commit wakes the courier; no tick is needed."""
    post.start()
    await post.house.hear("anna", "two")
    await post.settle()

    assert post.far.texts() == ["first 1", "second 1"]
    assert post.house.rows("SELECT state, attempts FROM outbox") == [(1, 1), (1, 1)]
    assert all(entry.is_done for entry in await post.house.conversation("anna"))


async def test_what_waited_before_the_start_is_sent(post: Post) -> None:
    """A restart picks up what the last process left."""
    await post.house.hear("anna", "hello")
    post.start()
    await post.settle()

    assert post.far.texts() == ["counted 1 hello"]


async def test_order_within_a_chat_is_kept_with_many_in_the_air(post: Post) -> None:
    """However many sends are in the air, no chat ever has two, and none gets its messages out of order."""
    post.far.takes_seconds = 0.001
    post.start(in_flight=8)
    chats = [f"chat-{number}" for number in range(12)]

    async def talk(address: str) -> None:
        for _ in range(6):
            await post.house.hear(address, "two")

    await asyncio.gather(*(talk(address) for address in chats))
    await post.settle()

    for address in chats:
        expected = [f"{which} {turn}" for turn in range(1, 7) for which in ("first", "second")]
        assert post.far.texts(address) == expected
    assert 2 <= post.far.most_in_the_air <= 8


async def test_what_comes_for_a_chat_that_is_being_served_goes_out_right_after(post: Post) -> None:
    """Another sender looks, finds the chat busy and waits; when the chat is free nobody has to wait for a tick."""
    post.far.after = asyncio.Event()
    post.start(in_flight=2)
    await post.house.hear("anna", "one")
    await post.until(lambda: len(post.far.arrived) == 1)
    await post.house.hear("anna", "three")
    await asyncio.sleep(0.05)
    assert len(post.far.arrived) == 1
    post.far.after.set()
    await post.settle()

    assert post.far.texts() == ["counted 1 one", "counted 2 three"]


async def test_one_in_the_air_is_the_rule(post: Post) -> None:
    """Without another setting a channel has one send in the air at a time."""
    post.far.takes_seconds = 0.001
    for number in range(10):
        await post.house.hear(f"chat-{number}", "hello")
    post.start()
    await post.settle()

    assert post.far.most_in_the_air == 1


async def test_a_reply_overtakes_a_running_broadcast(post: Post) -> None:
    """Of a long row of reminders at most the one in the air goes out before a reply that was just made."""
    for number in range(40):
        await post.house.hear(f"chat-{number}", "remind cut 2026-02-10 11:00")
    await post.house.hear("anna", "quiet")
    await post.house.change("UPDATE outbox SET state = 1")
    post.house.pass_time(hours=2)
    await post.house.bring_up_all()
    post.far.takes_seconds = 0.01
    post.start()
    await post.until(lambda: len(post.far.arrived) >= 5)

    before = len(post.far.arrived)
    await post.house.hear("anna", "hello")
    await post.settle()

    place = [one.address for one in post.far.arrived].index("anna")
    assert place - before <= 3
    assert len(post.far.arrived) == 41


async def test_a_reminder_in_front_of_a_reply_goes_first_and_as_early(post: Post) -> None:
    """Order in the chat wins over urgency, and urgency of the chat over the others."""
    for address in ("bert", "anna"):
        await post.house.hear(address, "quiet")
        await post.house.hear(address, "remind cut 2026-02-10 11:00")
    await post.house.change("UPDATE outbox SET state = 1")
    post.house.pass_time(hours=2)
    await post.house.bring_up_all()
    await post.house.hear("anna", "hello")
    assert [urgency for (urgency,) in post.house.rows("SELECT urgency FROM outbox WHERE state = 0 ORDER BY id")] == [
        REMINDER,
        REMINDER,
        0,
    ]
    post.start()
    await post.settle()

    assert post.far.texts() == ["due 3 1/cut", "counted 4 hello", "due 3 1/cut"]
    assert [one.address for one in post.far.arrived] == ["anna", "anna", "bert"]


async def test_a_failed_try_holds_up_its_own_chat_and_no_other(post: Post) -> None:
    """The next try comes when its time has come, and what stands behind it waits."""
    post.far.answers.append(TryAgain("busy", after_seconds=40))
    await post.house.hear("anna", "two")
    await post.house.hear("bert", "hello")
    courier = post.start()
    await post.until(lambda: post.far.texts() == ["counted 1 hello"])
    post.house.pass_time(seconds=39)
    courier.wake()
    await asyncio.sleep(0.05)
    assert post.far.texts("anna") == []

    post.house.pass_time(seconds=10)
    courier.wake()
    await post.settle()
    assert post.far.texts("anna") == ["first 1", "second 1"]
    assert post.house.rows("SELECT attempts FROM outbox WHERE address = 'anna'") == [(2,), (1,)]


async def test_after_eight_tries_a_row_is_parked_and_the_chat_goes_on(
    post: Post, caplog: pytest.LogCaptureFixture
) -> None:
    """Giving up is an error in the log; the pauses grow to hours; later rows of the chat are sent."""
    post.far.answers.extend(TryAgain("busy", after_seconds=0) for _ in range(8))
    await post.house.hear("anna", "two")
    courier = post.start()
    for number, pause in enumerate(PAUSES_SECONDS, start=1):
        await post.until(lambda number=number: len(post.far.tried) == number)  # type: ignore[misc]
        await post.until(
            lambda number=number: post.house.value("SELECT attempts FROM outbox WHERE id = 1") == number  # type: ignore[misc]
        )
        post.house.pass_time(seconds=pause * 1.2 + 0.01)
        courier.wake()
    await post.settle()

    assert post.house.rows("SELECT state, attempts FROM outbox ORDER BY id") == [(2, 8), (1, 1)]
    assert post.far.texts() == ["second 1"]
    assert "Message 1 could not be sent in 8 tries and is parked" in caplog.text


async def test_a_rejected_row_is_parked_and_the_chat_goes_on(post: Post, caplog: pytest.LogCaptureFixture) -> None:
    """Our mistake is kept for us to see, and does not silence the chat."""
    post.far.answers.append(Rejected("too long"))
    await post.house.hear("anna", "two")
    post.start()
    await post.settle()

    assert post.house.rows("SELECT state FROM outbox ORDER BY id") == [(2,), (1,)]
    assert post.far.texts() == ["second 1"]
    assert "was rejected" in caplog.text


async def test_a_recipient_who_is_gone_has_everything_parked(post: Post, caplog: pytest.LogCaptureFixture) -> None:
    """Nothing more is tried for them, others go on, and the log names no address."""
    caplog.set_level(logging.DEBUG, logger="bot")
    post.far.answers.append(Unreachable("blocked"))
    await post.house.hear("anna-secret", "two")
    await post.house.hear("bert", "hello")
    post.start()
    await post.settle()

    assert post.house.rows("SELECT state FROM outbox ORDER BY id") == [(2,), (2,), (1,)]
    assert post.far.tried == ["anna-secret", "bert"]
    assert "Homeowner 1 cannot be reached" in caplog.text
    assert "anna-secret" not in caplog.text


async def test_a_recipient_who_writes_again_is_answered_again(post: Post) -> None:
    """Parked is about what was waiting, not about the person."""
    post.far.answers.append(Unreachable("blocked"))
    await post.house.hear("anna", "hello")
    post.start()
    await post.settle()
    await post.house.hear("anna", "back again")
    await post.settle()

    assert post.far.texts() == ["counted 2 back again"]


async def test_a_channel_with_a_fault_of_its_own_is_tried_again(post: Post, caplog: pytest.LogCaptureFixture) -> None:
    """An exception that is none of the agreed ones is logged without its words, and costs a try."""
    post.far.answers.append(KeyError("words of anna"))
    await post.house.hear("anna", "hello")
    courier = post.start()
    await post.until(lambda: post.house.value("SELECT attempts FROM outbox") == 1)
    post.house.pass_time(seconds=2)
    courier.wake()
    await post.settle()

    assert post.far.texts() == ["counted 1 hello"]
    assert "KeyError" in caplog.text
    assert "words of anna" not in caplog.text


async def test_a_send_that_hangs_counts_as_unanswered(post: Post, monkeypatch: pytest.MonkeyPatch) -> None:
    """A far side that never answers holds up its chat for the limit, not for ever; it may have the message."""
    monkeypatch.setattr("bot.lane.SEND_LIMIT_SECONDS", 0.02)
    post.far.before = asyncio.Event()
    await post.house.hear("anna", "hello")
    post.start()
    await post.settle()
    post.far.before = None
    await post.house.hear("anna", "three")
    await post.settle()

    assert post.far.texts() == ["counted 2 three"]


async def test_a_stored_message_that_cannot_be_read_does_not_stop_the_others(post: Post) -> None:
    """A damaged row waits for its next try; the rest goes out."""
    await post.house.hear("anna", "hello")
    await post.house.hear("bert", "hello")
    await post.house.change("UPDATE outbox SET body = '{}' WHERE address = 'anna'")
    post.start()
    await post.until(lambda: post.pending() == 1)

    assert post.far.texts("bert") == ["counted 1 hello"]


async def test_a_clock_that_is_set_back_holds_nothing_up(post: Post) -> None:
    """A reply made after the clock went back, or before, goes out at once and in order."""
    await post.house.hear("anna", "one")
    post.house.pass_time(days=-9)
    await post.house.hear("anna", "three")
    post.start()
    await post.settle()

    assert post.far.texts() == ["counted 1 one", "counted 2 three"]


async def test_a_copy_of_the_data_is_made_when_it_is_sent(post: Post) -> None:
    """The channel gets one JSON document with everything, the request for it included."""
    far = FarSideWithFiles()
    post.start(far)
    await post.house.hear("anna", "my grass is brown")
    await post.house.hear("anna", "data")
    await post.settle()

    assert far.texts() == ["counted 1 my grass is brown", "copying 2", "document"]
    copy = json.loads(far.documents[0])
    assert [came["what"].get("text") for came in copy["came_in"]] == ["my grass is brown", "data"]


async def test_a_channel_that_cannot_carry_a_copy_parks_it_aloud(post: Post, caplog: pytest.LogCaptureFixture) -> None:
    """It is an error for whoever runs this, and the chat goes on."""
    post.start()
    await post.house.hear("anna", "data")
    await post.house.hear("anna", "hello")
    await post.settle()

    assert post.far.texts() == ["copying 1", "counted 2 hello"]
    assert "was rejected" in caplog.text


async def test_the_last_words_go_out_and_leave_nothing(post: Post) -> None:
    """After the farewell was sent not even its row is left."""
    await post.house.hear("anna", "hello")
    await post.house.hear("anna", "forget me")
    post.start()
    await post.until(lambda: post.house.value("SELECT count(*) FROM outbox") == 0)

    assert post.far.texts() == ["farewell 2"]


@pytest.mark.parametrize("answer", [Unreachable("gone"), Rejected("no")])
async def test_last_words_that_cannot_be_sent_leave_nothing_either(post: Post, answer: Exception) -> None:
    """Nothing personal is parked for somebody who was erased."""
    post.far.answers.append(answer)
    await post.house.hear("anna", "forget me")
    post.start()
    await post.until(lambda: post.house.value("SELECT count(*) FROM outbox") == 0)

    assert post.far.texts() == []


async def test_what_was_erased_while_it_waited_is_not_sent(post: Post) -> None:
    """A wish to be forgotten overtakes what stood in the row; only what is in the air can still arrive."""
    post.far.before = asyncio.Event()
    for address in ("bert", "anna"):
        await post.house.hear(address, "two")
    post.start()
    await post.until(lambda: post.far.tried == ["bert"])
    await post.house.hear("anna", "forget me")
    post.far.before.set()
    await post.until(lambda: post.house.value("SELECT count(*) FROM outbox WHERE state = 0") == 0)

    assert post.far.texts("anna") == ["farewell 2"]
    assert post.far.texts("bert") == ["first 1", "second 1"]


async def test_rows_for_a_channel_that_is_not_running_wait_and_are_named(
    post: Post, caplog: pytest.LogCaptureFixture
) -> None:
    """They go out when the channel runs again."""
    await post.house.hear("anna", "hello")
    courier = post.start(FarSide(name="sms"))
    await post.until(lambda: "1 messages wait for the channel 'web'" in caplog.text)
    await post.kill(courier)

    post.start()
    await post.settle()
    assert post.far.texts() == ["counted 1 hello"]


async def test_two_channels_do_not_wait_for_each_other(post: Post) -> None:
    """A channel that hangs holds up no other."""
    stuck = FarSide(name="sms", before=asyncio.Event())
    post.start(post.far, stuck)
    await post.house.hear("anna", "hello")
    await post.house.change("UPDATE outbox SET channel = 'sms', state = 0")
    await post.house.hear("bert", "hello")
    await post.until(lambda: post.far.texts("bert") == ["counted 1 hello"])
    await post.until(lambda: stuck.tried == ["anna"])

    assert stuck.before is not None
    stuck.before.set()
    await post.settle()


async def test_stopping_lets_what_is_in_the_air_come_back(post: Post) -> None:
    """A stop waits for the answer of the send in the air, marks it, and begins no other."""
    post.far.after = asyncio.Event()
    for address in ("anna", "bert"):
        await post.house.hear(address, "hello")
    courier = post.start()
    await post.until(lambda: len(post.far.arrived) == 1)
    stopping = asyncio.create_task(courier.drain(5))
    await asyncio.sleep(0.02)
    assert not stopping.done()
    post.far.after.set()
    await stopping

    assert post.house.rows("SELECT state FROM outbox ORDER BY id") == [(1,), (0,)]
    assert len(post.far.arrived) == 1


async def test_a_reminder_that_missed_its_evening_waits_for_the_morning(post: Post) -> None:
    """The process was down from half past seven to half past eleven: nobody is woken, and a reply goes out at once."""
    post.house.clock.set(datetime(2026, 2, 10, 22, 0, tzinfo=UTC))  # five in the afternoon in New York
    await post.house.hear("anna", "remind cut 2026-02-10 19:30")
    await post.house.change("UPDATE outbox SET state = 1")
    post.house.pass_time(hours=2, minutes=30)
    await post.house.bring_up_all()
    post.house.pass_time(hours=4)
    courier = post.start()
    await post.house.hear("anna", "hello")
    await post.until(lambda: bool(post.far.arrived))
    assert post.far.texts() == ["counted 3 hello"]

    post.house.clock.set(datetime(2026, 2, 11, 13, 59, 59, tzinfo=UTC))
    courier.wake()
    await asyncio.sleep(0.05)
    assert post.far.texts() == ["counted 3 hello"]

    post.house.pass_time(seconds=1)
    courier.wake()
    await post.settle()
    assert post.far.texts() == ["counted 3 hello", "due 2 1/cut"]
    assert post.house.rows("SELECT attempts FROM outbox ORDER BY id") == [(0,), (1,), (1,)]


async def test_a_reminder_goes_out_in_its_owners_zone_whatever_ours_is(post: Post) -> None:
    """Half past seven in the evening in Denver is half past nine in New York: theirs counts."""
    post.house.clock.set(datetime(2026, 2, 10, 22, 0, tzinfo=UTC))
    for address, zone in (("anna", "America/New_York"), ("bert", "America/Denver")):
        await post.house.hear(address, f"zone {zone}")
        await post.house.hear(address, "remind cut 2026-02-10 17:30")
    await post.house.change("UPDATE outbox SET state = 1")
    post.house.clock.set(datetime(2026, 2, 11, 2, 30, tzinfo=UTC))
    await post.house.bring_up_all()
    post.start()
    await post.until(lambda: bool(post.far.arrived))
    await asyncio.sleep(0.05)

    assert [one.address for one in post.far.arrived] == ["bert"]
    assert post.pending() == 1
