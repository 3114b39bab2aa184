"""An owner who sends photos of a lawn whose plan was talked about, each another picture."""

from __future__ import annotations

from dataclasses import replace

from bot.talk import answers
from bot.talk.advice import lawn_view
from bot.talk.cover import CoverSeen
from bot.talk.incoming import SentPhoto
from tests.talk.conversation import FIRST, KNOWN, Conversation, talked_to_plan


class Album:
    """Photos, each another picture."""

    def __init__(self, talk: Conversation) -> None:
        self.talk = talk
        self.count = 0

    def send(self, percent: float = 10.0, *, more_follow: bool = False, **more: object) -> None:
        """The owner sends a photo on which so much is green."""
        self.count += 1
        seen = CoverSeen(
            percent=percent, low=max(0.0, percent - 6), high=min(100.0, percent + 6), upload="page",
            dhash=f"{self.count * 0x9E3779B97F4A7C15 % 2**64:016x}",
        )  # fmt: skip
        changed = replace(seen, **more)  # type: ignore[arg-type]
        self.talk.take(SentPhoto(photo_id=f"{self.count:064x}", cover=changed, more=more_follow))

    def over_weeks(self, *percents: float, days: float = 7, weeds: str = "no") -> None:
        """One photo a week, each answered for weeds."""
        for percent in percents:
            self.send(percent)
            if self.talk.asked == "do_photo_weeds":
                self.talk.say(weeds)
            self.talk.pass_days(days)


def in_spring() -> Album:
    """A lawn whose plan was talked about, on the day its ground is warm."""
    talk = talked_to_plan()
    season = lawn_view(talk.case, KNOWN).season
    talk.pass_days((season.warm_soil_on - talk.now.date()).days)
    return Album(talk)


def in_two_spots() -> Album:
    """The same with a front and a back."""
    talk = Conversation()
    talk.arrive()
    for said in FIRST:
        talk.say(said)
    while talk.asked != "spots":
        talk.say("not sure")
    talk.say("front and back")
    assert len(answers.spots(talk.case)) == 2
    return Album(talk)
