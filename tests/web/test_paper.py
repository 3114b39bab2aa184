"""The box that says that a sheet of paper lies in the photo, for a page without scripts."""

from __future__ import annotations

import re
from functools import cache

import pytest

from tests.fakes.turf import Look, Scene, lawn, packed, photographed
from tests.web.visitor import Visitor

TRUTH_PERCENT = 30


@cache
def in_coloured_light(cast: float) -> bytes:
    """A photo of a lawn in blue or orange light, with a sheet of paper in its corner."""
    scene = Scene(truth_percent=TRUTH_PERCENT, blade_px=7, seed=7, size=(800, 600), paper=True)
    return packed(photographed(lawn(scene), Look(cast=cast)), 90)


async def send(visitor: Visitor, photo: bytes, *, paper: bool, form: dict[str, str] | None = None) -> None:
    """Choose a photo, tick the box or leave it, and send. `form`: the fields of a page that is still open."""
    fields = {**(form or visitor.fields("photo")), **({"paper": "yes"} if paper else {})}
    await visitor.post("/photo", fields, {"photo": ("lawn.jpg", photo, "image/jpeg")})


async def test_the_box_has_a_label_and_is_not_ticked_by_itself(visitor: Visitor) -> None:
    """Pale soil looks like paper, so it is only looked for where somebody says that it is there."""
    box = re.search(r'<input id="paper"[^>]*>', visitor.seen)
    assert box is not None
    assert 'type="checkbox"' in box[0]
    assert "checked" not in box[0]
    assert re.search(r'<label for="paper">[^<]*white paper[^<]*</label>', visitor.seen)


@pytest.mark.parametrize(("cast", "light"), [(-0.35, "blue"), (0.35, "orange")])
async def test_a_photo_in_coloured_light_is_read_once_its_paper_is_named(
    visitor: Visitor, cast: float, light: str
) -> None:
    """Without the box it is sent back, with it the very same file is read within its truth; the old page will do."""
    old_page = visitor.fields("photo")
    await send(visitor, in_coloured_light(cast), paper=False, form=old_page)
    assert f"The light in the picture is {light}" in visitor.newest

    await send(visitor, in_coloured_light(cast), paper=True, form=old_page)
    assert "Is some of the green in that photo" in visitor.newest
    await visitor.press("no, it's all grass")
    found = re.search(r"\(likely (\d+) to (\d+)%\)", visitor.seen)
    assert found is not None
    assert int(found[1]) <= TRUTH_PERCENT <= int(found[2])
