"""The way out: who we say we are, what is tried again and what is not, what is kept, and what a copy is good for."""

from __future__ import annotations

import gzip
import json
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from email.utils import format_datetime
from pathlib import Path

import pytest
from starlette.responses import RedirectResponse

from bot.clock import SetClock
from bot.errors import SettingsError
from bot.weather.live.answers import seconds_until
from bot.weather.live.http import Answer, Patience, Question, Web, dated, require_contact, wait_seconds
from bot.weather.live.national import NationalService
from bot.weather.live.port import (
    NothingThere,
    NotUnderstood,
    Refused,
    ServiceBroken,
    ServiceUnreachable,
    TooManyRequests,
    WeatherServiceError,
    WillNotWork,
)
from tests.fakes.weather_services import (
    Answering,
    Slow,
    WeatherServices,
    body,
    breaking,
    serving,
    status,
    unused_address,
)
from tests.weather.live.conftest import NOW, QUICK

_DAYS = {"start_date": "2027-01-01", "end_date": "2027-01-01"}
HEAD_OF_HALF = b"HTTP/1.1 200 OK\r\nContent-Type: application/json\r\nContent-Length: 500\r\n\r\n{"


def asked(address: str, path: str = "/alerts/active", **more: object) -> Question:
    return Question(service="The service", url=f"{address}{path}", **more)  # type: ignore[arg-type]


@asynccontextmanager
async def remembering(folder: Path, clock: SetClock, patience: Patience = QUICK) -> AsyncIterator[Web]:
    async with Web(
        contact="lawns@tarrow.invalid", cache_file=folder / "answers" / "kept.db", clock=clock, patience=patience
    ) as web:
        yield web


async def test_we_say_who_asks(web: Web, services: WeatherServices, address: str) -> None:
    """The name of the program and the operator's contact stand in each question."""
    await web.get(asked(address))

    assert services.heads[0]["user-agent"].startswith("Afterfrost/")
    assert services.heads[0]["user-agent"].endswith("(lawns@tarrow.invalid)")


@pytest.mark.parametrize("contact", ["", "  ", "a\r\nX-Evil: 1", "(me)", "größe", "x" * 201])
def test_a_contact_that_fits_no_header_is_refused_by_its_setting(contact: str, clock: SetClock) -> None:
    """Empty, split over lines, or not plain: the setting is named before anything goes out."""
    with pytest.raises(SettingsError, match="AFTERFROST_WEATHER_CONTACT"):
        require_contact(contact)
    with pytest.raises(SettingsError, match="AFTERFROST_WEATHER_CONTACT"):
        NationalService(Web(contact=contact, cache_file=None, clock=clock))


@pytest.mark.parametrize("code", [500, 502, 503, 504, 408])
async def test_a_service_in_trouble_is_asked_again(
    code: int, web: Web, services: WeatherServices, address: str
) -> None:
    """Two failures, then the answer."""
    services.fail("/alerts", status(code), status(code))

    answer = await web.get(asked(address))

    assert json.loads(answer.body)["type"] == "FeatureCollection"
    assert len(services.asked) == 3


@pytest.mark.parametrize(
    ("code", "kind"), [(400, Refused), (401, Refused), (403, Refused), (404, NothingThere), (410, NothingThere)]
)
async def test_what_will_not_work_is_asked_once(
    code: int, kind: type[WillNotWork], web: Web, services: WeatherServices, address: str
) -> None:
    """The service's own words are in the error, and what to do."""
    services.fail("/alerts", status(code, 'Parameter "x" is\x1b[31m wrong'))

    with pytest.raises(kind, match=rf"The service: .*HTTP {code}.*Parameter \"x\" is \[31m wrong\. Check"):
        await web.get(asked(address))
    assert len(services.asked) == 1


async def test_tries_have_an_end(web: Web, services: WeatherServices, address: str) -> None:
    """As many as patience says, then the error of the last one."""
    services.fail("/alerts", *[status(500, "An unexpected problem has occurred.")] * 9)

    with pytest.raises(ServiceBroken, match="An unexpected problem has occurred"):
        await web.get(asked(address))
    assert len(services.asked) == QUICK.tries


