"""Answers that are no weather: what a service says is wrong, put so that whoever runs Afterfrost knows what to do."""

from __future__ import annotations

from datetime import UTC, datetime
from email.utils import parsedate_to_datetime
from typing import TypeVar

import httpx
from pydantic import BaseModel, ConfigDict, ValidationError

from bot.weather.live.port import (
    NothingThere,
    NotUnderstood,
    Refused,
    ServiceBroken,
    ServiceUnreachable,
    TooManyRequests,
    WeatherServiceError,
)

Body = TypeVar("Body", bound=BaseModel)
_LONGEST_TOLD = 160
_WAIT = "Try again later; weather files can be used meanwhile."


class _Problem(BaseModel):
    """`application/problem+json` (RFC 9457), or the plain form with a reason."""

    model_config = ConfigDict(extra="ignore")

    title: str = ""
    detail: str = ""
    reason: str = ""


def fault_of(service: str, response: httpx.Response, now: datetime) -> WeatherServiceError:
    """The error for an answer that is not 200."""
    status = response.status_code
    said = _said(response)
    after_seconds = seconds_until(response.headers.get("retry-after", ""), now)
    if status == httpx.codes.TOO_MANY_REQUESTS:
        what = f"it was asked too often{said}"
        return TooManyRequests(service=service, what=what, do=_wait_for(after_seconds), after_seconds=after_seconds)
    if status >= httpx.codes.INTERNAL_SERVER_ERROR or status == httpx.codes.REQUEST_TIMEOUT:
        what = f"it is out of order (HTTP {status}){said}"
        return ServiceBroken(service=service, what=what, do=_WAIT, after_seconds=after_seconds)
    if status in (httpx.codes.NOT_FOUND, httpx.codes.GONE):
        what = f"there is nothing at this address (HTTP {status}){said}"
        return NothingThere(service=service, what=what, do="Check the service's address in the settings.")
    if status in (httpx.codes.UNAUTHORIZED, httpx.codes.PAYMENT_REQUIRED, httpx.codes.FORBIDDEN):
        what = f"it does not let us in (HTTP {status}){said}"
        return Refused(service=service, what=what, do="Check the contact and the key in the settings.")
    what = f"it does not take the question (HTTP {status}){said}"
    return Refused(service=service, what=what, do="Check the place, the days and the service's address.")


def unreachable(service: str, error: httpx.RequestError) -> ServiceUnreachable:
    """The error for no answer at all."""
    what = "it did not answer in time" if isinstance(error, httpx.TimeoutException) else "it cannot be reached"
    return ServiceUnreachable(service=service, what=f"{what} ({type(error).__name__})", do=f"Check the net. {_WAIT}")


def no_json(service: str) -> ServiceBroken:
    """The error for a page, or half an answer, in the place of data: a service in repair, or a hotel's log-in page."""
    what = "it sent something else than data, or only a part of it"
    return ServiceBroken(service=service, what=what, do=f"Check the net and the service's address. {_WAIT}")


def not_understood(service: str, what: str) -> NotUnderstood:
    """The error for an answer in another form than the documented one."""
    do = "The service may have changed: look for a newer Afterfrost, or use weather files."
    return NotUnderstood(service=service, what=what, do=do)


def read_body(service: str, model: type[Body], body: bytes) -> Body:
    """The JSON as the wanted form. Raises NotUnderstood naming the first place that does not fit."""
    try:
        return model.model_validate_json(body)
    except ValidationError as error:
        fault = error.errors(include_url=False, include_input=False)[0]
        where = ".".join(str(step) for step in fault["loc"]) or "the whole"
        raise not_understood(service, f"the answer does not fit at {told(where)} ({told(fault['msg'])})") from error


def seconds_until(retry_after: str, now: datetime) -> float | None:
    """What a Retry-After header asks for, in seconds from now; None for none that can be read."""
    if retry_after.isascii() and retry_after.isdigit():
        return float(retry_after)
    try:
        at = parsedate_to_datetime(retry_after)
    except ValueError:
        return None
    return max(0.0, (at.replace(tzinfo=at.tzinfo or UTC) - now).total_seconds())


def told(text: str) -> str:
    """What a service wrote, as an error may print it: short, on one line, nothing a terminal would obey."""
    clean = " ".join("".join(each if each.isprintable() else " " for each in text).split())
    return clean if len(clean) <= _LONGEST_TOLD else clean[: _LONGEST_TOLD - 3] + "..."


def _wait_for(after_seconds: float | None) -> str:
    return _WAIT if after_seconds is None else f"Try again in {after_seconds:.0f} seconds."


def _said(response: httpx.Response) -> str:
    try:
        problem = _Problem.model_validate_json(response.content)
    except ValidationError:
        return ""  # an error page in HTML says nothing a reader could use
    said = told(problem.detail or problem.reason or problem.title).rstrip(".!")
    return f": {said}" if said else ""
