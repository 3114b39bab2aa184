"""House rules of the agronomy: every number is a fact with its source, formulas hold none, names carry units."""

from __future__ import annotations

import ast
import importlib
import inspect
import pkgutil
import re
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from pathlib import Path
from types import ModuleType

import pytest

import rules
import rules.facts
from rules.facts.fact import Fact, FactRange, Source, SourceKind

RULES = Path(next(iter(rules.__path__)))
FACT_MODULES = [
    importlib.import_module(f"rules.facts.{module.name}") for module in pkgutil.iter_modules(rules.facts.__path__)
]
RULE_FILES = sorted(path for path in RULES.glob("*.py") if path.name not in ("units.py", "__init__.py"))

BARE_NUMBERS_ALLOWED = {0, 1, 2, 0.5, 100}
# How finely something is worked out: no agronomy in it.
GRIDS = {
    "GRID_STEPS",
    "_SNOW_STEPS_IN",
    "_NODES",
    "_NODES_ALONE",
    "_ODDS_KEPT",
    "_NEWTON_STEPS",
    "_LATE",
    "_FEW_PLACES",
    "_FEW_NODES",
    "_SOIL_CELLS",
    "_BLOCK",
}
ROUNDING_GUARD = 1e-4  # smaller ones only keep floats from missing a bound by their last digit

UNIT_ENDINGS = re.compile(
    r"_(c|f|dc|df|in|mm|cm|m|km|ft|sqft|m2|lb|kg|oz|gal|gpm|l|h|hours|days|weeks|minutes|seconds|percent|fraction"
    r"|probability|paces|miles|degrees|year|month|w_m2|m2k_w)(_per_[a-z0-9_]+)?$|_per_[a-z0-9_]+$"
    r"|^(hours|days|weeks|minutes|seconds)_(since|near|below|after|before|of|per)_[a-z0-9_]+$"
)
# Plain counts, shares of nothing, and places on the earth: words whose unit is their meaning.
UNITLESS_NAMES = {
    "alive",
    "count",
    "latitude",
    "likelihood",
    "longitude",
    "month",
    "mowings",
    "place",
    "places",
    "keep_nodes",
    "plugs",
    "probability",
    "fraction",
    "reading",
    "total",
    "value",
    "warm_days",
    "weeks",
    "weight",
    "year",
}
DATE_ENDINGS = ("on", "at", "day", "days")


def facts_in(value: object, path: str, seen: set[int]) -> Iterator[tuple[str, Fact | FactRange]]:
    """Every fact held by a value, however deep in tuples, mappings and dataclasses."""
    if id(value) in seen:
        return
    seen.add(id(value))
    if isinstance(value, Fact | FactRange):
        yield path, value
    elif isinstance(value, Mapping):
        for key, held in value.items():
            yield from facts_in(held, f"{path}[{key}]", seen)
    elif isinstance(value, tuple | list | frozenset):
        for index, held in enumerate(value):
            yield from facts_in(held, f"{path}[{index}]", seen)
    elif is_dataclass(value) and not isinstance(value, type | Source):
        for field in fields(value):
            yield from facts_in(getattr(value, field.name), f"{path}.{field.name}", seen)


def all_facts() -> list[tuple[str, Fact | FactRange]]:
    seen: set[int] = set()
    found: list[tuple[str, Fact | FactRange]] = []
    for module in FACT_MODULES:
        for name, value in vars(module).items():
            if not name.startswith("__") and not isinstance(value, ModuleType):
                found.extend(facts_in(value, f"{module.__name__}.{name}", seen))
    return found


FACTS = all_facts()


def sources_of(fact: Fact | FactRange) -> list[Source]:
    others = [source for _, source in fact.others] if isinstance(fact, Fact) else []
    return [fact.source, *others]


def test_the_walk_finds_the_facts() -> None:
    """The walk reaches plain facts, facts in mappings and facts inside cultivars."""
    paths = [path for path, _ in FACTS]

    assert len(FACTS) > 300
    assert any(path.endswith("feeding.SOLUBLE_N_CAP") for path in paths)
    assert any("N_LIMIT[bermuda]" in path for path in paths)
    assert any(path.endswith(".lt50_c") for path in paths)