async def test_the_time_for_tries_has_an_end(services: WeatherServices, address: str, clock: SetClock) -> None:
    """With no time left nothing is tried again, however many tries there are."""
    services.fail("/alerts", *[status(500)] * 9)
    patience = replace(QUICK, tries=9, seconds=1e-9)

    async with Web(contact="", cache_file=None, clock=clock, patience=patience) as web:
        with pytest.raises(ServiceBroken):
            await web.get(asked(address))
    assert len(services.asked) == 1


async def test_too_many_requests_are_honoured(web: Web, services: WeatherServices, address: str) -> None:
    """A short wait is waited out; a long one is told at once, with its seconds, and not tried."""
    services.fail("/alerts", status(429, retry_after="0"))
    await web.get(asked(address))
    services.fail("/alerts", status(429, "Hourly limit exceeded.", retry_after="3600"))

    with pytest.raises(TooManyRequests, match=r"Hourly limit exceeded\. Try again in 3600 seconds") as caught:
        await web.get(asked(address))
    assert caught.value.after_seconds == 3600
    assert len(services.asked) == 3


def test_waits_are_what_the_service_asks_for_and_a_little_chance() -> None:
    """Only passing faults are waited for; the service's own figure counts up to the cap, never less than it says."""
    patience = Patience(longest_asked_seconds=10, jitter_seconds=2)

    def asks(after_seconds: float | None) -> TooManyRequests:
        return TooManyRequests(service="", what="", do="", after_seconds=after_seconds)

    waits = [wait_seconds(asks(7), patience) for _ in range(200)]
    assert all(7 <= wait <= 9 for wait in waits)
    assert len(set(waits)) > 100
    assert wait_seconds(asks(10), patience) >= 10
    assert wait_seconds(asks(10.1), patience) is False
    assert wait_seconds(asks(None), patience) is True
    assert wait_seconds(Refused(service="", what="", do=""), patience) is False
    assert wait_seconds(ValueError(), patience) is False


@pytest.mark.parametrize(
    ("header", "seconds"),
    [
        ("120", 120.0),
        ("0", 0.0),
        ("Wed, 20 Jan 2027 20:31:30 GMT", 90.0),
        ("Wed, 20 Jan 2027 20:29:00 GMT", 0.0),
        ("", None),
        ("soon", None),
        ("-5", None),
        ("²", None),
    ],
)
def test_retry_after_is_read_in_both_forms(header: str, seconds: float | None) -> None:
    """Seconds or a date; anything else counts as not said."""
    assert seconds_until(header, NOW) == seconds


async def test_a_dropped_connection_is_tried_again(web: Web) -> None:
    """Hung up before a word, and in the middle of the answer."""
    for piece in (b"", HEAD_OF_HALF):
        async with breaking(2, piece, {"whole": True}) as (address, count):
            answer = await web.get(asked(address))

        assert json.loads(answer.body) == {"whole": True}
        assert len(count) == 3


async def test_nobody_there_is_told_so(web: Web) -> None:
    """After the tries; the error says what to do."""
    with pytest.raises(ServiceUnreachable, match=r"cannot be reached \(ConnectError\)\. Check the net\. Try again"):
        await web.get(asked(unused_address()))


async def test_a_slow_answer_is_given_up(services: WeatherServices, address: str, clock: SetClock) -> None:
    """Too slow is unreachable; the next try may be quicker."""
    services.fail("/alerts", Slow(0.4), Slow(0.4))
    patience = replace(QUICK, answer_seconds=0.1)

    async with Web(contact="", cache_file=None, clock=clock, patience=replace(patience, tries=1)) as web:
        with pytest.raises(ServiceUnreachable, match="did not answer in time"):
            await web.get(asked(address))
    async with Web(contact="", cache_file=None, clock=clock, patience=patience) as web:
        await web.get(asked(address))
    assert len(services.asked) == 3


@pytest.mark.parametrize(
    "answer", [body("<html>Scheduled maintenance</html>", "text/html"), body('{"features": [{"a"'), body('{"a": NaN}')]
)
async def test_what_is_no_data_is_tried_again(
    answer: Answering, web: Web, services: WeatherServices, address: str
) -> None:
    """A page, half an answer, a number JSON does not have: passing faults, told as such when they stay."""
    services.fail("/alerts", answer, answer)
    await web.get(asked(address))
    services.fail("/alerts", *[answer] * QUICK.tries)

    with pytest.raises(ServiceBroken, match="something else than data, or only a part"):
        await web.get(asked(address))


