"""The tables. Portable between SQLite (STRICT) and PostgreSQL, and the same on both.

- Instants are integer milliseconds UTC, days and documents are text, counts are integers. STRICT tables know no other
  kinds, and integers compare the same everywhere.
- AUTOINCREMENT where order matters: an id that was given out never comes back, not even after its row was erased.
- What is still open is found through partial indexes, so a look at the queue costs the same with millions of old
  rows. SQLite uses such an index only when the condition stands in the statement as a literal: compare with
  `STATE_PENDING` below, never with a bound 0.
- Migration 0001 makes the same tables with its own frozen words; a test compares the two.
"""

from __future__ import annotations

from typing import Any

from sqlalchemy import (
    BigInteger,
    Column,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
    literal_column,
    text,
)

metadata = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s",
        "pk": "pk_%(table_name)s",
    }
)

Whole = BigInteger().with_variant(Integer, "sqlite")

REPLY, ADVISORY, REMINDER, DIGEST = 0, 1, 2, 3
"""Urgency of an outbox row: a reply always goes first, then what an operator sends to many, then our own reminders."""

MESSAGE, DATA_COPY, OPENING = 0, 1, 2
"""Kind of an outbox row: words, a copy of everything stored (made when it is sent), or the words that ask an address
for its consent, which may go out before there is any.
"""

PENDING, SENT, PARKED = 0, 1, 2
"""State of an outbox row. Parked: given up on, kept for a person to look at. (An erased row is gone.)"""

HANDED_OVER, CANCELLED, GIVEN_UP = 1, 2, 3
"""State of a reminder beside `PENDING`."""

WAITING, READ, UNREADABLE, HELD = 0, 1, 2, 3
"""State of an arrival. Unreadable: kept for a person to look at. Held: unread until its address consents."""

HANDLED, FAILED = 0, 1
"""State of an inbox row. Failed: the conversation could not take it; the homeowner was told."""

UNTOLD, ON_THE_WAY, DELIVERED, UNDELIVERED = 0, 1, 2, 3
"""What receipts said of a sent row. Only moves forward; the last two are final."""

STATE_PENDING = literal_column("0", Integer)
"""`PENDING` as it must stand in a statement that is to use a partial index."""


def id_column() -> Column[Any]:
    return Column("id", Whole, primary_key=True, autoincrement=True)


def homeowner_column(*, nullable: bool = False) -> Column[Any]:
    return Column("homeowner_id", Whole, ForeignKey("homeowner.id"), nullable=nullable)


def partial_index(name: str, *columns: str, where: str) -> Index:
    """An index of the rows that meet a condition. PostgreSQL's condition stands in the migration alone: naming it here
    would import its whole dialect at every start."""
    return Index(name, *columns, sqlite_where=text(where))


homeowner = Table(
    "homeowner",
    metadata,
    id_column(),
    Column("doc", Text),  # null: somebody wrote, and nothing could be made of it yet
    Column("rev", Whole, nullable=False),  # turns taken, of messages and of reminders
    Column("channel", Text, nullable=False),  # where they were last heard, so where reminders go
    Column("address", Text, nullable=False),
    Column("created_ms", Whole, nullable=False),
    Column("heard_ms", Whole, nullable=False),
    Column("glanced_rev", Whole, nullable=False, server_default=text("-1")),  # of which `glance` tells
    partial_index("ix_homeowner_unglanced", "id", where="glanced_rev <> rev"),
    Index(None, "id", "channel", "address"),  # where a million are heard, without reading past their documents
    sqlite_strict=True,
    sqlite_autoincrement=True,
)

contact = Table(
    "contact",
    metadata,
    Column("channel", Text, primary_key=True),
    Column("address", Text, primary_key=True),
    homeowner_column(),
    Index(None, "homeowner_id"),
    sqlite_strict=True,
)

