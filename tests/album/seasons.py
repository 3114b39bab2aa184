"""A spring in two parts of an invented lawn, told through the real reducer, with rendered turf as its photos."""

from __future__ import annotations

import io
from dataclasses import dataclass, field
from functools import cache

from PIL import Image

from bot.talk import answers
from bot.talk.advice import lawn_view
from bot.talk.case import Homeowner
from bot.talk.cover import CoverSeen
from bot.talk.incoming import SentPhoto
from bot.talk.known import Known
from bot.words import Words
from tests.fakes.turf import Look, Scene, lawn, photographed
from tests.talk.conversation import Conversation, two_parts

WORDS = Words()


@cache
def turf(percent: int, size: tuple[int, int] = (480, 360)) -> bytes:
    """A kept photo of turf that is so green."""
    scene = Scene(truth_percent=percent, seed=percent + 1, size=size, blade_px=3)
    out = io.BytesIO()
    Image.fromarray(photographed(lawn(scene), Look(quality=None))).save(out, "JPEG", quality=85)
    return out.getvalue()


@dataclass(slots=True)
class Folder:
    """Photos by id; whoever reads is noted."""

    photos: dict[str, bytes] = field(default_factory=dict)
    asked: list[str] = field(default_factory=list)

    def read(self, photo_id: str) -> bytes | None:
        self.asked.append(photo_id)
        return self.photos.get(photo_id)


@dataclass(slots=True)
class Spring:
    """One owner who sends photos."""

    talk: Conversation
    folder: Folder = field(default_factory=Folder)

    @property
    def homeowner(self) -> Homeowner:
        assert self.talk.homeowner is not None
        return self.talk.homeowner

    @property
    def known(self) -> Known:
        return self.talk.known

    def send(self, percent: float, content: bytes = b"", **more: object) -> str:
        """A photo on which so much is green. Returns its id."""
        number = len(self.folder.photos) + 1
        photo_id = f"{number:064x}"
        self.folder.photos[photo_id] = content
        seen = {
            "percent": percent,
            "low": max(0.0, percent - 6),
            "high": min(100.0, percent + 6),
            "upload": "page",
            "dhash": f"{number * 0x9E3779B97F4A7C15 % 2**64:016x}",
        }
        self.talk.take(SentPhoto(photo_id=photo_id, cover=CoverSeen(**(seen | more))))  # type: ignore[arg-type]
        return photo_id

    def show(self, spot: str, percent: float, content: bytes = b"", *, weeds: str = "no", **more: object) -> str:
        """The same, filed under a spot and answered for weeds."""
        photo_id = self.send(percent, content, **more)
        if self.talk.asked == "do_spot":
            self.talk.press(spot)
        if self.talk.asked == "do_photo_weeds":
            self.talk.say(weeds)
        return photo_id


def spring_of(talk: Conversation | None = None) -> Spring:
    """A lawn with a confirmed plan, of a front and a back unless told otherwise, on the day its ground is warm."""
    spring = Spring(talk or two_parts())
    season = lawn_view(spring.talk.case, spring.known).season
    spring.talk.pass_days((season.warm_soil_on - spring.talk.now.date()).days)
    return spring


def grown(weeks: int = 5, *, with_pictures: bool = False) -> Spring:
    """Weekly photos: the front comes back, the back stays bare."""
    spring = spring_of()
    names = answers.spots(spring.talk.case)
    for week in range(weeks):
        front, back = 3 + 14 * week, 1 + week // 3
        spring.show(names[0], front, turf(front) if with_pictures else b"")
        spring.show(names[1], back, turf(back) if with_pictures else b"")
        spring.talk.pass_days(7)
    return spring
