from __future__ import annotations

from pathlib import Path

import pytest

from tests.drill.drill import short_folder
from tests.drill.network import Hardship, NetworkDrill

pytestmark = pytest.mark.drill


async def test_killed_on_a_failing_network_nothing_is_lost_and_order_is_kept() -> None:
    """Each line is answered, in order, and repeated only where it was in the air at a kill."""
    with short_folder() as folder:
        hardship = Hardship(chats=8, lines=10, kills=3, in_flight=4, failing_fraction=0.1, seed=3)
        outcome = await NetworkDrill(hardship, Path(folder)).run()

    assert outcome.faults == []
    assert outcome.kills == 3
    assert outcome.refused > 0
