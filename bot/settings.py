"""Settings: the environment read once into a frozen model. Whatever is wrong is said by the variable's name."""

from __future__ import annotations

import difflib
import json
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Literal
from urllib.parse import urlsplit

from pydantic import BaseModel, ConfigDict, Field, ValidationError, field_validator, model_validator

from bot.errors import SettingsError

if TYPE_CHECKING:
    from pydantic_core import ErrorDetails

PREFIX = "AFTERFROST_"


class Settings(BaseModel):
    """Everything whoever runs Afterfrost can choose. Each field is `AFTERFROST_` and its name in capitals.

    The description of a field is what the variable should hold; it is shown when it holds something else.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)

    data: Path = Field(default=Path("afterfrost-data"), description="a folder for the database and the photos")
    host: str = Field(default="127.0.0.1", min_length=1, description="the address to listen on, like 127.0.0.1")
    port: int = Field(default=8090, ge=1, le=65535, description="a port number from 1 to 65535")
    first_hour: int = Field(default=9, ge=8, le=20, description="the first local hour for reminders, 8 to 20")
    last_hour: int = Field(default=20, ge=9, le=21, description="the local hour reminders end, 9 to 21")
    clock_shift_file: Path | None = Field(
        default=None, description="a file with a number of seconds to move the clock by (rehearsals only)"
    )
    facts_file: Path | None = Field(default=None, description="a JSON file with the region's freeze and dates")
    contact_line: str = Field(default="", max_length=200, description="how to reach a person, at most 200 characters")
    weather: Literal["off", "national", "reanalysis", "both"] = Field(
        default="off", description="where weather is fetched from: off, national, reanalysis or both"
    )
    weather_contact: str = Field(
        default="", max_length=200, description="an e-mail address or web page the national weather service can reach"
    )
    alerts: str = Field(
        default="", max_length=8000, description="where alerts are read: addresses, files or folders, with commas"
    )
    reanalysis_url: str = Field(
        default="", max_length=300, description="address of the reanalysis archive, if not the free one"
    )
    reanalysis_key: str = Field(
        default="", max_length=200, repr=False, description="key of a paid plan for the reanalysis archive"
    )
    public_url: str = Field(
        default="", max_length=300, description="the address networks reach this page at, like https://lawn.example"
    )
    telegram_token: str = Field(default="", max_length=200, repr=False, description="the key of your Telegram bot")
    telegram_api: str = Field(
        default="", max_length=300, description="the address of a Bot API server of your own, if you run one"
    )
    telegram_listen: Literal["poll", "webhook"] = Field(
        default="poll", description="poll to ask for messages, webhook to be called at AFTERFROST_PUBLIC_URL"
    )
    sms: Literal["off", "gateway", "forms", "smpp"] = Field(
        default="off", description="how texts are carried: off, gateway (JSON), forms or smpp"
    )
    sms_url: str = Field(
        default="", max_length=300, description="the gateway's address, or host:port of a message centre"
    )
    sms_number: str = Field(default="", max_length=20, description="the number texts come from, like +15555550100")
    sms_login: str = Field(default="", max_length=100, description="the system id at a message centre")
    sms_key: str = Field(
        default="", max_length=300, repr=False, description="the key of the gateway, or the password there"
    )
    sms_secret: str = Field(
        default="",
        max_length=500,
        repr=False,
        description="the secret calls are signed with (whsec_...; two, with a space, while it changes)",
    )
    sms_signature_header: str = Field(
        default="X-Signature", max_length=60, description="the header with the signature, where texts go as forms"
    )
    sms_tls: bool = Field(default=False, description="true to speak TLS with a message centre")
    sms_picture_hosts: str = Field(
        default="", max_length=500, description="hosts pictures may be fetched from, with commas"
    )
    sms_a_minute: int = Field(default=75, ge=1, le=100_000, description="how many segments a minute may go out")
    sms_a_day: int = Field(default=2000, ge=1, le=10_000_000, description="how many segments a day may go out")
    sms_cost_cents: float | None = Field(
        default=None, ge=0, le=1000, description="what one segment costs, in cents, like 0.8"
    )
    second_approver: Literal["auto", "always", "never"] = Field(
        default="auto",
        description="whether somebody else must approve what one wrote: auto (where two may), always or never",
    )
    log_level: Literal["DEBUG", "INFO", "WARNING", "ERROR"] = Field(
        default="INFO", description="DEBUG, INFO, WARNING or ERROR"
    )

    @field_validator("log_level", mode="before")
    @classmethod
    def _in_capitals(cls, level: object) -> object:
        return level.upper() if isinstance(level, str) else level

    @field_validator("facts_file")
    @classmethod
    def _must_exist(cls, file: Path | None) -> Path | None:
        if file is not None and not file.is_file():
            raise ValueError("there is no such file")
        return file

    @field_validator("public_url", "telegram_api", "reanalysis_url")
    @classmethod
    def _must_be_an_address(cls, address: str) -> str:
        """Without its beginning every link made of it would lead nowhere."""
        parts = urlsplit(address)
        if address and not (parts.scheme in ("http", "https") and parts.hostname):
            raise ValueError("it begins with https:// and a name, or with http://")
        return address

    @model_validator(mode="after")
    def _networks_are_whole(self) -> Settings:
        for is_wanted, why, needed in _NEEDED:
            missing = [name for name in needed if not getattr(self, name)] if is_wanted(self) else []
            if missing:
                names = " and ".join(PREFIX + name.upper() for name in missing)
                raise ValueError(f"{why} needs {names} as well")
        return self

    @model_validator(mode="after")
    def _hours_in_order(self) -> Settings:
        if self.first_hour >= self.last_hour:
            raise ValueError(f"{PREFIX}FIRST_HOUR must be smaller than {PREFIX}LAST_HOUR")
        return self


_NEEDED: tuple[tuple[Callable[[Settings], bool], str, tuple[str, ...]], ...] = (
    (
        lambda given: given.sms in ("gateway", "forms"),
        "AFTERFROST_SMS over a gateway",
        ("sms_url", "sms_number", "sms_key", "sms_secret", "public_url"),
    ),
    (lambda given: given.sms == "smpp", "AFTERFROST_SMS=smpp", ("sms_url", "sms_number", "sms_login", "sms_key")),
    (
        lambda given: bool(given.telegram_token) and given.telegram_listen == "webhook",
        "AFTERFROST_TELEGRAM_LISTEN=webhook",
        ("public_url",),
    ),
)
"""What a network that is switched on cannot do without."""


def known_variables() -> dict[str, str]:
    """Every variable that is read, with what it should hold."""
    return {PREFIX + name.upper(): field.description or "" for name, field in Settings.model_fields.items()}


def read_settings(environ: Mapping[str, str]) -> Settings:
    """The settings an environment asks for.

    A variable that is set but empty counts as not set. Raises `SettingsError` naming the variable and what it should
    hold; a variable with our prefix that nothing reads is an error too, because it is most likely misspelled.
    """
    given = {name: value for name, value in environ.items() if name.startswith(PREFIX)}
    for name in sorted(given):
        if name not in known_variables():
            raise SettingsError(_unknown(name))
    values = {name.removeprefix(PREFIX).lower(): value for name, value in given.items() if value.strip()}
    try:
        return Settings.model_validate(values)
    except ValidationError as error:
        raise SettingsError(_explained(error)) from error


def read_facts(file: Path) -> dict[str, object]:
    """The operator's regional facts as plain data. Raises `SettingsError` when the file is no JSON object."""
    try:
        facts = json.loads(file.read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        raise SettingsError(f"{PREFIX}FACTS_FILE: {file} cannot be read as JSON ({error}).") from error
    if not isinstance(facts, dict):
        raise SettingsError(f"{PREFIX}FACTS_FILE: {file} should hold one JSON object, in braces.")
    return facts


def _unknown(name: str) -> str:
    near = difflib.get_close_matches(name, known_variables(), n=1)
    hint = f" Did you mean {near[0]}?" if near else ""
    listed = "\n".join(f"  {known}: {holds}" for known, holds in known_variables().items())
    return f"There is no setting {name}.{hint} The settings are:\n{listed}"


def _explained(error: ValidationError) -> str:
    lines = []
    for fault in error.errors():
        if not fault["loc"]:
            lines.append(f"{_said(fault)}.")
            continue
        name = PREFIX + str(fault["loc"][0]).upper()
        lines.append(f"{name} should hold {known_variables()[name]}, not {fault['input']!r} ({_said(fault)}).")
    return "\n".join(lines)


def _said(fault: ErrorDetails) -> str:
    return fault["msg"].removeprefix("Value error, ")