inbox = Table(
    "inbox",
    metadata,
    id_column(),
    Column("channel", Text, nullable=False),
    Column("external_digest", Text),  # null: came from our own clock
    homeowner_column(nullable=True),  # null, with an empty body: erased, kept a while to know repeats by
    Column("at_ms", Whole, nullable=False),  # the instant the conversation was told it is
    Column("sent_ms", Whole, nullable=False),  # when the far side says it was sent
    Column("body", Text, nullable=False),
    Column("state", Integer, nullable=False, server_default=text("0")),
    Column("error", Text),
    UniqueConstraint("channel", "external_digest"),
    Index(None, "homeowner_id", "id"),
    partial_index("ix_inbox_erased", "at_ms", where="homeowner_id IS NULL"),
    partial_index("ix_inbox_failed", "id", where="state = 1"),
    sqlite_strict=True,
    sqlite_autoincrement=True,
)

outbox = Table(
    "outbox",
    metadata,
    id_column(),
    homeowner_column(nullable=True),  # null: the last words to somebody who was erased; the row goes when it is sent
    Column("inbox_id", Whole),  # what it answers; rows of one turn share it
    Column("channel", Text, nullable=False),
    Column("address", Text, nullable=False),
    Column("kind", Integer, nullable=False),
    Column("urgency", Integer, nullable=False),
    Column("made_ms", Whole, nullable=False),
    Column("due_ms", Whole, nullable=False),  # not before; 0 is at once, whatever a clock does
    Column("hours", Text),  # of what nobody asked for: zone, first and last local hour in which it may be sent
    Column("body", Text, nullable=False),
    Column("state", Integer, nullable=False, server_default=text("0")),
    Column("attempts", Integer, nullable=False, server_default=text("0")),
    Column("next_try_ms", Whole, nullable=False, server_default=text("0")),
    Column("sent_ms", Whole),
    Column("fence", Whole, nullable=False, server_default=text("0")),  # of the lease under which it was last claimed
    Column("unsure", Integer, nullable=False, server_default=text("0")),  # tries that got no answer in time
    Column("page", Integer, nullable=False, server_default=text("0")),  # of a long message sent piece by piece
    Column("far_id", Text),  # the far side's own id of it, where receipts name that
    Column("delivery", Integer, nullable=False, server_default=text("0")),
    Index(None, "homeowner_id", "inbox_id"),
    partial_index("ix_outbox_open", "channel", "urgency", "due_ms", "id", where="state = 0"),
    partial_index("ix_outbox_open_chat", "channel", "address", "due_ms", "id", where="state = 0"),
    partial_index("ix_outbox_far_id", "channel", "far_id", where="far_id IS NOT NULL"),
    partial_index("ix_outbox_parked", "channel", where="state = 2"),
    sqlite_strict=True,
    sqlite_autoincrement=True,
)

reminder = Table(
    "reminder",
    metadata,
    id_column(),
    homeowner_column(),
    Column("lawn", Integer, nullable=False),
    Column("task", Text, nullable=False),
    Column("due_on", Text, nullable=False),  # the local day it is meant for
    Column("hour", Integer, nullable=False),
    Column("minute", Integer, nullable=False),
    Column("zone", Text, nullable=False),
    Column("due_ms", Whole, nullable=False),
    Column("state", Integer, nullable=False, server_default=text("0")),
    Column("attempts", Integer, nullable=False, server_default=text("0")),
    UniqueConstraint("homeowner_id", "lawn", "task", "due_on"),
    partial_index("ix_reminder_due", "due_ms", where="state = 0"),
    partial_index("ix_reminder_open_of", "homeowner_id", "due_ms", where="state = 0"),
    sqlite_strict=True,
    sqlite_autoincrement=True,
)

photo = Table(
    "photo",
    metadata,
    id_column(),
    homeowner_column(),
    Column("photo_id", Text, nullable=False),  # hash of the content, and the name of its file
    Column("received_ms", Whole, nullable=False),
    Column("lawn", Integer),  # null until the conversation files it
    Column("spot", Text),
    Column("shown_on", Text),
    UniqueConstraint("homeowner_id", "photo_id"),
    Index(None, "photo_id"),
    sqlite_strict=True,
    sqlite_autoincrement=True,
)

handover = Table(
    "handover",
    metadata,
    id_column(),
    homeowner_column(),
    Column("inbox_id", Whole),
    Column("lawn", Integer),
    Column("question", Text, nullable=False),
    Column("at_ms", Whole, nullable=False),
    Column("closed_ms", Whole),
    Index(None, "homeowner_id"),
    partial_index("ix_handover_open", "at_ms", where="closed_ms IS NULL"),
    sqlite_strict=True,
    sqlite_autoincrement=True,
)

