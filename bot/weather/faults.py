"""The one error of weather files: which file, which line, what is wrong, what to do."""

from __future__ import annotations

from dataclasses import dataclass

from bot.errors import AfterfrostError


class WeatherFileError(AfterfrostError):
    """A weather file cannot be used; nothing of it was taken. `line` counts from 1; None means the whole file."""

    def __init__(self, *, file: str, line: int | None, what: str, do: str) -> None:
        where = file if line is None else f"{file}, line {line}"
        super().__init__(f"{where}: {what}. {do}")
        self.file = file
        self.line = line
        self.what = what
        self.do = do


@dataclass(frozen=True, slots=True)
class Spot:
    """A place in a file, to hang an error on. `line` None is the whole file."""

    file: str
    line: int | None = None

    def fault(self, what: str, do: str) -> WeatherFileError:
        """The error to raise for this place."""
        return WeatherFileError(file=self.file, line=self.line, what=what, do=do)


def shown(raw: str) -> str:
    """A piece of a file as an error may print it: short, and without characters a terminal would obey."""
    clean = "".join(each if each.isprintable() else "?" for each in raw.strip())
    return repr(clean if len(clean) <= 40 else clean[:37] + "...")
