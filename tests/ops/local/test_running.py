"""A service that starts knows what holds before it answers anybody."""

from __future__ import annotations

from pathlib import Path

from bot.clock import SetClock
from bot.commands.start_desk import DeskSettings, OperatorsSide
from bot.conversation import known_here, talk_knowing
from bot.ops.local.pieces import Piece
from bot.settings import Settings
from bot.talk.known import LocalRules
from bot.wiring import Ways, running
from bot.words import Words
from tests.ops.learning.town import GLYNN
from tests.ops.local.conftest import Office
from tests.talk.conversation import NOON_IN_JANUARY, WORDS


async def test_what_holds_is_read_before_the_first_message(office: Office) -> None:
    """Nothing is known before; then it is, and a place elsewhere has nothing."""
    given = DeskSettings(settings=Settings(), clock=office.house.clock, words=WORDS, terms={})
    side = OperatorsSide(given, known_here(WORDS, Settings()))
    await office.say(office.county, Piece.NOTE, words="Office hours are Tuesday.")
    assert side.known.local_at(GLYNN) is None
    await side.prepare(office.house.store)

    assert side.known.local_at(GLYNN) == LocalRules(note="Office hours are Tuesday.")
    assert side.known.local_at(None) is None


async def test_a_start_waits_for_it(tmp_path: Path) -> None:
    """It is done with the store open and nothing else running yet."""
    order: list[str] = []
    settings, words = Settings(data=tmp_path), Words()

    async def prepare(store: object) -> None:
        order.append("prepared")

    def chores(store: object, service: object) -> tuple[()]:
        order.append("chores")
        return ()

    talk = talk_knowing(words, known_here(words, settings))
    ways = Ways(prepare=prepare, chores=chores)
    async with running(settings, SetClock(NOON_IN_JANUARY), [], talk, ways=ways):
        order.append("running")

    assert order == ["prepared", "chores", "running"]
