"""What operators need: a glance at every lawn, who they are, regions, alerts, advisories, notes. Frozen."""

from __future__ import annotations

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"

whole = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def _id(table: str) -> tuple[sa.Column[Any], sa.Constraint]:
    return sa.Column("id", whole, nullable=False, autoincrement=True), sa.PrimaryKeyConstraint("id", name=f"pk_{table}")


def _whole(name: str, *, nullable: bool = False) -> sa.Column[Any]:
    return sa.Column(name, whole, nullable=nullable)


def _small(name: str, *, nullable: bool = False, zero: bool = False) -> sa.Column[Any]:
    return sa.Column(name, sa.Integer, nullable=nullable, server_default=sa.text("0") if zero else None)


def _text(name: str, *, nullable: bool = False, empty: bool = False) -> sa.Column[Any]:
    return sa.Column(name, sa.Text, nullable=nullable, server_default=sa.text("''") if empty else None)


def _partial(name: str, table: str, columns: list[str], where: str) -> None:
    op.create_index(name, table, columns, sqlite_where=sa.text(where), postgresql_where=sa.text(where))


def _foreign(table: str, column: str, to: str) -> sa.Constraint:
    return sa.ForeignKeyConstraint([column], [f"{to}.id"], name=f"fk_{table}_{column}")


def upgrade() -> None:
    """Add the columns and tables."""
    op.execute("UPDATE outbox SET urgency = 2 WHERE urgency = 1")  # reminders make room for advisories before them
    _glances()
    _operators()
    _deeds()
    _regions()
    _advisories()
    _cases()
    _troubles()


def _troubles() -> None:
    """What nobody could read or handle is looked up at the desk."""
    _partial("ix_inbox_failed", "inbox", ["id"], "state = 1")
    _partial("ix_arrival_unreadable", "arrival", ["id"], "state = 2")


def _glances() -> None:
    op.add_column("homeowner", sa.Column("glanced_rev", whole, nullable=False, server_default=sa.text("-1")))
    _partial("ix_homeowner_unglanced", "homeowner", ["id"], "glanced_rev <> rev")
    op.create_table(
        "glance",
        _whole("homeowner_id"),
        _small("lawn"),
        _small("latitude_e2", nullable=True),
        _small("longitude_e2", nullable=True),
        _text("zip", nullable=True),
        _text("county", nullable=True),
        _text("state", nullable=True),
        _text("zone"),
        _text("language"),
        _text("grass", nullable=True),
        _text("cultivar", nullable=True),
        _text("stage"),
        _small("is_quiet"),
        _small("crown_min_dc", nullable=True),
        _small("soil_min_dc", nullable=True),
        _small("alive_percent", nullable=True),
        _whole("heard_ms"),
        sa.PrimaryKeyConstraint("homeowner_id", "lawn", name="pk_glance"),
        _foreign("glance", "homeowner_id", "homeowner"),
        sqlite_strict=True,
    )
    op.create_index("ix_glance_state", "glance", ["state"])
    op.create_index("ix_glance_heard_ms", "glance", ["heard_ms"])


def _operators() -> None:
    op.create_table(
        "operator",
        *_id("operator"),
        _text("name"),
        _text("role"),
        _text("password", nullable=True),
        _text("channel", nullable=True),
        _text("address", nullable=True),
        _whole("made_ms"),
        _whole("ended_ms", nullable=True),
        sa.UniqueConstraint("name", name="uq_operator_name"),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )
    op.create_table(
        "desk_key",
        _text("digest"),
        _whole("operator_id"),
        _text("kind"),
        _whole("made_ms"),
        _whole("expires_ms"),
        _whole("used_ms", nullable=True),
        sa.PrimaryKeyConstraint("digest", name="pk_desk_key"),
        _foreign("desk_key", "operator_id", "operator"),
        sqlite_strict=True,
    )
    op.create_index("ix_desk_key_operator_id", "desk_key", ["operator_id"])


