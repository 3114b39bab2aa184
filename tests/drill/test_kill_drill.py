from __future__ import annotations

from pathlib import Path

import pytest

from bot.terms import Terms
from tests.drill import real_talk
from tests.drill.drill import Plan, run_drill, short_folder
from tests.drill.judge import judge
from tests.drill.scripts import small_scripts
from tests.fakes.small_talk import TALK


@pytest.mark.drill
@pytest.mark.parametrize("in_flight", [1, 4])
async def test_nothing_is_lost_and_at_most_what_was_in_the_air_comes_twice(in_flight: int) -> None:
    """Twenty-four homeowners, two kills at random moments: the same as if nobody had killed anything."""
    scripts = small_scripts(homeowners=24, lines=16, seed=7)
    with short_folder() as folder:
        played = await run_drill(Plan(kills=2, seed=11, scripts=scripts, in_flight=in_flight), Path(folder))
        verdict = judge(played, scripts, TALK, in_flight=Terms(in_flight=in_flight).unmarked_at_most)

    assert verdict.faults == []
    assert played.kills == 2
    assert verdict.brought_up > 24


@pytest.mark.drill
async def test_the_real_conversation_survives_the_drill() -> None:
    """The same for homeowners who hold the whole first talk, from the place to the plan and the days after it."""
    scripts = real_talk.scripts(homeowners=20, lines=24, seed=7)
    plan = Plan(kills=1, seed=5, scripts=scripts, talk="tests.drill.real_talk:TALK", days_after=20)
    with short_folder() as folder:
        played = await run_drill(plan, Path(folder))
        verdict = judge(played, scripts, real_talk.TALK)

    assert verdict.faults == []
    assert played.kills == 1
    assert verdict.brought_up > 10
