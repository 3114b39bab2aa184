"""The courier under a channel's limits, pauses, unanswered sends, consent and leases."""

from __future__ import annotations

import asyncio
import time

import pytest

from bot.arrivals import Consent, ConsentNote
from bot.errors import ChannelClosed, Moved, SlowDown, TryAgain, Uncertain, Unreachable
from bot.pace import Limits
from bot.store import leases, reaches
from bot.terms import Terms
from tests.courier.conftest import Post
from tests.fakes.far_side import FarSide


class TimedFarSide(FarSide):
    """Notes when each message arrived, and counts what one costs by its text ("... 3" costs three)."""

    def __init__(self, name: str = "web") -> None:
        super().__init__(name=name)
        self.times: list[tuple[str, float]] = []

    async def send(self, address: str, outbox_id: int, rendered) -> str | None:  # type: ignore[no-untyped-def, override]
        self.times.append((address, time.monotonic()))
        await super().send(address, outbox_id, rendered)
        return f"far-{outbox_id}"

    def cost(self, rendered) -> int:  # type: ignore[no-untyped-def]
        return 2


def paced(**limits: object) -> dict[str, Terms]:
    return {"web": Terms(in_flight=4, limits=Limits(**limits))}  # type: ignore[arg-type]


async def _remind(post: Post, *addresses: str) -> None:
    """Queue one reminder each, as the clock would."""
    for address in addresses:
        await post.house.hear(address, "remind cut 2026-02-10 11:00")
    await post.house.change("UPDATE outbox SET state = 1")
    post.house.pass_time(hours=2)
    await post.house.bring_up_all()


async def test_no_window_holds_more_than_its_units(post: Post) -> None:
    """Counted from what arrived, whatever is in the air at the same time."""
    far = TimedFarSide()
    for number in range(60):
        await post.house.hear(f"chat-{number}", "hello")
    post.start(far, terms=paced(units=10, window_seconds=0.1))
    await post.settle()

    times = [at for _, at in far.times]
    closest = min(times[place + 10] - times[place] for place in range(len(times) - 10))
    assert closest >= 0.1
    assert len(far.arrived) == 60


async def test_two_sends_to_one_chat_stand_apart_and_hold_up_nobody_else(post: Post) -> None:
    """While one chat rests the others are served."""
    far = TimedFarSide()
    await post.house.hear("anna", "two")
    for number in range(5):
        await post.house.hear(f"chat-{number}", "hello")
    post.start(far, terms=paced(gap_of=lambda _address: 0.15))
    await post.settle()

    first, second = (at for address, at in far.times if address == "anna")
    assert second - first >= 0.15
    assert [address for address, _ in far.times][-1] == "anna"
    assert far.texts("anna") == ["first 1", "second 1"]


async def test_nothing_goes_out_while_the_far_side_wants_a_pause(post: Post) -> None:
    """The row that met the pause goes first after it, and it cost that row no try."""
    far = TimedFarSide()
    far.answers.append(SlowDown("too fast", after_seconds=0.2))
    for number in range(6):
        await post.house.hear(f"chat-{number}", "hello")
    post.start(far, terms={"web": Terms(in_flight=1)})
    await post.settle()

    asked_at = far.times[0][1]
    assert all(at - asked_at >= 0.2 for _, at in far.times[1:])
    assert len(far.arrived) == 6
    assert post.house.rows("SELECT DISTINCT attempts FROM outbox") == [(1,)]


async def test_a_row_that_was_put_off_for_days_is_given_up(post: Post, caplog: pytest.LogCaptureFixture) -> None:
    """Not even a far side that only ever asks for patience is tried for ever."""
    post.far.answers.append(SlowDown("too fast", after_seconds=0.01))
    await post.house.hear("anna", "hello")
    post.house.pass_time(days=3, hours=1)
    post.start()
    await post.until(lambda: post.house.value("SELECT state FROM outbox") == 2)

    assert "put off for days" in caplog.text


