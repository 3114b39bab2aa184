"""What decides who may be written to, beside each lawn; where everybody is heard; what an advisory overtook. Frozen.

The rows there are get it from the documents here. Where that cannot be told (an owner with lawns in several zones, a
document that cannot be read, another engine) it stays empty, and the document is asked until the row is made anew.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"

_FILL = """
UPDATE glance SET (hours, unasked_on, is_held, is_active_lawn) = (
    SELECT
        CASE WHEN (SELECT count(DISTINCT other.zone) FROM glance AS other
                   WHERE other.homeowner_id = glance.homeowner_id) = 1
             THEN glance.zone || ' ' || json_extract(homeowner.doc, '$.first_hour')
                  || ' ' || json_extract(homeowner.doc, '$.last_hour') END,
        json_extract(homeowner.doc, '$.last_unasked_on'),
        coalesce(json_extract(homeowner.doc, '$.held_by'), '') <> '',
        json_extract(homeowner.doc, '$.active_lawn') = glance.lawn
    FROM homeowner WHERE homeowner.id = glance.homeowner_id
)
WHERE EXISTS (SELECT 1 FROM homeowner WHERE homeowner.id = glance.homeowner_id AND json_valid(homeowner.doc))
"""


def upgrade() -> None:
    """Add the columns and the index, and fill in what can be."""
    for name, kind in (("hours", sa.Text), ("unasked_on", sa.Text), ("is_held", sa.Integer)):
        op.add_column("glance", sa.Column(name, kind))
    op.add_column("glance", sa.Column("is_active_lawn", sa.Integer))
    op.add_column("advisory", sa.Column("overtaken_by", sa.BigInteger().with_variant(sa.Integer, "sqlite")))
    op.create_index("ix_homeowner_id_channel_address", "homeowner", ["id", "channel", "address"])
    if op.get_bind().dialect.name == "sqlite":
        op.execute(_FILL)
    else:
        op.execute("UPDATE homeowner SET glanced_rev = -1")  # every row is made anew behind the talk
