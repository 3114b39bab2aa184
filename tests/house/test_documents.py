"""What README and DEVELOPERS.md promise is what there is: settings, commands, rooms and dependencies."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import click
import pytest

from bot.__main__ import main
from bot.settings import Settings

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
DEPENDENCIES = [*PROJECT["dependencies"], *PROJECT["optional-dependencies"]["dev"]]


@pytest.mark.parametrize("setting", Settings.model_fields)
def test_every_setting_stands_in_the_readme(setting: str) -> None:
    """Nobody finds a setting in the code first."""
    assert f"AFTERFROST_{setting.upper()}" in README


def test_the_readme_names_no_setting_that_is_gone() -> None:
    """And the other way round."""
    named = set(re.findall(r"AFTERFROST_([A-Z_]+)", README))

    assert named <= {name.upper() for name in Settings.model_fields}


@pytest.mark.parametrize("command", ["talk", "rehearse", "assess", "check"])
def test_every_first_command_stands_in_the_readme(command: str) -> None:
    """As it is typed; the rest is named by --help."""
    assert isinstance(main, click.Group)
    assert command in main.commands
    assert f"sh deploy/start.sh {command}" in README


@pytest.mark.parametrize("dependency", DEPENDENCIES)
def test_every_dependency_has_its_reason(dependency: str) -> None:
    """A library nobody can explain is one too many."""
    name = re.split(r"[\[<>=~! ]", dependency)[0]

    assert re.search(rf"(?<![\w-]){re.escape(name)}(?![\w-])", DEVELOPERS.partition("## Dependencies")[2])


def test_every_room_that_developers_are_shown_exists() -> None:
    """A map with a wall that is gone misleads."""
    shown = re.findall(r"`((?:bot|rules|tests|deploy)/[\w/.]+)`", DEVELOPERS)

    assert shown
    assert [path for path in shown if not (ROOT / path).exists()] == []
