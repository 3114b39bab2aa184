from __future__ import annotations

import re
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from alembic import command
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import create_engine

from bot.errors import StoreError
from bot.store import desk_schema, migrate
from bot.store.migrate import VERSIONS, bring_up_to_date


def test_upgraded_equals_fresh(tmp_path: Path) -> None:
    """The steps lead to exactly the tables and indexes that stand in the schema, to the letter."""
    bring_up_to_date(f"sqlite:///{tmp_path / 'upgraded.db'}")
    engine = create_engine(f"sqlite:///{tmp_path / 'fresh.db'}")
    desk_schema.metadata.create_all(engine)
    engine.dispose()

    assert _shape(tmp_path / "upgraded.db") == _shape(tmp_path / "fresh.db")


def test_every_table_is_strict(tmp_path: Path) -> None:
    """No table of ours takes a value of another kind."""
    bring_up_to_date(f"sqlite:///{tmp_path / 'a.db'}")

    with closing(sqlite3.connect(tmp_path / "a.db")) as connection:
        loose = {row[1] for row in connection.execute("PRAGMA table_list") if row[2] == "table" and not row[5]}
    assert {name for name in loose if not name.startswith("sqlite_")} == {"alembic_version"}


def test_the_known_versions_are_the_steps_there_are() -> None:
    """Whoever adds a step adds its number to `VERSIONS`; without that, a start would not look for it."""
    config = Config()
    config.set_main_option("script_location", str(Path(migrate.__file__).parent / "migrations"))
    steps = [step.revision for step in ScriptDirectory.from_config(config).walk_revisions()]

    assert tuple(reversed(steps)) == VERSIONS


def test_starting_again_changes_nothing(tmp_path: Path) -> None:
    """A second start finds everything done and leaves the file as it is."""
    file = tmp_path / "a.db"
    bring_up_to_date(f"sqlite:///{file}")
    before = file.read_bytes()
    bring_up_to_date(f"sqlite:///{file}")

    assert file.read_bytes() == before


def test_the_version_is_where_alembic_looks_for_it(tmp_path: Path) -> None:
    """The quick look at the start and Alembic's own agree."""
    engine = create_engine(f"sqlite:///{tmp_path / 'a.db'}")
    bring_up_to_date(str(engine.url))
    with engine.connect() as connection:
        assert MigrationContext.configure(connection).get_current_revision() == VERSIONS[-1]
    engine.dispose()


def test_a_database_of_a_newer_version_is_refused(tmp_path: Path) -> None:
    """It says which version it is and what to do, and nothing in the file is changed."""
    file = tmp_path / "a.db"
    bring_up_to_date(f"sqlite:///{file}")
    _change(file, "UPDATE alembic_version SET version_num = '0099'")
    before = file.read_bytes()

    with pytest.raises(StoreError, match=r"newer Afterfrost \(version 0099.*backup"):
        bring_up_to_date(f"sqlite:///{file}")
    assert file.read_bytes() == before


def test_a_database_of_something_else_is_refused(tmp_path: Path) -> None:
    """Tables are never made beside somebody else's."""
    _change(tmp_path / "a.db", "CREATE TABLE orders (id INTEGER)")

    with pytest.raises(StoreError, match="not Afterfrost's"):
        bring_up_to_date(f"sqlite:///{tmp_path / 'a.db'}")


def test_a_step_that_fails_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """All steps or none: after a failure in the middle the database is as empty as before, and the next start works."""
    file = tmp_path / "a.db"

    def fail(*_: object, **__: object) -> None:
        raise RuntimeError("power cut")

    with monkeypatch.context() as patch:
        patch.setattr("alembic.op.create_index", fail)
        with pytest.raises(RuntimeError, match="power cut"):
            bring_up_to_date(f"sqlite:///{file}")
    assert _shape(file) == {}

    bring_up_to_date(f"sqlite:///{file}")
    assert "homeowner" in _shape(file)


def test_a_file_that_is_no_database_is_named_as_such(tmp_path: Path) -> None:
    """A damaged file is an error with a way out, not a traceback."""
    (tmp_path / "a.db").write_bytes(b"certainly not a database, but long enough to have a header" * 20)

    with pytest.raises(StoreError, match="put back a backup"):
        bring_up_to_date(f"sqlite:///{tmp_path / 'a.db'}")


def _shape(file: Path) -> dict[str, str]:
    with closing(sqlite3.connect(file)) as connection:
        rows = connection.execute("SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL").fetchall()
    return {
        name: re.sub(r"\s*([,()])\s*", r"\1", " ".join(sql.split()))
        for name, sql in rows
        if name not in ("alembic_version", "sqlite_sequence")
    }


def _change(file: Path, statement: str) -> None:
    with closing(sqlite3.connect(file, isolation_level=None)) as connection:
        connection.execute(statement)


def test_what_stood_in_a_database_before_local_rules_stays(tmp_path: Path) -> None:
    """A region drawn with version 0003 is there after the upgrade, and something can be said of it."""
    file = tmp_path / "a.db"
    engine = create_engine(f"sqlite:///{file}")
    config = Config()
    config.set_main_option("script_location", str(Path(migrate.__file__).parent / "migrations"))
    with engine.begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, "0003")
    engine.dispose()
    assert "local_rule" not in _shape(file)
    _change(file, "INSERT INTO region (name, shape, made_ms) VALUES ('County', '{}', 1)")
    bring_up_to_date(f"sqlite:///{file}")
    _change(file, "INSERT INTO local_rule (region_id, piece, doc, made_ms) SELECT id, 'note', '{}', 2 FROM region")

    with closing(sqlite3.connect(file)) as connection:
        joined = "SELECT region.name, piece FROM local_rule JOIN region ON region.id = region_id"
        assert connection.execute(joined).fetchall() == [("County", "note")]