async def test_an_unanswered_reminder_is_sent_once_more_after_a_minute(post: Post) -> None:
    """It may have arrived: twice is better than never, three times is not."""
    await _remind(post, "anna")
    post.far.answers.extend([Uncertain("no answer"), Uncertain("no answer")])
    courier = post.start()
    await post.until(lambda: len(post.far.tried) == 1)
    await post.until(lambda: post.house.value("SELECT max(unsure) FROM outbox") == 1)
    post.house.pass_time(seconds=59)
    courier.wake()
    await asyncio.sleep(0.05)
    assert len(post.far.tried) == 1

    post.house.pass_time(seconds=2)
    courier.wake()
    await post.settle()
    courier.wake()
    await asyncio.sleep(0.05)
    assert len(post.far.tried) == 2
    assert post.house.value("SELECT unsure FROM outbox WHERE urgency = 2") == 2


async def test_an_unanswered_reply_is_not_sent_again(post: Post, caplog: pytest.LogCaptureFixture) -> None:
    """The next part of the same answer follows; the doubt is noted."""
    post.far.answers.append(Uncertain("no answer"))
    await post.house.hear("anna", "two")
    post.start()
    await post.settle()

    assert post.far.tried == ["anna", "anna"]
    assert post.far.texts() == ["second 1"]
    assert post.house.rows("SELECT state, unsure FROM outbox ORDER BY id") == [(1, 1), (1, 0)]
    assert "no answer in time" in caplog.text


async def test_a_chat_that_moved_gets_its_messages_at_the_new_address(post: Post) -> None:
    """Everything that waits follows, in order, and whoever it is keeps their case."""
    post.far.answers.append(Moved("moved", "anna-2"))
    await post.house.hear("anna", "two")
    post.start()
    await post.settle()

    assert post.far.texts("anna-2") == ["first 1", "second 1"]
    assert await post.house.store.find_homeowner("web", "anna-2") == 1


async def test_a_closed_channel_waits_for_a_person(post: Post, caplog: pytest.LogCaptureFixture) -> None:
    """A wrong key is said in plain words, and no message is lost over it."""
    post.far.answers.append(ChannelClosed("The key is wrong; put the right one into AFTERFROST_X."))
    await post.house.hear("anna", "hello")
    post.start()
    await post.until(lambda: "put the right one" in caplog.text)

    assert post.pending() == 1
    assert post.far.tried == ["anna"]


async def test_who_cannot_be_reached_gets_no_more_reminders_until_they_write(post: Post) -> None:
    """A reminder to a closed address is parked without a try; a reply is tried, and opens it again."""
    await _remind(post, "anna")
    post.far.answers.append(Unreachable("blocked"))
    courier = post.start()
    await post.settle()
    assert post.far.tried == ["anna"]
    assert post.house.value("SELECT unreachable_ms FROM reach") is not None

    await post.house.change("UPDATE outbox SET state = 0, next_try_ms = 0 WHERE state = 2")
    courier.wake()
    await post.settle()
    assert post.far.tried == ["anna"]

    await post.house.hear("anna", "hello")
    await post.settle()
    assert post.far.texts("anna") == ["counted 3 hello"]
    assert post.house.value("SELECT unreachable_ms FROM reach") is None


async def test_without_consent_only_replies_go_out(post: Post, caplog: pytest.LogCaptureFixture) -> None:
    """On a channel that asks for it, what nobody asked for needs a yes that still stands."""
    await _remind(post, "anna", "bert", "cleo")
    for address, consents in (("bert", [Consent.GIVEN]), ("cleo", [Consent.GIVEN, Consent.WITHDRAWN])):
        async with post.house.store.database.write() as tx:
            for consent in consents:
                note = ConsentNote(consent=consent, said="yes", shown="ask", source="text")
                await reaches.note_consent(tx, "web", address, [note], 0)
    await post.house.hear("anna", "hello")
    post.start(terms={"web": Terms(needs_consent=True)})
    await post.settle()

    assert sorted(one.address for one in post.far.arrived) == ["anna", "bert"]
    assert post.far.texts("anna") == ["counted 3 hello"]
    assert "nobody who may be written to" in caplog.text