lease = Table(
    "lease",
    metadata,
    Column("name", Text, primary_key=True),
    Column("holder", Text, nullable=False),
    Column("until_ms", Whole, nullable=False),
    Column("fence", Whole, nullable=False),  # grows with every new holder
    sqlite_strict=True,
)

cursor = Table(
    "cursor",
    metadata,
    Column("channel", Text, primary_key=True),
    Column("value", Whole, nullable=False),
    sqlite_strict=True,
)

arrival = Table(
    "arrival",
    metadata,
    id_column(),
    Column("channel", Text, nullable=False),
    Column("external_digest", Text, nullable=False),
    Column("external_id", Text, nullable=False),  # emptied with the body
    Column("address", Text, nullable=False),
    Column("bundle", Text),  # those of one bundle are read together
    Column("at_ms", Whole, nullable=False),
    Column("kept_ms", Whole, nullable=False),
    Column("due_ms", Whole, nullable=False),
    Column("body", Text, nullable=False),
    Column("state", Integer, nullable=False, server_default=text("0")),
    Column("attempts", Integer, nullable=False, server_default=text("0")),
    Column("error", Text),
    UniqueConstraint("channel", "external_digest"),
    partial_index("ix_arrival_waiting", "id", where="state = 0"),
    partial_index("ix_arrival_held", "channel", "address", where="state = 3"),
    partial_index("ix_arrival_read", "kept_ms", where="state = 1"),
    partial_index("ix_arrival_unreadable", "id", where="state = 2"),
    sqlite_strict=True,
    sqlite_autoincrement=True,
)

reach = Table(
    "reach",
    metadata,
    Column("channel", Text, primary_key=True),
    Column("address", Text, primary_key=True),
    Column("consent", Integer, nullable=False, server_default=text("0")),
    Column("consent_ms", Whole),
    Column("unreachable_ms", Whole),  # null: reachable
    Column("failures", Integer, nullable=False, server_default=text("0")),  # final ones in a row
    sqlite_strict=True,
)

consent = Table(
    "consent",
    metadata,
    id_column(),
    Column("channel", Text, nullable=False),
    Column("address", Text, nullable=False),
    Column("consent", Integer, nullable=False),
    Column("at_ms", Whole, nullable=False),
    Column("said", Text, nullable=False),
    Column("shown", Text, nullable=False),
    Column("source", Text, nullable=False),
    Index(None, "channel", "address"),
    sqlite_strict=True,
    sqlite_autoincrement=True,
)

opt_out = Table(
    "opt_out",
    metadata,
    Column("channel", Text, primary_key=True),
    Column("digest", Text, primary_key=True),  # keyed; outlives the address it was made from
    Column("at_ms", Whole, nullable=False),
    sqlite_strict=True,
)

spent = Table(
    "spent",
    metadata,
    Column("channel", Text, primary_key=True),
    Column("hour", Whole, primary_key=True),  # hours since 1970
    Column("units", Whole, nullable=False),
    sqlite_strict=True,
)

meter = Table(
    "meter",
    metadata,
    Column("channel", Text, primary_key=True),
    Column("name", Text, primary_key=True),
    Column("value", Whole, nullable=False),
    sqlite_strict=True,
)

move_code = Table(
    "move_code",
    metadata,
    id_column(),
    homeowner_column(),
    Column("digest", Text, nullable=False),
    Column("made_ms", Whole, nullable=False),
    Column("expires_ms", Whole, nullable=False),
    Column("used_ms", Whole),
    UniqueConstraint("digest"),
    Index(None, "homeowner_id"),
    sqlite_strict=True,
    sqlite_autoincrement=True,
)

move_try = Table(
    "move_try",
    metadata,
    id_column(),
    Column("channel", Text, nullable=False),
    Column("address", Text, nullable=False),
    Column("at_ms", Whole, nullable=False),
    Index(None, "at_ms"),
    sqlite_strict=True,
    sqlite_autoincrement=True,
)
