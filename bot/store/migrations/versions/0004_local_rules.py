"""What operators say of their regions: the times of local codes, dates, how the freeze was. Frozen."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"

whole = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def upgrade() -> None:
    """Add the table."""
    op.create_table(
        "local_rule",
        sa.Column("id", whole, nullable=False, autoincrement=True),
        sa.Column("region_id", whole, nullable=False),
        sa.Column("piece", sa.Text, nullable=False),
        sa.Column("doc", sa.Text, nullable=True),
        sa.Column("made_by", whole, nullable=True),
        sa.Column("made_ms", whole, nullable=False),
        sa.Column("undone_by", whole, nullable=True),
        sa.Column("undone_ms", whole, nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_local_rule"),
        sa.ForeignKeyConstraint(["region_id"], ["region.id"], name="fk_local_rule_region_id"),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )
