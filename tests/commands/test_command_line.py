"""The command as people run it: piped talk, help, errors, and a whole rehearsed season."""

from __future__ import annotations

import json
import os
import select
import signal
import socket
import sqlite3
import subprocess
import sys
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

from bot.store.store import DATABASE_FILE

ROOT = Path(__file__).parents[2]


IN_JANUARY = datetime(2027, 1, 20, 15, 0, tzinfo=UTC)


def in_january(folder: Path) -> str:
    """A file that moves the clock to a January day, when people ask."""
    folder.mkdir(exist_ok=True)
    shift = folder / "clock-shift"
    shift.write_text(f"{(IN_JANUARY - datetime.now(UTC)).total_seconds():.0f}", encoding="utf-8")
    return str(shift)


def run(*arguments: str, data: Path, said: str = "", **environ: str) -> subprocess.CompletedProcess[str]:
    environ.setdefault("AFTERFROST_CLOCK_SHIFT_FILE", in_january(data))
    clean = {name: value for name, value in os.environ.items() if not name.startswith("AFTERFROST_")}
    return subprocess.run(
        [sys.executable, "-m", "bot", *arguments],
        input=said,
        capture_output=True,
        text=True,
        cwd=ROOT,
        env=clean | {"AFTERFROST_DATA": str(data)} | environ,
        timeout=120,
        check=False,
    )


def test_a_port_that_is_taken_is_one_sentence(tmp_path: Path) -> None:
    """It names the port and what to do, without a traceback."""
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        done = run("start", "--port", str(port), data=tmp_path)

    assert done.returncode == 2
    assert f"Port {port} on 127.0.0.1 cannot be used" in done.stderr
    assert "AFTERFROST_PORT" in done.stderr
    assert "Traceback" not in done.stderr and "Afterfrost is at" not in done.stdout


def test_talk_works_with_piped_input_and_without_colours(tmp_path: Path) -> None:
    """Lines in, plain lines out, no escape codes, the first answer at the end."""
    said = "31522\nJan 16\n17\n4 days\nno\nSt. Augustine\n1\n"

    done = run("talk", data=tmp_path, said=said)

    assert done.returncode == 0
    assert "\x1b" not in done.stdout
    assert "What I think happened to the lawn (St. Augustine)" in done.stdout
    assert done.stderr == ""


def test_talk_ends_quietly_when_nobody_reads_on_and_loses_nothing(tmp_path: Path) -> None:
    """As with `afterfrost talk < answers | head -2`: no traceback, no program that never ends."""
    clean = {name: value for name, value in os.environ.items() if not name.startswith("AFTERFROST_")}
    environ = clean | {"AFTERFROST_DATA": str(tmp_path), "AFTERFROST_CLOCK_SHIFT_FILE": in_january(tmp_path)}
    command = [sys.executable, "-m", "bot", "talk"]
    pipe = subprocess.PIPE
    with subprocess.Popen(command, stdin=pipe, stdout=pipe, stderr=pipe, text=True, cwd=ROOT, env=environ) as talk:
        assert talk.stdin is not None and talk.stdout is not None and talk.stderr is not None
        while "Where is the lawn?" not in talk.stdout.readline():
            pass
        talk.stdout.close()
        talk.stdin.write("31522\nJan 16\n")
        talk.stdin.close()
        told = talk.stderr.read()
        code = talk.wait(timeout=60)

    assert (code, told) == (1, "")
    assert "When was the worst cold?" in run("talk", data=tmp_path).stdout


def test_talk_at_a_terminal_takes_pasted_lines_and_ends_at_ctrl_c(tmp_path: Path) -> None:
    """Whoever leaves in the middle of a question is told that nothing is lost, and need not ask twice."""
    clean = {name: value for name, value in os.environ.items() if not name.startswith("AFTERFROST_")}
    environ = clean | {"AFTERFROST_DATA": str(tmp_path), "AFTERFROST_CLOCK_SHIFT_FILE": in_january(tmp_path)}
    ours, theirs = os.openpty()
    command = [sys.executable, "-m", "bot", "talk"]
    with subprocess.Popen(command, stdin=theirs, stdout=theirs, stderr=theirs, cwd=ROOT, env=environ) as talk:
        os.close(theirs)
        _read_until(ours, "Where is the lawn?")
        os.write(ours, b"31522\nJan 16\n")
        _read_until(ours, "How cold")
        talk.send_signal(signal.SIGINT)
        _read_until(ours, "Your place is kept.")
        code = talk.wait(timeout=60)
    os.close(ours)

    assert code == 130


def _read_until(terminal: int, words: str) -> None:
    said = b""
    while words.encode() not in said:
        readable, _, _ = select.select([terminal], [], [], 60)
        assert readable, f"{words!r} never came: {said!r}"
        said += os.read(terminal, 65536)


def test_talk_goes_on_where_it_stood_after_a_restart(tmp_path: Path) -> None:
    """The second run knows the first one's answers."""
    run("talk", data=tmp_path, said="31522\nJan 16\n")

    again = run("talk", data=tmp_path, said="17\n")

    assert "We were at question 3" in again.stdout
    assert "17 °F. Got it." in again.stdout


def test_tray_lists_what_was_passed_on(tmp_path: Path) -> None:
    """A question for a person is kept and can be read."""
    run("talk", data=tmp_path, said="person\nIs my grass Raleigh?\n")

    listed = json.loads(run("tray", "--json", data=tmp_path).stdout)

    assert [each["question"] for each in listed] == ["Is my grass Raleigh?"]
    assert "Is my grass Raleigh?" in run("tray", data=tmp_path).stdout


def test_check_says_what_is_there(tmp_path: Path) -> None:
    """Every setting with what it holds, and a good end."""
    done = run("check", data=tmp_path)

    assert done.returncode == 0
    assert "AFTERFROST_DATA" in done.stdout
    assert "ZIP codes" in done.stdout


def test_a_misspelled_setting_is_named(tmp_path: Path) -> None:
    """One line that says what to set, no traceback."""
    done = run("check", data=tmp_path, AFTERFROST_PROT="9000")

    assert done.returncode == 2
    assert "AFTERFROST_PORT" in done.stderr
    assert "Traceback" not in done.stderr


def test_help_names_every_command(tmp_path: Path) -> None:
    """Each with one line."""
    out = run("--help", data=tmp_path).stdout

    for command in ("start", "talk", "rehearse", "assess", "tray", "check"):
        assert command in out


def test_the_rehearsed_season_plays_its_fates_and_keeps_its_manners(tmp_path: Path) -> None:
    """It is played once for all that is looked at in it: playing it is the longest a command takes."""
    done = run("rehearse", "--json", data=tmp_path)
    assert done.returncode == 0
    check_its_fates(done)
    check_its_manners(done)


def check_its_fates(done: subprocess.CompletedProcess[str]) -> None:
    """A St. Augustine mostly lost, one that returns, bermuda fine, centipede never fed, and one who asks for quiet."""
    lines = [json.loads(line) for line in done.stdout.splitlines()]
    told: dict[str, str] = {}
    for line in lines:
        if line["from"] == "bot":
            told[line["owner"]] = told.get(line["owner"], "") + "\n" + line["text"]

    assert "chances in 20 that it won't return" in told["Marisol"]
    assert "Plugs for 320 sq ft" in told["Marisol"]
    assert "it is coming back" in told["Walt"]
    assert "it is coming back" in told["June"]
    assert "Centipede gets no nitrogen in spring" in told["Theo"]
    assert "centipede gets no nitrogen in spring at all" in told["Theo"]
    assert "All checks pass. A light feed" not in told["Theo"]
    assert "I've stopped" in told["Nell"]
    for owner in ("Marisol", "Walt", "Theo", "Nell"):
        assert "I looked at the weather. The station at" in told[owner], "the coast has its own weather"
    assert "read 14 °F on Sun, Jan 17, you read 12 °F" in told["June"]
    assert "something broke" not in done.stdout.lower()


def check_its_manners(done: subprocess.CompletedProcess[str]) -> None:
    """Nothing unasked outside 8 to 21, at most one a day, nothing called dead before its date."""
    lines = [json.loads(line) for line in done.stdout.splitlines()]
    unasked: dict[tuple[str, str], int] = {}
    last_said: dict[str, datetime] = {}
    for line in lines:
        at = datetime.fromisoformat(line["at"])
        if line["from"] == "owner":
            last_said[line["owner"]] = at
        elif (at - last_said.get(line["owner"], at)).total_seconds() > 3600:
            assert 8 <= at.hour < 21
            day = (line["owner"], at.date().isoformat())
            unasked[day] = unasked.get(day, 0) + 1
        if "won't return" in line["text"]:
            assert at.date().isoformat() >= "2027-05-01"

    assert unasked
    assert max(unasked.values()) == 1


def test_queue_tells_what_waits_and_when_somebody_should_look(tmp_path: Path) -> None:
    """Counts by channel, the same in words and as JSON; what was given up on makes the exit code 1."""
    run("talk", data=tmp_path, said="hello\n")
    calm = run("queue", "--json", data=tmp_path)
    assert calm.returncode == 0
    assert [(each["channel"], each["waiting"], each["parked"]) for each in json.loads(calm.stdout)] == [
        ("terminal", 0, 0)
    ]
    with closing(sqlite3.connect(tmp_path / DATABASE_FILE, isolation_level=None)) as connection:
        connection.execute("UPDATE outbox SET state = 2 WHERE id = 1")

    alarmed = run("queue", data=tmp_path)
    assert alarmed.returncode == 1
    assert "1 given up on" in alarmed.stdout
