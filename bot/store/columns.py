"""Whole numbers of very many rows, as one array: a million rows in a second, and no objects kept for them."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Sequence
from itertools import chain
from typing import Any

import numpy as np
from numpy.typing import NDArray
from sqlalchemy import Select

from bot.errors import StoreError
from bot.store.database import StoreBusy, Transaction

Wholes = NDArray[np.int64]

ROWS_AT_ONCE = 5000  # few enough to stay in the processor's own memory


async def wholes(tx: Transaction, statement: Select[*tuple[Any, ...]]) -> Wholes:
    """What a statement of whole numbers, none of them null, finds: one line of the array a row.

    On SQLite in one trip to the connection's thread; otherwise row by row through the layers between.
    """
    if tx.dialect.name == "sqlite":
        return await _by_the_driver(tx, statement)
    return await by_rows(tx, statement)


async def by_rows(tx: Transaction, statement: Select[*tuple[Any, ...]]) -> Wholes:
    """As `wholes`, on any database."""
    width = len(statement.selected_columns)
    found = await tx.stream(statement)
    return _joined([_array(page, width) async for page in found.partitions(ROWS_AT_ONCE)], width)


async def _by_the_driver(tx: Transaction, statement: Select[*tuple[Any, ...]]) -> Wholes:
    width, pages = len(statement.selected_columns), list[Wholes]()
    await each_page(tx, statement, lambda rows: pages.append(_array(rows, width)))
    return _joined(pages, width)


async def each_page(
    tx: Transaction, statement: Select[*tuple[Any, ...]], take: Callable[[Sequence[Sequence[Any]]], None]
) -> None:
    """Give everything a statement finds to `take`, some thousand rows at a time.

    On SQLite that is done in the connection's thread, in one trip; otherwise row by row through the layers between.
    """
    if tx.dialect.name != "sqlite":
        async for page in (await tx.stream(statement)).partitions(ROWS_AT_ONCE):
            take(page)
        return
    compiled = statement.compile(dialect=tx.dialect, compile_kwargs={"render_postcompile": True})
    values = [compiled.params[name] for name in compiled.positiontup or ()]
    driver = (await tx.get_raw_connection()).driver_connection
    if driver is None:
        raise StoreError("The database connection was lost; restart Afterfrost.")

    def read() -> None:
        cursor = driver._conn.execute(str(compiled), values)
        while rows := cursor.fetchmany(ROWS_AT_ONCE):
            take(rows)

    try:
        await driver._execute(read)
    except sqlite3.OperationalError as error:
        raise StoreBusy(f"The database cannot be used now ({error}).") from error


def _array(rows: Sequence[Sequence[Any]], width: int) -> Wholes:
    return np.fromiter(chain.from_iterable(rows), dtype=np.int64, count=len(rows) * width).reshape(-1, width)


def _joined(pages: Sequence[Wholes], width: int) -> Wholes:
    return np.concatenate(pages) if pages else np.empty((0, width), dtype=np.int64)
