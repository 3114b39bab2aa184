"""The tables of the first version. Frozen: later changes are steps of their own."""

from __future__ import annotations

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

whole = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def _id(table: str) -> tuple[sa.Column[Any], sa.Constraint]:
    return sa.Column("id", whole, nullable=False, autoincrement=True), sa.PrimaryKeyConstraint("id", name=f"pk_{table}")


def _homeowner(table: str) -> sa.Constraint:
    return sa.ForeignKeyConstraint(["homeowner_id"], ["homeowner.id"], name=f"fk_{table}_homeowner_id")


def _whole(name: str, *, nullable: bool = False) -> sa.Column[Any]:
    return sa.Column(name, whole, nullable=nullable)


def _small(name: str, *, nullable: bool = False, zero: bool = False) -> sa.Column[Any]:
    return sa.Column(name, sa.Integer, nullable=nullable, server_default=sa.text("0") if zero else None)


def _text(name: str, *, nullable: bool = False) -> sa.Column[Any]:
    return sa.Column(name, sa.Text, nullable=nullable)


def _partial(name: str, table: str, columns: list[str], where: str) -> None:
    op.create_index(name, table, columns, sqlite_where=sa.text(where), postgresql_where=sa.text(where))


def upgrade() -> None:
    """Make every table of the first version."""
    _people()
    _inbox()
    _outbox()
    _reminders()
    _photos()
    _handovers()


def _people() -> None:
    op.create_table(
        "homeowner",
        *_id("homeowner"),
        _text("doc", nullable=True),
        _whole("rev"),
        _text("channel"),
        _text("address"),
        _whole("created_ms"),
        _whole("heard_ms"),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )
    op.create_table(
        "contact",
        _text("channel"),
        _text("address"),
        _whole("homeowner_id"),
        sa.PrimaryKeyConstraint("channel", "address", name="pk_contact"),
        _homeowner("contact"),
        sqlite_strict=True,
    )
    op.create_index("ix_contact_homeowner_id", "contact", ["homeowner_id"])


def _inbox() -> None:
    op.create_table(
        "inbox",
        *_id("inbox"),
        _text("channel"),
        _text("external_digest", nullable=True),
        _whole("homeowner_id", nullable=True),
        _whole("at_ms"),
        _whole("sent_ms"),
        _text("body"),
        _small("state", zero=True),
        _text("error", nullable=True),
        sa.UniqueConstraint("channel", "external_digest", name="uq_inbox_channel_external_digest"),
        _homeowner("inbox"),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )
    op.create_index("ix_inbox_homeowner_id_id", "inbox", ["homeowner_id", "id"])
    _partial("ix_inbox_erased", "inbox", ["at_ms"], "homeowner_id IS NULL")


def _outbox() -> None:
    op.create_table(
        "outbox",
        *_id("outbox"),
        _whole("homeowner_id", nullable=True),
        _whole("inbox_id", nullable=True),
        _text("channel"),
        _text("address"),
        _small("kind"),
        _small("urgency"),
        _whole("made_ms"),
        _whole("due_ms"),
        _text("hours", nullable=True),
        _text("body"),
        _small("state", zero=True),
        _small("attempts", zero=True),
        sa.Column("next_try_ms", whole, nullable=False, server_default=sa.text("0")),
        _whole("sent_ms", nullable=True),
        _homeowner("outbox"),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )
    op.create_index("ix_outbox_homeowner_id_inbox_id", "outbox", ["homeowner_id", "inbox_id"])
    _partial("ix_outbox_open", "outbox", ["channel", "urgency", "due_ms", "id"], "state = 0")
    _partial("ix_outbox_open_chat", "outbox", ["channel", "address", "due_ms", "id"], "state = 0")


def _reminders() -> None:
    op.create_table(
        "reminder",
        *_id("reminder"),
        _whole("homeowner_id"),
        _small("lawn"),
        _text("task"),
        _text("due_on"),
        _small("hour"),
        _small("minute"),
        _text("zone"),
        _whole("due_ms"),
        _small("state", zero=True),
        _small("attempts", zero=True),
        sa.UniqueConstraint("homeowner_id", "lawn", "task", "due_on", name="uq_reminder_homeowner_id_lawn_task_due_on"),
        _homeowner("reminder"),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )
    _partial("ix_reminder_due", "reminder", ["due_ms"], "state = 0")
    _partial("ix_reminder_open_of", "reminder", ["homeowner_id", "due_ms"], "state = 0")


def _photos() -> None:
    op.create_table(
        "photo",
        *_id("photo"),
        _whole("homeowner_id"),
        _text("photo_id"),
        _whole("received_ms"),
        _small("lawn", nullable=True),
        _text("spot", nullable=True),
        _text("shown_on", nullable=True),
        sa.UniqueConstraint("homeowner_id", "photo_id", name="uq_photo_homeowner_id_photo_id"),
        _homeowner("photo"),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )
    op.create_index("ix_photo_photo_id", "photo", ["photo_id"])


def _handovers() -> None:
    op.create_table(
        "handover",
        *_id("handover"),
        _whole("homeowner_id"),
        _whole("inbox_id", nullable=True),
        _small("lawn", nullable=True),
        _text("question"),
        _whole("at_ms"),
        _whole("closed_ms", nullable=True),
        _homeowner("handover"),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )
    op.create_index("ix_handover_homeowner_id", "handover", ["homeowner_id"])
    _partial("ix_handover_open", "handover", ["at_ms"], "closed_ms IS NULL")
