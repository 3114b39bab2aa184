"""The tables for operators: what they see, who they are, what they sent. Beside `schema.py`, whose notes hold here too.

The conversation needs none of them, so a talk starts without.
"""

from __future__ import annotations

from sqlalchemy import Column, ForeignKey, Index, Integer, Table, Text, UniqueConstraint, text

from bot.store.schema import Whole, homeowner_column, id_column, partial_index
from bot.store.schema import metadata as metadata

glance = Table(
    "glance",
    metadata,
    Column("homeowner_id", Whole, ForeignKey("homeowner.id"), primary_key=True),
    Column("lawn", Integer, primary_key=True),
    Column("latitude_e2", Integer),  # hundredths of a degree, about a kilometre: no finer place stands here
    Column("longitude_e2", Integer),
    Column("zip", Text),
    Column("county", Text),  # five digits: state and county
    Column("state", Text),
    Column("zone", Text, nullable=False),
    Column("language", Text, nullable=False),
    Column("grass", Text),
    Column("cultivar", Text),
    Column("stage", Text, nullable=False),
    Column("is_quiet", Integer, nullable=False),  # wants nothing unasked
    Column("crown_min_dc", Integer),  # tenths of a degree C, of the coldest spot
    Column("soil_min_dc", Integer),
    Column("alive_percent", Integer),  # the middle of the odds
    Column("heard_ms", Whole, nullable=False),
    # Of its owner, so that a million can be decided on without a look at their documents; null: look there.
    Column("hours", Text),  # zone, first and last local hour in which they may be written to
    Column("unasked_on", Text),  # the last local day on which they got something unasked
    Column("is_held", Integer),  # a person talks with them
    Column("is_active_lawn", Integer),  # the one that is being talked about
    Index(None, "state"),
    Index(None, "heard_ms"),
    sqlite_strict=True,
)

operator = Table(
    "operator",
    metadata,
    id_column(),
    Column("name", Text, nullable=False),  # as they sign in
    Column("role", Text, nullable=False),
    Column("password", Text),  # a salted hash; null: signs in by one-time links only
    Column("channel", Text),  # where links and digests go
    Column("address", Text),
    Column("made_ms", Whole, nullable=False),
    Column("ended_ms", Whole),
    UniqueConstraint("name"),
    sqlite_strict=True,
    sqlite_autoincrement=True,
)

desk_key = Table(
    "desk_key",
    metadata,
    Column("digest", Text, primary_key=True),  # of a secret in a browser or a link
    Column("operator_id", Whole, ForeignKey("operator.id"), nullable=False),
    Column("kind", Text, nullable=False),  # session or link
    Column("made_ms", Whole, nullable=False),
    Column("expires_ms", Whole, nullable=False),
    Column("used_ms", Whole),
    Index(None, "operator_id"),
    sqlite_strict=True,
)

desk_try = Table(
    "desk_try",
    metadata,
    id_column(),
    Column("digest", Text, nullable=False),  # of the name tried, or of where it was tried from
    Column("at_ms", Whole, nullable=False),
    Index(None, "digest", "at_ms"),
    sqlite_strict=True,
    sqlite_autoincrement=True,
)

audit = Table(
    "audit",
    metadata,
    id_column(),
    Column("at_ms", Whole, nullable=False),
    Column("operator_id", Whole, ForeignKey("operator.id")),  # null: whoever runs this, at the command line
    Column("act", Text, nullable=False),
    Column("about", Text, nullable=False),  # like "advisory 3"
    Column("detail", Text, nullable=False, server_default=text("''")),
    sqlite_strict=True,
    sqlite_autoincrement=True,
)

region = Table(
    "region",
    metadata,
    id_column(),
    Column("name", Text, nullable=False),
    Column("shape", Text, nullable=False),
    Column("operator_id", Whole, ForeignKey("operator.id")),  # who answers for it
    Column("made_ms", Whole, nullable=False),
    Column("ended_ms", Whole),
    UniqueConstraint("name"),
    sqlite_strict=True,
    sqlite_autoincrement=True,
)