def _deeds() -> None:
    op.create_table(
        "desk_try",
        *_id("desk_try"),
        _text("digest"),
        _whole("at_ms"),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )
    op.create_index("ix_desk_try_digest_at_ms", "desk_try", ["digest", "at_ms"])
    op.create_table(
        "audit",
        *_id("audit"),
        _whole("at_ms"),
        _whole("operator_id", nullable=True),
        _text("act"),
        _text("about"),
        _text("detail", empty=True),
        _foreign("audit", "operator_id", "operator"),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )


def _regions() -> None:
    op.create_table(
        "region",
        *_id("region"),
        _text("name"),
        _text("shape"),
        _whole("operator_id", nullable=True),
        _whole("made_ms"),
        _whole("ended_ms", nullable=True),
        sa.UniqueConstraint("name", name="uq_region_name"),
        _foreign("region", "operator_id", "operator"),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )
    op.create_table(
        "alert",
        *_id("alert"),
        _text("digest"),
        _text("thread"),
        _whole("kept_ms"),
        _text("doc"),
        _text("state"),
        _whole("advisory_id", nullable=True),
        sa.UniqueConstraint("digest", name="uq_alert_digest"),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )
    op.create_index("ix_alert_thread", "alert", ["thread"])


def _advisories() -> None:
    op.create_table(
        "advisory",
        *_id("advisory"),
        _text("doc"),
        _small("rev"),
        _text("state"),
        _whole("made_by", nullable=True),
        _whole("made_ms"),
        _whole("approved_by", nullable=True),
        _whole("approved_ms", nullable=True),
        _whole("due_ms", nullable=True),
        _whole("ended_ms", nullable=True),
        _small("selected", nullable=True),
        _whole("after_id", nullable=True),
        _foreign("advisory", "after_id", "advisory"),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )
    op.create_table(
        "advisory_send",
        _whole("advisory_id"),
        _whole("homeowner_id"),
        _text("channel"),
        _small("state", zero=True),
        _text("why", nullable=True),
        _whole("outbox_id", nullable=True),
        sa.Column("at_ms", whole, nullable=False, server_default=sa.text("0")),
        _small("tries", zero=True),
        sa.PrimaryKeyConstraint("advisory_id", "homeowner_id", name="pk_advisory_send"),
        _foreign("advisory_send", "advisory_id", "advisory"),
        sqlite_strict=True,
    )
    waiting = ["state", "advisory_id", "channel", "at_ms", "homeowner_id"]
    _partial("ix_advisory_send_waiting", "advisory_send", waiting, "state = 0")
    under_way = ["state", "advisory_id", "channel", "homeowner_id", "outbox_id"]
    _partial("ix_advisory_send_underway", "advisory_send", under_way, "state = 1")
    _partial("ix_advisory_send_over", "advisory_send", ["advisory_id", "state", "why", "channel"], "state > 1")


def _cases() -> None:
    op.create_table(
        "case_note",
        *_id("case_note"),
        _whole("homeowner_id"),
        _whole("operator_id", nullable=True),
        _whole("at_ms"),
        _text("words"),
        _foreign("case_note", "homeowner_id", "homeowner"),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )
    op.create_index("ix_case_note_homeowner_id", "case_note", ["homeowner_id"])
    op.create_table(
        "template",
        *_id("template"),
        _text("name"),
        _text("words"),
        sa.UniqueConstraint("name", name="uq_template_name"),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )
    op.create_table(
        "correction",
        *_id("correction"),
        _whole("region_id", nullable=True),
        _text("grass"),
        _text("cultivar", nullable=True),
        _text("doc"),
        _whole("adopted_by", nullable=True),
        _whole("adopted_ms"),
        _whole("undone_by", nullable=True),
        _whole("undone_ms", nullable=True),
        _foreign("correction", "region_id", "region"),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )
