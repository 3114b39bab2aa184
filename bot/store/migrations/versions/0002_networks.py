"""What real networks need: arrivals before they are read, consent, leases, receipts, codes to move. Frozen."""

from __future__ import annotations

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"

whole = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def _id(table: str) -> tuple[sa.Column[Any], sa.Constraint]:
    return sa.Column("id", whole, nullable=False, autoincrement=True), sa.PrimaryKeyConstraint("id", name=f"pk_{table}")


def _whole(name: str, *, nullable: bool = False, zero: bool = False) -> sa.Column[Any]:
    return sa.Column(name, whole, nullable=nullable, server_default=sa.text("0") if zero else None)


def _small(name: str, *, zero: bool = False) -> sa.Column[Any]:
    return sa.Column(name, sa.Integer, nullable=False, server_default=sa.text("0") if zero else None)


def _text(name: str, *, nullable: bool = False) -> sa.Column[Any]:
    return sa.Column(name, sa.Text, nullable=nullable)


def _partial(name: str, table: str, columns: list[str], where: str) -> None:
    op.create_index(name, table, columns, sqlite_where=sa.text(where), postgresql_where=sa.text(where))


def upgrade() -> None:
    """Add the columns and tables."""
    _outbox()
    _channels()
    _arrivals()
    _consent()
    _accounts()
    _moves()


def _outbox() -> None:
    for column in (
        _whole("fence", zero=True),
        _small("unsure", zero=True),
        _small("page", zero=True),
        _text("far_id", nullable=True),
        _small("delivery", zero=True),
    ):
        op.add_column("outbox", column)
    _partial("ix_outbox_far_id", "outbox", ["channel", "far_id"], "far_id IS NOT NULL")
    _partial("ix_outbox_parked", "outbox", ["channel"], "state = 2")


def _channels() -> None:
    op.create_table(
        "lease",
        _text("name"),
        _text("holder"),
        _whole("until_ms"),
        _whole("fence"),
        sa.PrimaryKeyConstraint("name", name="pk_lease"),
        sqlite_strict=True,
    )
    op.create_table(
        "cursor",
        _text("channel"),
        _whole("value"),
        sa.PrimaryKeyConstraint("channel", name="pk_cursor"),
        sqlite_strict=True,
    )


def _arrivals() -> None:
    op.create_table(
        "arrival",
        *_id("arrival"),
        _text("channel"),
        _text("external_digest"),
        _text("external_id"),
        _text("address"),
        _text("bundle", nullable=True),
        _whole("at_ms"),
        _whole("kept_ms"),
        _whole("due_ms"),
        _text("body"),
        _small("state", zero=True),
        _small("attempts", zero=True),
        _text("error", nullable=True),
        sa.UniqueConstraint("channel", "external_digest", name="uq_arrival_channel_external_digest"),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )
    _partial("ix_arrival_waiting", "arrival", ["id"], "state = 0")
    _partial("ix_arrival_held", "arrival", ["channel", "address"], "state = 3")
    _partial("ix_arrival_read", "arrival", ["kept_ms"], "state = 1")


def _consent() -> None:
    op.create_table(
        "reach",
        _text("channel"),
        _text("address"),
        _small("consent", zero=True),
        _whole("consent_ms", nullable=True),
        _whole("unreachable_ms", nullable=True),
        _small("failures", zero=True),
        sa.PrimaryKeyConstraint("channel", "address", name="pk_reach"),
        sqlite_strict=True,
    )
    op.create_table(
        "consent",
        *_id("consent"),
        _text("channel"),
        _text("address"),
        _small("consent"),
        _whole("at_ms"),
        _text("said"),
        _text("shown"),
        _text("source"),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )
    op.create_index("ix_consent_channel_address", "consent", ["channel", "address"])
    op.create_table(
        "opt_out",
        _text("channel"),
        _text("digest"),
        _whole("at_ms"),
        sa.PrimaryKeyConstraint("channel", "digest", name="pk_opt_out"),
        sqlite_strict=True,
    )


def _accounts() -> None:
    op.create_table(
        "spent",
        _text("channel"),
        _whole("hour"),
        _whole("units"),
        sa.PrimaryKeyConstraint("channel", "hour", name="pk_spent"),
        sqlite_strict=True,
    )
    op.create_table(
        "meter",
        _text("channel"),
        _text("name"),
        _whole("value"),
        sa.PrimaryKeyConstraint("channel", "name", name="pk_meter"),
        sqlite_strict=True,
    )


def _moves() -> None:
    op.create_table(
        "move_code",
        *_id("move_code"),
        _whole("homeowner_id"),
        _text("digest"),
        _whole("made_ms"),
        _whole("expires_ms"),
        _whole("used_ms", nullable=True),
        sa.UniqueConstraint("digest", name="uq_move_code_digest"),
        sa.ForeignKeyConstraint(["homeowner_id"], ["homeowner.id"], name="fk_move_code_homeowner_id"),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )
    op.create_index("ix_move_code_homeowner_id", "move_code", ["homeowner_id"])
    op.create_table(
        "move_try",
        *_id("move_try"),
        _text("channel"),
        _text("address"),
        _whole("at_ms"),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )
    op.create_index("ix_move_try_at_ms", "move_try", ["at_ms"])
