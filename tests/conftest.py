"""What holds for every test."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("untimed", deadline=None)  # a busy machine is no fault of the code under test
settings.load_profile("untimed")
