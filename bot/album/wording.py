"""The album's words from the catalogues, in the reader's language and units."""

from __future__ import annotations

from datetime import date

from bot.album.season import Album, Shot, SpotAlbum
from bot.talk.messages import Day, Number, Text, Value, Verbatim, text
from bot.words import Words


class Teller:
    """Finishes the texts of one reader's album."""

    def __init__(self, words: Words, *, language: str, metric: bool) -> None:
        self._words = words
        self.language = language
        self._metric = metric

    def say(self, message: Text) -> str:
        """A text in words."""
        return self._words.text(message, language=self.language, metric=self._metric)

    def key(self, key: str, **values: Value) -> str:
        """An entry of the catalogue in words."""
        return self.say(text(key, **values))

    def day(self, on: date) -> str:
        """A day, with its weekday."""
        return self.key("page-day", day=Day(on))

    def about(self, album: Album) -> str:
        """Spring, place and grass in one line."""
        year = self.key("album-title-year", year=Verbatim(str(album.year)))
        if album.place is None:
            return f"{year}. {self.key('album-about-no-place', grass=album.grass)}"
        return f"{year}. {self.key('album-about', place=album.place, grass=album.grass)}"

    def lawn(self, album: Album) -> str:
        """A lawn's heading, where there are several."""
        return self.key("album-lawn", n=Number(album.lawn))

    def spot(self, spot: SpotAlbum) -> str:
        """A spot's heading: its name with a capital, in the owner's words otherwise."""
        return spot.name[:1].upper() + spot.name[1:] if spot.name else self.key("album-spot-lawn")

    def spot_head(self, album: Album, spot: SpotAlbum, *, several: bool) -> str:
        """A spot's heading over its row; "" where there is nothing to tell it from."""
        if not several:
            return self.spot(spot) if spot.name else ""
        return f"{self.lawn(album)}: {self.spot(spot)}" if spot.name else self.lawn(album)

    def beneath(self, shot: Shot) -> tuple[str, ...]:
        """What stands below a photo's day."""
        return tuple(self.say(told) for told in (shot.green, shot.colour, shot.weeds) if told is not None)

    def photo_alt(self, spot: SpotAlbum, shot: Shot) -> str:
        """What is read out in place of a photo."""
        return self.key("album-photo-alt", where=spot.where, day=Day(shot.on), green=shot.green)

    def left_out(self, count: int) -> str:
        """How many photos a spot has beside those that are shown."""
        return self.key("album-more-photos", n=Number(count))

    def made(self, on: date) -> str:
        """Who made this, and when."""
        return self.key("album-made", day=Day(on))