@pytest.mark.parametrize("fact", [fact for _, fact in FACTS], ids=[path for path, _ in FACTS])
def test_a_fact_has_a_unit_a_range_and_a_source(fact: Fact | FactRange) -> None:
    """Unit given, low <= value <= high, and a source: published ones can be found, the others say that they cannot."""
    assert fact.unit.strip()
    assert fact.low <= fact.high
    if isinstance(fact, Fact):
        assert fact.low <= fact.value <= fact.high
    for source in sources_of(fact):
        assert source.key
        assert source.who
        if source.kind is SourceKind.PUBLISHED:
            assert source.where or source.title or source.year
        else:
            assert not source.where


def test_a_source_key_never_means_two_sources() -> None:
    """The same key is the same source wherever it is written."""
    sources = {
        id(value): value for module in FACT_MODULES for value in vars(module).values() if isinstance(value, Source)
    }
    by_key: dict[str, Source] = {}
    twice = [each.key for each in sources.values() if by_key.setdefault(each.key, each) != each]

    assert twice == []


def excused(tree: ast.AST) -> Iterator[ast.AST]:
    """Where a number is no coefficient: an index, the bounds of an input check, the grid of a numerical method."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Subscript):
            yield node.slice
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "require_range":
            yield from node.args[2:4]
        elif isinstance(node, ast.Assign) and {ast.unparse(name) for name in node.targets} <= GRIDS:
            yield node.value


def bare_numbers(tree: ast.AST) -> list[tuple[int, float]]:
    """Numbers in the code that are neither allowed, nor excused, nor a rounding guard."""
    passed = {id(inner) for part in excused(tree) for inner in ast.walk(part)}
    return [
        (node.lineno, node.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant)
        and isinstance(node.value, int | float)
        and not isinstance(node.value, bool)
        and id(node) not in passed
        and node.value not in BARE_NUMBERS_ALLOWED
        and abs(node.value) >= ROUNDING_GUARD
    ]


@pytest.mark.parametrize("path", RULE_FILES, ids=[path.stem for path in RULE_FILES])
def test_formulas_hold_no_bare_number(path: Path) -> None:
    """Only 0, 1, 2, 0.5 and 100 stand in `rules/*.py`; everything else is a fact or a conversion in units.py."""
    assert bare_numbers(ast.parse(path.read_text(encoding="utf-8"))) == []


def test_the_search_for_bare_numbers_sees_them() -> None:
    """A coefficient, a month and a day are caught; an index, a bound, a grid, a guard and an allowed number are not."""
    innocent = 'z = y[3] + y[:4] - 1e-9 + 2 * 0.5\nrequire_range("lat", lat, 18.0, -45.0, "")\n_NODES = 25'
    guilty = "x = 0.37 * y\nif flag is True: x = -7\nd = date(year, 6, 1)\nrequire_range('t', 3 * t, 0, 1, '')"

    assert bare_numbers(ast.parse(innocent)) == []
    assert {value for _, value in bare_numbers(ast.parse(guilty))} == {0.37, 7, 6, 3}


def public_functions() -> list[tuple[str, inspect.Signature]]:
    found = []
    for path in RULE_FILES:
        if path.stem == "errors":
            continue  # its bounds are in the unit that the caller names
        module = importlib.import_module(f"rules.{path.stem}")
        for name, value in vars(module).items():
            is_own = inspect.isfunction(value) and value.__module__ == module.__name__
            if is_own and not name.startswith("_"):
                found.append((f"{path.stem}.{name}", inspect.signature(value)))
    return found


FUNCTIONS = public_functions()


@pytest.mark.parametrize("signature", [each for _, each in FUNCTIONS], ids=[name for name, _ in FUNCTIONS])
def test_parameters_carry_their_unit(signature: inspect.Signature) -> None:
    """A number ends in its unit or is a known plain word; a date says that it is one."""
    for parameter in signature.parameters.values():
        kind = str(parameter.annotation)
        if re.search(r"\b(float|int)\b", kind):
            assert parameter.name in UNITLESS_NAMES or UNIT_ENDINGS.search(parameter.name), parameter
        if re.search(r"\bdate\b", kind):
            assert parameter.name.split("_")[-1] in DATE_ENDINGS, parameter


def test_every_public_function_says_what_it_is() -> None:
    """A docstring for each, and a source or the facts named where it takes numbers."""
    silent = []
    for name, _ in FUNCTIONS:
        stem, _, function = name.partition(".")
        if not inspect.getdoc(getattr(importlib.import_module(f"rules.{stem}"), function)):
            silent.append(name)

    assert silent == []