async def test_an_answer_over_the_limit_is_not_read(web: Web, services: WeatherServices, address: str) -> None:
    """A million numbers, announced or packed small: refused, and not asked for again."""
    million = json.dumps({"values": [-12.34] * 1_000_000})
    services.fail("/alerts", body(million))

    with pytest.raises(NotUnderstood, match="longer than 5 MB"):
        await web.get(asked(address))
    assert len(services.asked) == 1


async def test_a_small_answer_that_unpacks_to_a_big_one_is_not_read(clock: SetClock) -> None:
    """The limit is on what comes out of the packing."""
    packed = gzip.compress(b"[" + b"0," * 3_000_000 + b"0]")
    head = b"HTTP/1.1 200 OK\r\nContent-Encoding: gzip\r\nContent-Length: %d\r\n\r\n" % len(packed)
    async with (
        breaking(1, head + packed) as (address, _),
        Web(contact="", cache_file=None, clock=clock, patience=QUICK) as web,
    ):
        with pytest.raises(NotUnderstood, match="longer than 5 MB"):
            await web.get(asked(address))


@pytest.mark.parametrize("address", ["ftp://127.0.0.1", "nonsense", "http://"])
async def test_an_address_that_leads_nowhere_is_told_at_once(address: str, web: Web) -> None:
    """A typing error in the settings is no fault that passes."""
    with pytest.raises(WeatherServiceError, match=r"Check the (address|net)"):
        await web.get(asked(address))


async def test_redirects_are_followed_to_an_end(web: Web, services: WeatherServices, address: str) -> None:
    """Coordinates with too many decimals are sent elsewhere; a circle is an error."""
    answer = await web.get(asked(address, "/points/31.623456,-81.754321"))

    assert json.loads(answer.body)["properties"]["gridId"] == "TAR"
    assert services.asked == ["/points/31.623456,-81.754321", "/points/31.62,-81.75"]

    services.fail("/alerts", *[lambda request: RedirectResponse("/alerts/active", 302)] * 9)
    with pytest.raises(WillNotWork, match="leads nowhere"):
        await web.get(asked(address))


async def test_a_key_reaches_the_service_and_nobody_else(
    tmp_path: Path, services: WeatherServices, address: str, clock: SetClock, caplog: pytest.LogCaptureFixture
) -> None:
    """Not the cache file, not an error, not a log, and not another host that a redirect leads to."""
    caplog.set_level("DEBUG", "httpx")
    services.headers = {"cache-control": "max-age=60"}
    services.fail("/v1", status(403, "no such key"))
    question = asked(address, "/v1/archive", params=_DAYS, secret={"apikey": "hush-hush"})
    async with remembering(tmp_path, clock) as web:
        with pytest.raises(Refused) as caught:
            await web.get(question)
        await web.get(question)
        elsewhere = WeatherServices()
        async with serving(elsewhere) as away:
            other = away.replace("127.0.0.1", "localhost")
            services.fail("/v1", lambda request: RedirectResponse(f"{other}/points/31.62,-81.75", 302))
            await web.get(replace(question, url=f"{address}/v1/other"))

    assert all("apikey=hush-hush" in each for each in services.asked)
    assert len(elsewhere.asked) == 1
    assert "hush" not in elsewhere.asked[0]
    assert "hush" not in str(caught.value)
    assert "hush" not in caplog.text
    kept = b"".join(file.read_bytes() for file in (tmp_path / "answers").iterdir())
    assert b"/v1/archive?start_date" in kept
    assert b"hush" not in kept


@pytest.fixture
def today() -> SetClock:
    """The cache reckons by the machine's clock, so these tests begin with it, whatever it shows."""
    return SetClock(datetime.now(UTC))


async def test_a_fresh_answer_is_not_asked_for_again(
    tmp_path: Path, services: WeatherServices, address: str, today: SetClock
) -> None:
    """Also by another client on the same file; and its age is that of the first question."""
    services.headers = {"cache-control": "public, max-age=600, s-maxage=0"}
    async with remembering(tmp_path, today) as web:
        first = await web.get(asked(address))
    asked_at = today.now()
    today.set(asked_at + timedelta(minutes=5))
    async with remembering(tmp_path, today) as web:
        second = await web.get(asked(address))

    assert len(services.asked) == 1
    assert second.body == first.body
    assert not second.is_kept_copy
    assert abs(second.fetched_at - asked_at) < timedelta(seconds=5)


