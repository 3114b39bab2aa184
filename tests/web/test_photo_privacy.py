"""What a photo knows of where and with what it was taken stays nowhere."""

from __future__ import annotations

import logging

import pytest

from tests.fakes.house import House
from tests.photos.pictures import with_traces
from tests.web.visitor import Visitor


async def test_no_file_no_row_and_no_log_line_holds_what_a_camera_noted(
    house: House, visitor: Visitor, caplog: pytest.LogCaptureFixture
) -> None:
    """The whole data folder is searched after an upload with a place, a name and a camera in it."""
    caplog.set_level(logging.DEBUG)
    photo = with_traces()
    assert b"GIVEAWAY" in photo
    await visitor.say("31522")
    await visitor.photograph(photo)
    assert "keep" in visitor.newest or "kept" in visitor.newest

    files = [path for path in house.folder.rglob("*") if path.is_file()]
    assert any(len(path.name) == 64 for path in files), "the photo is there, under the hash of what is kept of it"
    assert not [path for path in files if b"GIVEAWAY" in path.read_bytes()]
    assert "GIVEAWAY" not in caplog.text
    assert "GIVEAWAY" not in visitor.seen
