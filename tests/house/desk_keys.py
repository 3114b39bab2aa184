"""Keys of the operators' catalogues that the code puts together from codes, listed from the codes themselves."""

from __future__ import annotations

from itertools import product
from typing import get_args

from bot.ops.advisories.checking import Note
from bot.ops.alerts.following import Outcome
from bot.ops.desk.staffing import Fault
from bot.ops.local.entering import FIELDS
from bot.ops.local.pieces import Piece
from bot.ops.roles import Role
from bot.talk.glance import Stage

PROBLEMS = ("role", "bad", "origin", "link", "missing", "too-big", "busy", "ours")


def desk_keys() -> set[str]:
    """All of them."""
    keys = {f"desk-role{may}-{role}" for may, role in product(("", "-may"), Role)}
    keys |= {f"desk-problem-{name}{tail}" for name, tail in product(PROBLEMS, ("", "-title"))}
    keys |= {f"desk-fault-staff-{fault}" for fault in get_args(Fault)}
    keys |= {f"desk-fault-password-{fault}" for fault in ("unfit", "wait", "wrong")}
    keys |= {f"desk-alert-{outcome.name.lower().replace('_', '-')}" for outcome in Outcome}
    keys |= {f"digest-stage-{stage.name.lower()}" for stage in Stage}
    keys |= {f"digest-{count}" for count in ("failed", "parked", "silent")}
    keys |= {f"local-piece-{piece}" for piece in Piece} | {f"local-weekday-{day}" for day in range(7)}
    keys |= {f"local-field-{name}" for names in FIELDS.values() for name in names if name not in ("weekdays",)}
    keys |= {f"local{of}-watering-hours" for of in ("", "-told")}
    return keys | {f"advisory-note-{note}" for note in Note}
