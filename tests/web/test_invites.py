"""A link may carry the code of who invited: it is kept with whoever comes by it first."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from bot.channels.web.keys import COOKIE, address_of
from tests.fakes.house import House
from tests.web.visitor import Visitor


async def invite_of(house: House, visitor: Visitor) -> str:
    homeowner_id = await house.store.find_homeowner("web", address_of(visitor.client.cookies[COOKIE]))
    assert homeowner_id is not None
    homeowner = await house.store.homeowner(homeowner_id)
    assert homeowner is not None
    return homeowner.invite


async def test_the_code_of_the_first_link_is_kept(house: House, another: Callable[[], Visitor]) -> None:
    """A later link changes nothing."""
    visitor = another()
    await visitor.client.get("/", params={"from": "coast-7"})
    assert await invite_of(house, visitor) == "coast-7"
    house.clock.set(house.clock.now().replace(month=12))
    await visitor.client.get("/", params={"from": "other-9"})

    assert await invite_of(house, visitor) == "coast-7"


@pytest.mark.parametrize("code", ["", "two words", "<b>", "x" * 65, "é"])
async def test_what_is_no_code_is_left_out(house: House, another: Callable[[], Visitor], code: str) -> None:
    """Nothing strange is kept, and the page opens as ever."""
    visitor = another()
    answer = await visitor.client.get("/", params={"from": code})

    assert answer.status_code == 200
    assert await invite_of(house, visitor) == ""
