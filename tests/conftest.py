"""What holds for every test."""

from __future__ import annotations

import gc

import pytest
from hypothesis import settings

# The ten thousand tests that are collected stay until the end: the collector of garbage need not look through them
# again and again, neither while they are made nor later.
gc.disable()

# No deadline: a busy machine is no fault of the code under test. Fewer examples than usual: what a run leaves out the
# next one tries, and the whole suite must stay short enough to be run before every commit.
settings.register_profile("suite", deadline=None, max_examples=40)
settings.register_profile("long", deadline=None, max_examples=1000)
settings.load_profile("suite")

LONG_FILES = (
    "tests/drill/",
    "tests/commands/test_command_line.py",
    "tests/ops/desk/",
    "tests/web/test_browser",
    "tests/web/test_server.py",
    "tests/rules/test_soil_column.py",
    "tests/ops/advisories/",
    "tests/stories/",
    "tests/talk/test_lawns_through_the_talk.py",
)
"""A file is run by one worker from end to end: one that takes long and begins last keeps all others waiting."""


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Long files first, after whatever else sorts or shuffles them."""
    items.sort(key=lambda item: not item.nodeid.startswith(LONG_FILES))


def pytest_collection_finish() -> None:
    """All tests are there."""
    gc.freeze()
    gc.enable()
