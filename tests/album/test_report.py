"""The report as a file: whole by itself, safe, and readable without seeing."""

from __future__ import annotations

import base64
import io
import re
from dataclasses import replace
from datetime import timedelta
from html.parser import HTMLParser
from itertools import pairwise

from PIL import Image

from bot.album.report import LONGEST_PX, MOST_PHOTOS, album_report
from bot.album.season import Album, Report, albums_of
from bot.album.wording import Teller
from bot.talk.messages import Verbatim, text
from tests.album.seasons import WORDS, Spring, grown, turf
from tests.web.visitor import plain

TELLER = Teller(WORDS, language="en", metric=False)
_VOID = frozenset({"meta", "img", "br", "link", "hr", "input"})
_DATA = re.compile(r'src="data:image/(jpeg|png);base64,([^"]+)"')


class Outline(HTMLParser):
    """Which tags were opened and not closed, the ids, the headings, and every picture's words."""

    def __init__(self, source: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.wrong: list[str] = []
        self.ids: list[str] = []
        self.headings: list[int] = []
        self.alts: list[str] = []
        self.feed(source)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = dict(attrs)
        self.ids += [each for each in (told.get("id"),) if each]
        if tag == "img":
            self.alts.append(told.get("alt") or "")
        if re.fullmatch(r"h[1-6]", tag):
            self.headings.append(int(tag[1]))
        if tag not in _VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.wrong.append(tag)


def album_of(spring: Spring) -> Album:
    (album,) = albums_of(spring.homeowner, spring.known, spring.talk.now, set(spring.folder.photos))
    return album


def seen(spring: Spring, *albums: Album, png: bytes = b"\x89PNG") -> str:
    charts = {spot.chart: png for album in albums for spot in album.spots if spot.chart is not None}
    return album_report(albums, charts, spring.folder.read, TELLER).decode()


def test_everything_is_inside_and_nothing_is_asked_of_anybody() -> None:
    """Pictures as data, styles in the file, no scripts and no addresses."""
    spring = grown(3, with_pictures=True)
    source = seen(spring, album_of(spring))
    sources = re.findall(r'(?:src|href)="([^"]{0,40})', source)

    assert len(sources) == 6 + 2
    assert all(each.startswith("data:image/") for each in sources)
    assert "<script" not in source and "http:" not in source and "https:" not in source and "@import" not in source
    assert "default-src 'none'" in source


def test_photos_are_no_larger_than_a_page_needs() -> None:
    """Scaled down to the limit, never up, without metadata."""
    spring = grown(1)
    first, second = spring.folder.photos
    spring.folder.photos = {first: turf(20, (1400, 1050)), second: turf(20, (320, 240))}
    packed = [base64.b64decode(content) for _, content in _DATA.findall(seen(spring, album_of(spring)))]
    pictures = [Image.open(io.BytesIO(content)) for content in packed]

    assert [picture.size for picture in pictures] == [(LONGEST_PX, 675), (320, 240)]
    assert not any(picture.getexif() for picture in pictures)


def test_it_reads_as_a_whole_without_seeing() -> None:
    """One heading above all, none skipped, every picture in words, every tag closed, no id twice."""
    spring = grown(3, with_pictures=True)
    source = seen(spring, album_of(spring), replace(album_of(spring), lawn=2))
    outline = Outline(source.removeprefix("<!doctype html>"))

    assert source.startswith('<!doctype html>\n<html lang="en">')
    assert (outline.open, outline.wrong) == ([], [])
    assert len(outline.ids) == len(set(outline.ids)) == 6
    assert outline.headings[0] == 1 and outline.headings.count(1) == 1
    assert all(later - earlier <= 1 for earlier, later in pairwise(outline.headings))
    assert all(outline.alts)
    assert outline.alts[0] == "Photo of the front on Fri, Mar 26: 3% green (0 to 9%)"


def test_names_and_words_from_outside_are_only_text() -> None:
    """Whatever somebody calls their lawn, it is shown and does nothing."""
    spring = grown(1)
    album = album_of(spring)
    nasty = '<img src=x onerror="alert(1)">'
    told = Report(on=album.made_on, told=text("album-runners", found=Verbatim(nasty)), words=f"</q>{nasty}")
    where = text("where-spot", name=Verbatim(nasty))
    spots = (replace(album.spots[0], name=nasty, where=where, reports=(told,)),)
    source = seen(spring, replace(album, spots=spots))

    assert nasty not in source and "onerror=" not in source.replace("onerror=&#34;", "")
    assert plain(source).count(nasty) >= 3


def test_it_tells_how_each_spot_stands_and_that_it_may_be_wrong() -> None:
    """State, reports with their days, the plan with what came of it, and the caution."""
    spring = grown(5)
    album = album_of(spring)
    day = album.made_on - timedelta(days=3)
    told = Report(on=day, told=text("album-plugs", alive=Verbatim("2"), total=Verbatim("6")), words="two by the oak")
    said = plain(seen(spring, replace(album, spots=(replace(album.spots[0], reports=(told,)), album.spots[1]))))

    assert "These are odds, not facts." in said
    assert WORDS.text(album.spots[0].state) in said
    assert f"{TELLER.day(day)}: Pot test: 2 of 6 plugs alive two by the oak" in said
    assert "judging day (back)" in said and "passed by" in said and "done" in said


def test_a_photo_that_is_gone_is_said_and_many_are_thinned() -> None:
    """With how many were left out."""
    spring = grown(1)
    front = album_of(spring).spots[0]
    many = tuple(
        replace(front.shots[0], on=front.shots[0].on + timedelta(days=number)) for number in range(MOST_PHOTOS + 7)
    )
    said = plain(seen(spring, replace(album_of(spring), spots=(replace(front, shots=many),))))

    assert said.count("This photo is no longer here.") == MOST_PHOTOS
    assert "7 more photos were left out" in said


def test_a_spot_without_photos_says_so() -> None:
    """It still has its state."""
    spring = grown(1)
    front, back = album_of(spring).spots
    source = plain(seen(spring, replace(album_of(spring), spots=(front, replace(back, shots=(), chart=None)))))

    assert "No photo of this part yet." in source
