"""`afterfrost alert`: read, keep and list, for people and as JSON."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from bot.commands.alert import alert
from tests.ops.alerts.made import Made

AHEAD = Made(
    sent="2096-01-15T13:40:00-05:00",
    onset="2096-01-16T00:00:00-05:00",
    ends="2096-01-16T10:00:00-05:00",
    expires="2096-01-16T04:00:00-05:00",
)


def said(*arguments: str) -> Result:
    return CliRunner().invoke(alert, list(arguments))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    made = tmp_path / "alerts"
    made.mkdir()
    (made / "freeze.xml").write_bytes(AHEAD.bytes())
    (made / "drill.xml").write_bytes(Made(identifier="drill", status="Test").bytes())
    return made


def test_reading_shows_what_it_means_and_keeps_nothing(folder: Path, tmp_path: Path) -> None:
    """Area, times, what it is to us, and why a drill leads to nothing."""
    result = said("read", str(folder))

    assert result.exit_code == 0
    assert "Freeze Warning (Alert, sent Sun 2096-01-15 13:40 -0500)" in result.output
    assert "when: Mon 2096-01-16 00:00 -0500 to Mon 2096-01-16 10:00 -0500" in result.output
    assert "reaches: 2 counties" in result.output
    assert "to us: freeze" in result.output
    assert "leads to nothing: it is not actual" in result.output
    assert sorted(tmp_path.iterdir()) == [folder]


def test_reading_as_json_holds_all_of_it(folder: Path) -> None:
    """With what it means to us."""
    shown = json.loads(said("read", str(folder), "--json").stdout)

    drill, freeze = shown["alerts"]
    assert (drill["status"], drill["leads_to_nothing"]) == ("Test", "not actual")
    assert freeze["identifier"] == "urn:made:1"
    assert freeze["begins"] == "2096-01-16T00:00:00-05:00"
    assert freeze["reaches"] == {"codes": ["SAME 013127", "SAME 013191"]}
    assert freeze["infos"][0]["event"] == "Freeze Warning"


@pytest.mark.parametrize("command", ["read", "keep"])
def test_what_is_refused_is_told_and_the_rest_done(folder: Path, tmp_path: Path, command: str) -> None:
    """Exit code 1; the file's name, a sentence, the reason."""
    (folder / "half.xml").write_bytes(AHEAD.bytes()[:200])
    more = ["--data", str(tmp_path / "data")] if command == "keep" else []

    result = said(command, str(folder), *more)

    assert result.exit_code == 1
    assert "half.xml: It is no XML" in result.stderr
    assert "[not_xml]" in result.stderr
    assert "Freeze Warning" in result.stdout


def test_nothing_there_is_told(tmp_path: Path) -> None:
    """Without a traceback."""
    result = said("read", str(tmp_path / "none.xml"), "--json")

    assert result.exit_code == 1
    assert [each["reason"] for each in json.loads(result.stdout)["refused"]] == ["not_found"]


def test_keeping_drafts_once_and_the_list_tells_what_became_of_each(folder: Path, tmp_path: Path) -> None:
    """A second time nothing new comes of it."""
    data = ("--data", str(tmp_path / "data"))

    first = said("keep", str(folder), *data)
    second = said("keep", str(folder), *data, "--json")
    listed = said("list", *data)

    assert first.exit_code == second.exit_code == listed.exit_code == 0
    assert "alert 2: Freeze Warning (Alert): drafted (advisory 1)" in first.output
    assert "alert 1: Freeze Warning (Alert): a drill or not public" in first.output
    kept = json.loads(second.stdout)["alerts"]
    assert [(each["id"], each["is_new"], each["advisory"]) for each in kept] == [(1, False, None), (2, False, 1)]
    assert listed.output.splitlines() == [
        "alert 2: Freeze Warning (Alert): drafted (advisory 1)",
        "alert 1: Freeze Warning (Alert): a drill or not public",
    ]


def test_an_operator_who_is_not_there_brings_nothing(folder: Path, tmp_path: Path) -> None:
    """Nothing is kept in nobody's name."""
    data = ("--data", str(tmp_path / "data"))

    result = said("keep", str(folder), "--as", "Nobody", *data)

    assert result.exit_code == 2
    assert "Nobody called Nobody is let in" in result.output
    assert said("list", *data).output.startswith("No alert is kept yet.")


def test_looking_ahead_says_what_it_needs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A contact for the service first, then a region that is there."""
    data = ("--data", str(tmp_path / "data"))
    monkeypatch.delenv("AFTERFROST_WEATHER_CONTACT", raising=False)

    assert "AFTERFROST_WEATHER_CONTACT" in said("ahead", "31.2,-81.5", "--region", "Coast", *data).stderr

    monkeypatch.setenv("AFTERFROST_WEATHER_CONTACT", "lawns@tarrow.invalid")
    assert "There is no region 'Coast'" in said("ahead", "31.2,-81.5", "--region", "Coast", *data).stderr
