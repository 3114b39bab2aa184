"""Every row of `published/*.csv`: what the cited source prints, against what our functions give.

Kinds: `published` (the source prints the number), `arithmetic` (our own sum, kept so that it cannot drift) and
`regression` (pins today's behaviour; evidence of nothing).
"""

from __future__ import annotations

import csv
import importlib
import json
import pkgutil
from collections.abc import Mapping
from enum import StrEnum
from functools import reduce
from pathlib import Path

import pytest

import rules.facts
from rules.facts.fact import Source
from rules.grasses import GrassCode
from rules.label import Label
from rules.repair import PlugGrid

FOLDER = Path(__file__).parent / "published"
KINDS = ("published", "arithmetic", "regression")
OF_ENUM: Mapping[str, type[StrEnum]] = {"code": GrassCode, "grass_code": GrassCode, "grid": PlugGrid}
LEAST_PUBLISHED = 25

Row = dict[str, str]


def read_rows() -> list[tuple[str, Row]]:
    rows: list[tuple[str, Row]] = []
    for path in sorted(FOLDER.glob("*.csv")):
        with path.open(newline="", encoding="utf-8") as handle:
            rows.extend((f"{path.stem}: {row['check']}", row) for row in csv.DictReader(handle))
    return rows


ROWS = read_rows()


def found(function: str, inputs: dict[str, object]) -> float:
    """The number a row asks for: `module.function:attribute` called with inputs, or a fact drilled into by "at"."""
    path, _, attribute = function.partition(":")
    module, _, name = path.rpartition(".")
    target = getattr(importlib.import_module(f"rules.{module}"), name)
    if callable(target):
        target = target(**{key: argument(key, value) for key, value in inputs.items()})
    else:
        steps = inputs.get("at", [])
        assert isinstance(steps, list)
        target = reduce(lambda value, step: value[step], steps, target)
    return float(getattr(target, attribute) if attribute else target)


def argument(key: str, value: object) -> object:
    if key == "label":
        assert isinstance(value, dict)
        return Label(**value)
    if key in OF_ENUM:
        return OF_ENUM[key](str(value))
    return tuple(value) if isinstance(value, list) else value


def known_sources() -> set[str]:
    names = [module.name for module in pkgutil.iter_modules(rules.facts.__path__)]
    modules = [importlib.import_module(f"rules.facts.{name}") for name in names]
    return {str(value) for module in modules for value in vars(module).values() if isinstance(value, Source)}


@pytest.mark.parametrize("row", [row for _, row in ROWS], ids=[name for name, _ in ROWS])
def test_gives_the_number_of_the_row(row: Row) -> None:
    """A row's function gives its expected number within its tolerance."""
    value = found(row["function"], json.loads(row["inputs"]))

    assert value == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]) + 1e-9)


def test_enough_rows_are_printed_by_a_cited_source() -> None:
    """At least 25 rows hold numbers that a source prints, of computed results and not only of facts."""
    published = [row for _, row in ROWS if row["kind"] == "published"]
    computed = [row for row in published if not row["function"].startswith("facts.")]

    assert len(published) >= LEAST_PUBLISHED
    assert len(computed) >= LEAST_PUBLISHED


def test_every_published_row_cites_a_source_of_the_source_list() -> None:
    """A published row names a source that stands in the facts, and where in it the number is."""
    known = known_sources()

    strangers = [name for name, row in ROWS if row["kind"] == "published" and row["source"] not in known]
    nowhere = [name for name, row in ROWS if row["kind"] == "published" and not row["page_or_note"]]

    assert strangers == []
    assert nowhere == []


def test_rows_are_well_formed_and_named_once() -> None:
    """Kinds are known, units are given, tolerances are not negative, and no check stands twice in a file."""
    names = [name for name, _ in ROWS]

    assert {row["kind"] for _, row in ROWS} <= set(KINDS)
    assert all(row["unit"] and float(row["tolerance"]) >= 0 for _, row in ROWS)
    assert len(names) == len(set(names))