async def test_a_day_that_is_used_up_leaves_room_for_replies(post: Post) -> None:
    """Bulk stops at its share of the day; somebody who writes is still answered; the rest goes out a day later."""
    far = TimedFarSide()
    terms = {"web": Terms(limits=Limits(day_units=8, most_at_once=2, reply_share=0.5))}
    await _remind(post, *(f"chat-{number}" for number in range(5)))
    courier = post.start(far, terms=terms)
    await post.until(lambda: len(far.arrived) == 2)
    await asyncio.sleep(0.05)
    assert len(far.arrived) == 2
    await post.house.hear("anna", "hello")
    await post.until(lambda: len(far.texts("anna")) == 1)
    await post.until(lambda: post.house.value("SELECT sum(units) FROM spent") == 6)

    post.house.pass_time(hours=24)
    courier.wake()
    await post.until(lambda: len(far.arrived) == 5)


async def test_what_was_spent_is_remembered_over_a_restart(post: Post) -> None:
    """Stopping and starting gives no new day."""
    terms = {"web": Terms(limits=Limits(day_units=8, most_at_once=2, reply_share=0.5))}
    await _remind(post, *(f"chat-{number}" for number in range(5)))
    far = TimedFarSide()
    courier = post.start(far, terms=terms)
    await post.until(lambda: len(far.arrived) == 2)
    await asyncio.sleep(0.02)
    await courier.drain(1)
    post.start(far, terms=terms)
    await asyncio.sleep(0.1)

    assert len(far.arrived) == 2


async def test_a_sender_that_lost_its_lease_marks_and_sends_nothing(post: Post) -> None:
    """A process that slept while another took over finds its fence outdated."""
    await post.house.hear("anna", "hello")
    post.far.after = asyncio.Event()
    courier = post.start()
    await post.until(lambda: len(post.far.arrived) == 1)
    async with post.house.store.database.write() as tx:
        fence = await leases.take(tx, "send:web", "another", 0, 1, by_force=True)
        assert fence == 2
    await post.house.change("UPDATE outbox SET fence = 2")
    post.far.after.set()
    await asyncio.sleep(0.05)

    assert post.house.rows("SELECT state, fence FROM outbox") == [(0, 2)]
    await post.kill(courier)


async def test_a_lease_is_held_by_one_until_it_runs_out(post: Post) -> None:
    """Where several processes share a database the second waits; a clock that jumped far ahead locks nobody out."""
    database = post.house.store.database
    async with database.write() as tx:
        assert await leases.take(tx, "x", "one", 1_000, 31_000, by_force=False) == 1
        assert await leases.take(tx, "x", "two", 2_000, 32_000, by_force=False) is None
        assert await leases.renew(tx, "x", 1, 40_000)
        assert await leases.take(tx, "x", "two", 40_001, 70_001, by_force=False) == 2
        assert not await leases.renew(tx, "x", 1, 80_000)
        assert await leases.take(tx, "x", "three", -900_000_000, -899_970_000, by_force=False) == 3


async def test_what_was_counted_is_added_up(post: Post) -> None:
    """Sent, failed and tried again, kept over restarts."""
    post.far.answers.extend([TryAgain("busy", after_seconds=0), None])
    await post.house.hear("anna", "hello")
    await post.house.hear("bert", "hello")
    courier = post.start()
    await post.until(lambda: post.pending() == 1)
    post.house.pass_time(seconds=5)
    courier.wake()
    await post.settle()
    await courier.flush_counts()

    counted = dict(post.house.rows("SELECT name, value FROM meter WHERE channel = 'web'"))
    assert (counted["sent"], counted["failed"], counted["retried"]) == (2, 1, 1)


async def test_an_opt_out_during_a_broadcast_stops_the_rest_to_that_person(post: Post) -> None:
    """Their remaining messages are gone with the transaction of their own words."""
    await _remind(post, *(f"chat-{number}" for number in range(30)))
    post.far.takes_seconds = 0.005
    post.start()
    await post.until(lambda: len(post.far.arrived) >= 3)
    await post.house.hear("chat-29", "hush")
    stopped_at = len(post.far.arrived)
    await post.settle()

    assert stopped_at < 29
    assert [text.split()[0] for text in post.far.texts("chat-29")] == ["counted"]