alert = Table(
    "alert",
    metadata,
    id_column(),
    Column("digest", Text, nullable=False),  # of sender, identifier and sending time
    Column("thread", Text, nullable=False),  # one with what it updates
    Column("kept_ms", Whole, nullable=False),
    Column("doc", Text, nullable=False),
    Column("state", Text, nullable=False),
    Column("advisory_id", Whole),  # drafted from it
    UniqueConstraint("digest"),
    Index(None, "thread"),
    sqlite_strict=True,
    sqlite_autoincrement=True,
)

advisory = Table(
    "advisory",
    metadata,
    id_column(),
    Column("doc", Text, nullable=False),  # name, words, who gets it
    Column("rev", Integer, nullable=False),  # grows with each change: an approval holds for one
    Column("state", Text, nullable=False),
    Column("made_by", Whole),
    Column("made_ms", Whole, nullable=False),
    Column("approved_by", Whole),
    Column("approved_ms", Whole),
    Column("due_ms", Whole),  # not before
    Column("ended_ms", Whole),
    Column("selected", Integer),  # how many it is for; null until all of them are listed
    Column("after_id", Whole, ForeignKey("advisory.id")),  # goes to those who got that one
    Column("overtaken_by", Whole),  # it was stopped when that one was approved, which puts it right
    sqlite_strict=True,
    sqlite_autoincrement=True,
)

advisory_send = Table(
    "advisory_send",
    metadata,
    Column("advisory_id", Whole, ForeignKey("advisory.id"), primary_key=True),
    Column("homeowner_id", Whole, primary_key=True),
    Column("channel", Text, nullable=False),  # where they are heard; looked at again when it is their turn
    Column("state", Integer, nullable=False, server_default=text("0")),
    Column("why", Text),  # it was left out, or waits
    Column("outbox_id", Whole),
    Column("at_ms", Whole, nullable=False, server_default=text("0")),  # waiting: not before; else: when it came about
    Column("tries", Integer, nullable=False, server_default=text("0")),  # that the talk declined
    # With the state in it an index holds all that is looked for; only then SQLite takes it before the primary key's.
    partial_index(
        "ix_advisory_send_waiting", "state", "advisory_id", "channel", "at_ms", "homeowner_id", where="state = 0"
    ),
    partial_index(
        "ix_advisory_send_underway", "state", "advisory_id", "channel", "homeowner_id", "outbox_id", where="state = 1"
    ),
    partial_index("ix_advisory_send_over", "advisory_id", "state", "why", "channel", where="state > 1"),
    sqlite_strict=True,
)

case_note = Table(
    "case_note",
    metadata,
    id_column(),
    homeowner_column(),
    Column("operator_id", Whole),
    Column("at_ms", Whole, nullable=False),
    Column("words", Text, nullable=False),
    Index(None, "homeowner_id"),
    sqlite_strict=True,
    sqlite_autoincrement=True,
)

template = Table(
    "template",
    metadata,
    id_column(),
    Column("name", Text, nullable=False),
    Column("words", Text, nullable=False),
    UniqueConstraint("name"),
    sqlite_strict=True,
    sqlite_autoincrement=True,
)

correction = Table(
    "correction",
    metadata,
    id_column(),
    Column("region_id", Whole, ForeignKey("region.id")),  # null: everywhere
    Column("grass", Text, nullable=False),
    Column("cultivar", Text),
    Column("doc", Text, nullable=False),  # the fit it came from
    Column("adopted_by", Whole),
    Column("adopted_ms", Whole, nullable=False),
    Column("undone_by", Whole),
    Column("undone_ms", Whole),
    sqlite_strict=True,
    sqlite_autoincrement=True,
)

local_rule = Table(
    "local_rule",
    metadata,
    id_column(),
    Column("region_id", Whole, ForeignKey("region.id"), nullable=False),
    Column("piece", Text, nullable=False),  # which thing is said of the region
    Column("doc", Text),  # what is said; null: nothing any more
    Column("made_by", Whole),
    Column("made_ms", Whole, nullable=False),
    Column("undone_by", Whole),
    Column("undone_ms", Whole),
    sqlite_strict=True,
    sqlite_autoincrement=True,
)
