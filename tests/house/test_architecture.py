"""The pure rooms stay pure: no clock, no chance, no input or output in `rules` and `bot/talk`; sizes stay readable."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PURE = [*sorted((ROOT / "rules").rglob("*.py")), *sorted((ROOT / "bot" / "talk").rglob("*.py"))]
SOURCES = [*PURE, *sorted(path for path in (ROOT / "bot").rglob("*.py") if path not in PURE)]
IMPURE_CALLS = {"now", "today", "utcnow", "time", "monotonic", "open", "print", "input", "getenv", "urandom", "uuid4"}
FUNCTION_LINES, FILE_LINES = 40, 500


@cache
def tree_of(path: Path) -> ast.Module:
    """A file's syntax tree: several rules look at each."""
    return ast.parse(path.read_text(encoding="utf-8"))


def name_of(path: Path) -> str:
    return str(path.relative_to(ROOT))


def calls(tree: ast.AST) -> Iterator[tuple[int, str]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            target = node.func
            name = (
                target.id if isinstance(target, ast.Name) else target.attr if isinstance(target, ast.Attribute) else ""
            )
            yield node.lineno, name


@pytest.mark.parametrize("path", PURE, ids=name_of)
def test_pure_rooms_ask_nobody_and_tell_nobody(path: Path) -> None:
    """No call in a pure room reads a clock, a file, chance or the environment, or prints."""
    found = [(line, name) for line, name in calls(tree_of(path)) if name in IMPURE_CALLS]

    assert found == []


def code_lines(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Lines of a function from its signature to its end, without its docstring."""
    lines = (function.end_lineno or function.lineno) - function.lineno + 1
    first = function.body[0]
    if isinstance(first, ast.Expr) and isinstance(first.value, ast.Constant) and isinstance(first.value.value, str):
        lines -= (first.end_lineno or first.lineno) - first.lineno + 1
    return lines


@pytest.mark.parametrize("path", SOURCES, ids=name_of)
def test_functions_and_files_stay_readable(path: Path) -> None:
    """A function has at most 40 lines of code, a file at most 500."""
    text = path.read_text(encoding="utf-8")
    functions = [node for node in ast.walk(tree_of(path)) if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)]
    long = [(node.name, code_lines(node)) for node in functions if code_lines(node) > FUNCTION_LINES]

    assert long == []
    assert len(text.splitlines()) <= FILE_LINES


def test_only_the_clock_asks_the_machine_for_the_time() -> None:
    """`datetime.now` stands in bot/clock.py alone."""
    askers = {
        name_of(path)
        for path in SOURCES
        for _, name in calls(tree_of(path))
        if name in ("utcnow", "today") or (name == "now" and "datetime.now(" in path.read_text(encoding="utf-8"))
    }

    assert askers == {"bot/clock.py"}


def test_nobody_swallows_errors_in_silence() -> None:
    """No bare except, and no except whose body is only pass."""
    silent = [
        (name_of(path), node.lineno)
        for path in SOURCES
        for node in ast.walk(tree_of(path))
        if isinstance(node, ast.ExceptHandler)
        and (node.type is None or all(isinstance(line, ast.Pass) for line in node.body))
    ]

    assert silent == []


WEATHER_PARTS = ("numpy", "matplotlib", "httpx")
LATER_PARTS = ("rapidfuzz", "rules.plan", "bot.talk.tasks", "bot.talk.understand.wishes", "bot.store.desk_schema")


@pytest.mark.parametrize(("command", "heavy"), [("start", WEATHER_PARTS), ("talk", WEATHER_PARTS + LATER_PARTS)])
def test_a_start_reads_nothing_that_the_first_words_do_not_need(command: str, heavy: tuple[str, ...]) -> None:
    """Physics, pictures, services, the agronomy of a plan and the understanding of words come with their first use."""
    program = f"import sys, bot.commands.{command}; print([name for name in {heavy!r} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=True)

    assert done.stdout.strip() == "[]"
