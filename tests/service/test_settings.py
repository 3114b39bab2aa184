from __future__ import annotations

from pathlib import Path

import pytest
from pydantic import ValidationError

from bot.errors import SettingsError
from bot.settings import Settings, known_variables, read_facts, read_settings


def test_an_empty_environment_is_enough() -> None:
    """Everything has a default that works on one machine."""
    settings = read_settings({"PATH": "/bin", "OTHER_PORT": "1"})

    assert settings == Settings()
    assert (settings.data, settings.host, settings.port) == (Path("afterfrost-data"), "127.0.0.1", 8090)
    assert (settings.first_hour, settings.last_hour) == (9, 20)


def test_what_is_set_is_read() -> None:
    """Blanks around a value do not matter, nor does how a level is written."""
    settings = read_settings(
        {
            "AFTERFROST_DATA": "/srv/lawn",
            "AFTERFROST_PORT": " 9000 ",
            "AFTERFROST_LOG_LEVEL": "debug",
            "AFTERFROST_CONTACT_LINE": "",
        }
    )

    assert (settings.data, settings.port, settings.log_level) == (Path("/srv/lawn"), 9000, "DEBUG")
    assert settings.contact_line == ""


@pytest.mark.parametrize(
    ("name", "value", "holds"),
    [
        ("AFTERFROST_PORT", "http", "a port number from 1 to 65535, not 'http'"),
        ("AFTERFROST_PORT", "70000", "a port number from 1 to 65535"),
        ("AFTERFROST_FIRST_HOUR", "3", "the first local hour for reminders, 8 to 20"),
        ("AFTERFROST_LAST_HOUR", "23", "9 to 21"),
        ("AFTERFROST_LOG_LEVEL", "loud", "DEBUG, INFO, WARNING or ERROR"),
        ("AFTERFROST_FACTS_FILE", "/no/such/file.json", "there is no such file"),
        ("AFTERFROST_CONTACT_LINE", "x" * 201, "at most 200 characters"),
        ("AFTERFROST_PUBLIC_URL", "lawn.example", "it begins with https://"),
        ("AFTERFROST_PUBLIC_URL", "https://", "it begins with https://"),
        ("AFTERFROST_TELEGRAM_API", "ftp://lawn.example", "it begins with https://"),
    ],
)
def test_a_value_that_cannot_be_used_is_named_with_what_it_should_hold(name: str, value: str, holds: str) -> None:
    """The message starts with the variable, so it can be found and set right."""
    with pytest.raises(SettingsError, match=f"^{name} should hold") as caught:
        read_settings({name: value})
    assert holds in str(caught.value)


def test_hours_must_be_in_order() -> None:
    """A day that ends before it begins would never let a reminder out."""
    with pytest.raises(SettingsError, match="AFTERFROST_FIRST_HOUR must be smaller"):
        read_settings({"AFTERFROST_FIRST_HOUR": "18", "AFTERFROST_LAST_HOUR": "12"})


def test_a_misspelled_variable_is_an_error_that_lists_the_real_ones() -> None:
    """Reading over it in silence would leave the default in force without anybody noticing."""
    with pytest.raises(SettingsError, match=r"no setting AFTERFROST_PROT\. Did you mean AFTERFROST_PORT") as caught:
        read_settings({"AFTERFROST_PROT": "9000"})
    for name in known_variables():
        assert name in str(caught.value)


def test_settings_cannot_be_changed_after_reading() -> None:
    """They are read once."""
    with pytest.raises(ValidationError, match="frozen"):
        read_settings({}).__setattr__("port", 1)


def test_regional_facts_are_read_as_plain_data(tmp_path: Path) -> None:
    """Their meaning is the conversation's business; that they are one JSON object is checked here."""
    file = tmp_path / "facts.json"
    file.write_text('{"freeze": {"low_f": 17}}')
    assert read_facts(file) == {"freeze": {"low_f": 17}}

    for broken in ("[1]", "{", ""):
        file.write_text(broken)
        with pytest.raises(SettingsError, match="AFTERFROST_FACTS_FILE"):
            read_facts(file)
