"""What a log line may say about an exception: where it happened, never the words a homeowner wrote."""

from __future__ import annotations

import logging
import sys
import traceback


def trace_of(error: BaseException) -> str:
    """The traceback of an exception and its causes, without the exceptions' own messages.

    A message like "could not convert string to float: 'call me at ...'" would carry a homeowner's words into the log.
    """
    parts: list[str] = []
    link: BaseException | None = error
    while link is not None:
        parts.append("".join(traceback.format_tb(link.__traceback__)) + type(link).__qualname__)
        link = link.__cause__ or (None if link.__suppress_context__ else link.__context__)
    return "\ncaused by\n".join(parts)


def place_of(error: BaseException) -> str:
    """One line for a row: the kind of exception and the innermost place it came from."""
    frames = traceback.extract_tb(error.__traceback__)
    where = f" in {frames[-1].name}, line {frames[-1].lineno}" if frames else ""
    return f"{type(error).__qualname__}{where}"


def log_to_stderr(level: str) -> None:
    """Send log lines of our own, and warnings of the libraries, to standard error."""
    logging.basicConfig(
        stream=sys.stderr, level=logging.WARNING, format="%(asctime)s %(levelname)s %(name)s %(message)s"
    )
    logging.getLogger("bot").setLevel(level)
