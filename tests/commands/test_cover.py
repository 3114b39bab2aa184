"""`afterfrost cover`: photos in, how green they are out."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from bot.__main__ import main
from bot.commands.cover import COLOURS, REASONS
from bot.photos.opening import Reason
from bot.words import Words
from rules.cover_reading import Colour, CoverReason
from tests.fakes.turf import Look, Scene, developed, lawn, packed

FIELDS = {
    "file",
    "usable",
    "reason",
    "green_percent",
    "green_percent_low",
    "green_percent_high",
    "colour",
    "ambiguous",
    "width",
    "height",
    "taken_on",
}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Photos of a lawn, one out of focus, one with paper in blue light, and a file that is no picture."""
    kept = tmp_path_factory.mktemp("photos")
    plain, papered = (lawn(Scene(truth_percent=30, paper=paper)) for paper in (False, True))
    (kept / "lawn.jpg").write_bytes(packed(developed(plain, Look())))
    (kept / "blurred.jpg").write_bytes(packed(developed(plain, Look(blur_px=4))))
    (kept / "paper.jpg").write_bytes(packed(developed(papered, Look(cast=-0.35))))
    (kept / "letter.jpg").write_text("Dear lawn", encoding="utf-8")
    return kept


def run(*arguments: str | Path) -> tuple[int, str]:
    done = CliRunner().invoke(main, ["cover", *map(str, arguments)])
    return done.exit_code, done.stdout


def test_json_holds_one_object_a_photo_in_their_order(folder: Path) -> None:
    """Every field for each photo; percents in order; all of them opened, so all is well."""
    files = [str(folder / "blurred.jpg"), str(folder / "lawn.jpg")]
    code, out = run(*files, "--json")
    blurred, sharp = json.loads(out)

    assert code == 0
    assert files == [blurred["file"], sharp["file"]]
    assert FIELDS <= set(blurred) == set(sharp)
    assert (sharp["usable"], sharp["reason"], sharp["taken_on"]) == (True, None, None)
    assert sharp["green_percent_low"] < 30 < sharp["green_percent_high"]
    assert (sharp["width"], sharp["height"]) == (800, 600)
    assert sharp["colour"] in set(Colour)
    assert (blurred["usable"], blurred["reason"]) == (False, "blurred")


def test_a_file_that_is_no_picture_does_not_stop_the_others(folder: Path) -> None:
    """It has its reason and no figures, the rest is measured, and the exit code says that there was one."""
    code, out = run(folder / "letter.jpg", folder / "gone.jpg", folder, folder / "lawn.jpg", "--json")
    letter, gone, directory, sharp = json.loads(out)

    assert code == 1
    assert (letter["reason"], gone["reason"], directory["reason"]) == ("not_a_picture", "not_found", "not_found")
    assert not any(letter[field] for field in FIELDS - {"file", "reason"})
    assert sharp["usable"]


def test_paper_is_used_when_it_is_spoken_of(folder: Path) -> None:
    """Blue light is refused without a word about paper, and put right with one."""
    _, without = run(folder / "paper.jpg", "--json")
    _, out = run(folder / "paper.jpg", "--json", "--paper")

    assert json.loads(without)[0]["reason"] == "blue_light"
    assert json.loads(out)[0]["usable"]
    assert "I found no sheet of paper in one photo" in run(folder / "lawn.jpg", "--paper")[1]


def test_the_table_tells_the_range_and_what_to_change(folder: Path) -> None:
    """A line for each photo: about how much and between what, or the one thing to change; and about weeds."""
    code, out = run(folder / "lawn.jpg", folder / "blurred.jpg", folder / "letter.jpg")
    lines = out.splitlines()

    assert code == 1
    assert "%" in lines[1] and "-" in lines[1]
    assert "tap the grass to focus" in lines[2] and "%" not in lines[2]
    assert "I can't open that as a picture" in lines[3]
    assert "weeds count too" in out


def test_every_reason_and_colour_has_words() -> None:
    """Each code that can be told names one thing to change, in one or two short sentences."""
    codes = {*CoverReason, *Reason}
    words = Words()

    assert codes - {Reason.TOO_SMALL} <= set(REASONS)
    assert set(COLOURS) == set(Colour)
    for code in CoverReason:
        told = words.text(text_of(code))
        assert any(word in told.lower() for word in ("send", "take", "hold", "point"))


def text_of(code: CoverReason):  # type: ignore[no-untyped-def]
    from bot.talk.messages import text

    return text(REASONS[code])


def test_help_says_what_the_exit_code_means() -> None:
    """Whoever puts it into a script finds it there."""
    done = CliRunner().invoke(main, ["cover", "--help"])

    assert done.exit_code == 0
    assert "Exit code 1" in done.stdout