async def test_only_what_changed_is_sent_again(
    tmp_path: Path, services: WeatherServices, address: str, today: SetClock
) -> None:
    """A stale copy is asked about with its ETag; "not changed" makes it as good as new."""
    services.headers, services.etag = {"cache-control": "max-age=0"}, '"one"'
    async with remembering(tmp_path, today) as web:
        first = await web.get(asked(address))
        today.set(today.now() + timedelta(hours=2))
        same = await web.get(asked(address))
        services.etag, services.alerts = '"two"', [{"new": True}]
        other = await web.get(asked(address))

    assert [head.get("if-none-match") for head in services.heads] == [None, '"one"', '"one"']
    assert same == Answer(body=first.body, fetched_at=today.now())
    assert json.loads(other.body)["features"] == [{"new": True}]


async def test_cut_off_the_last_good_copy_serves_and_tells_its_age(
    tmp_path: Path, services: WeatherServices, today: SetClock
) -> None:
    """Whatever the copy's own headers said of keeping it fresh; with a service that is out of order likewise."""
    begun_at = today.now()
    services.headers = {
        "cache-control": "max-age=0, must-revalidate",
        "date": format_datetime(begun_at - timedelta(minutes=9), usegmt=True),
    }
    async with remembering(tmp_path, today) as web:
        async with serving(services) as address:
            good = await web.get(asked(address))
            services.fail("/alerts", *[status(500)] * QUICK.tries)
            while_broken = await web.get(asked(address))
        today.set(begun_at + timedelta(hours=30))
        while_off = await web.get(asked(address))
        young = asked(address, oldest_copy=timedelta(hours=1))
        with pytest.raises(ServiceUnreachable):
            await web.get(young)
        with pytest.raises(ServiceUnreachable):
            await web.get(asked(address, "/alerts/other"))

    assert while_broken.is_kept_copy
    assert while_off.is_kept_copy
    assert while_off.body == good.body
    assert while_off.fetched_at == (begun_at - timedelta(minutes=9)).replace(microsecond=0)


async def test_the_newest_good_copy_is_kept_and_no_bad_one(
    tmp_path: Path, services: WeatherServices, today: SetClock
) -> None:
    """Errors and pages that say they may be kept for a year are not; neither do they push the good copy out."""
    services.headers = {"cache-control": "max-age=0"}
    async with remembering(tmp_path, today) as web:
        async with serving(services) as address:
            await web.get(asked(address))
            services.alerts = [{"second": True}]
            today.set(today.now() + timedelta(minutes=1))
            await web.get(asked(address))
            for bad in (status(404, cache_control="max-age=9999999"), status(500, cache_control="max-age=9999999")):
                services.fail("/alerts", *[bad] * QUICK.tries)
                with pytest.raises(WeatherServiceError):
                    await web.get(replace(asked(address), oldest_copy=timedelta(days=-1)))
                services.faults.clear()
            services.fail(
                "/alerts", *[body("<html>log in</html>", "text/html", cache_control="max-age=9999999")] * QUICK.tries
            )
            page = await web.get(asked(address))
            services.faults.clear()
            count = len(services.asked)
            again = await web.get(asked(address))
            assert len(services.asked) == count + 1
        off = await web.get(asked(address))

    assert page.is_kept_copy
    assert not again.is_kept_copy
    assert json.loads(off.body)["features"] == [{"second": True}]


async def test_a_cache_file_that_is_broken_costs_no_weather(
    tmp_path: Path, services: WeatherServices, address: str, today: SetClock
) -> None:
    """It is asked as if there were none."""
    (tmp_path / "answers").mkdir()
    (tmp_path / "answers" / "kept.db").write_bytes(b"no database at all" * 100)

    async with remembering(tmp_path, today) as web:
        answer = await web.get(asked(address))

    assert json.loads(answer.body)["type"] == "FeatureCollection"


def test_http_dates_are_read() -> None:
    """Nonsense is no date."""
    assert dated("Wed, 20 Jan 2027 20:30:00 GMT") == NOW
    assert dated("yesterday") is None
