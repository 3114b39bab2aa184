"""The page in front of the real service and a real database file, for a browser without scripts and for its script."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import icalendar
import pytest

from bot.channels.web.guard import TEXT_BYTES
from bot.channels.web.keys import COOKIE, address_of
from bot.photos.intake import MAX_BYTES
from tests.fakes.house import House
from tests.photos.pictures import encoded, scene, with_traces
from tests.web.visitor import HOST, Visitor, plain

TO_THE_PLAN = ("31522", "Jan 16", "17", "4 days", "no", "St. Augustine", "1", "raleigh", "all alike", "none", "4")
THE_REST = ("half", "1200 sq ft", "15-0-15", "7", "yes", "yes")


async def tell(visitor: Visitor, *words: str) -> None:
    for each in words:
        answer = await visitor.say(each)
        assert answer.status_code == 303


def said(house: House) -> int:
    """How many things homeowners said, as the database file has them."""
    return int(house.value("SELECT count(*) FROM inbox WHERE body NOT LIKE '%\"arrived\"%'"))


def photo_files(house: House) -> list[Path]:
    """What lies in the folder of photos."""
    return [file for file in (house.folder / "photos").rglob("*") if file.is_file()]


# --- the conversation without scripts --------------------------------------------------------------------------------


async def test_a_first_look_brings_a_greeting_and_a_key(visitor: Visitor) -> None:
    """The first question is there at once, and the key is out of reach of scripts."""
    answer = await visitor.client.get("/")

    assert "Where is the lawn?" in plain(visitor.seen)
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie and "samesite=lax" in cookie
    assert visitor.client.cookies[COOKIE] in visitor.seen  # the private link


async def test_a_whole_first_conversation_without_scripts(visitor: Visitor) -> None:
    """Typing and pressing lead to the first answer and to a confirmed plan."""
    await tell(visitor, "31522", "Jan 16", "17", "4 days", "no")
    await visitor.press("St. Augustine")
    await visitor.press("blades straw-colored and crisp", "only in patches")

    assert "What I think happened to the lawn (St. Augustine)" in plain(visitor.seen)

    await tell(visitor, *TO_THE_PLAN[7:], *THE_REST)

    assert "I'll keep track." in plain(visitor.seen)


async def test_nothing_picked_is_told_and_keeps_the_question(visitor: Visitor) -> None:
    """An empty form leads back with a hint, and the question stays."""
    await visitor.post("/say", {**visitor.fields("say"), "text": "   "})

    assert "Write something first." in plain(visitor.seen)
    assert "Where is the lawn?" in plain(visitor.seen)


async def test_the_same_form_sent_twice_counts_once(visitor: Visitor, house: House) -> None:
    """A double click, a reload, a repeat on a bad line."""
    form = {**visitor.fields("say"), "text": "31522"}

    await visitor.post("/say", dict(form))
    await visitor.post("/say", dict(form))

    assert said(house) == 1
    assert plain(visitor.seen).count("31522") == 1


async def test_an_old_page_with_other_words_is_heard(visitor: Visitor, house: House) -> None:
    """Going back in the browser and sending something else is no repeat."""
    form = visitor.fields("say")

    await visitor.post("/say", {**form, "text": "31522"})
    await visitor.post("/say", {**form, "text": "back"})

    assert said(house) == 2


async def test_what_is_written_is_shown_as_written(visitor: Visitor) -> None:
    """Markup from a homeowner is text."""
    await visitor.say('<script>alert(1)</script><img src=x onerror="alert(2)">')

    assert "<script>alert" not in visitor.seen
    assert "<img src=x" not in visitor.seen
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in visitor.seen


@pytest.mark.parametrize("typed", ["🌱🌱🌱", "مرحبا بالعشب", "\u202egnorw", "\x00\x01", "ا" * 3999])
async def test_odd_text_keeps_the_question(visitor: Visitor, typed: str) -> None:
    """Emoji, right-to-left text, control signs: a clear answer, and the question is still open."""
    answer = await visitor.say(typed)

    assert answer.status_code == 303
    assert "Where is the lawn?" in plain(visitor.seen) or "ZIP code" in plain(visitor.seen)


async def test_an_emoji_where_a_number_was_asked(visitor: Visitor) -> None:
    """The question about degrees survives."""
    await tell(visitor, "31522", "Jan 16", "❄️🥶")

    assert visitor.choices


# --- looking back ----------------------------------------------------------------------------------------------------


async def test_the_private_link_opens_the_page_on_another_device(
    visitor: Visitor, another: Callable[[], Visitor]
) -> None:
    """And goes on there."""
    await visitor.say("31522")
    phone = another()

    await phone.look(f"/back/{visitor.client.cookies[COOKIE]}")

    assert "Glynn County" in plain(phone.seen)
    await phone.say("Jan 16")
    await visitor.look()
    assert "Jan 16" in plain(visitor.seen)


async def test_a_link_never_takes_the_place_of_an_open_page_unasked(
    visitor: Visitor, another: Callable[[], Visitor]
) -> None:
    """Who has a page already is asked, and shown how to find it again."""
    other = another()
    await other.look()
    own, offered = visitor.client.cookies[COOKIE], other.client.cookies[COOKIE]

    await visitor.look(f"/back/{offered}")

    assert f"{HOST}/back/{own}" in visitor.seen
    assert visitor.client.cookies[COOKIE] == own
    await visitor.post(f"/back/{offered}", {})
    assert visitor.client.cookies[COOKIE] == offered


@pytest.mark.parametrize("path", ["/back/nobody", "/back/" + "A" * 43, "/nothing", "/photo/abc", "/data.json"])
async def test_what_is_not_there_says_so_in_words(another: Callable[[], Visitor], path: str) -> None:
    """A page with words, not a bare number."""
    answer = await another().look(path)

    assert answer.status_code == 404
    assert "<h2>" in answer.text


async def test_coming_back_after_days_says_where_we_were(visitor: Visitor, house: House) -> None:
    """Once a visit, not at every reload."""
    await tell(visitor, "31522")
    house.pass_time(days=3)

    await visitor.look()
    await visitor.look()

    assert plain(visitor.seen).count("We were at question 2") == 1


# --- photos ----------------------------------------------------------------------------------------------------------


async def test_a_photo_is_kept_without_its_traces_and_shown_to_its_owner(
    visitor: Visitor, another: Callable[[], Visitor]
) -> None:
    """Nobody else finds it, with a key of their own or without one."""
    await tell(visitor, *TO_THE_PLAN, *THE_REST)
    await visitor.photograph(with_traces())

    path = visitor.seen.split('<img class="small" src="')[1].split('"')[0]
    shown = await visitor.client.get(path)
    stranger, nobody = another(), another()
    await stranger.look()

    assert shown.status_code == 200
    assert shown.headers["content-type"] == "image/jpeg"
    assert b"GIVEAWAY" not in shown.content
    assert (await stranger.client.get(path)).status_code == 404
    assert (await nobody.client.get(path)).status_code == 404


async def test_a_photo_where_a_number_was_asked_keeps_the_question(visitor: Visitor) -> None:
    """It is kept, and the number is asked for again."""
    await tell(visitor, "31522", "Jan 16")

    await visitor.photograph(encoded(scene()))

    assert "How cold did the air get" in visitor.newest


async def test_what_is_no_picture_is_told(visitor: Visitor, house: House) -> None:
    """In the conversation, with what to do."""
    await tell(visitor, "31522")
    await visitor.photograph(b"%PDF-1.4 not a picture", "lawn.pdf")

    assert "Please send a plain photo, such as a JPEG." in visitor.newest
    assert not photo_files(house)


async def test_a_photo_beyond_the_limit_is_refused_and_nothing_is_lost(visitor: Visitor) -> None:
    """Without holding it, and the conversation stands where it stood."""
    answer = await visitor.post("/photo", visitor.fields("photo"), {"photo": ("x.jpg", b"\xff" * (MAX_BYTES * 2), "")})

    assert answer.status_code == 413
    assert "up to 20 MB" in plain(visitor.seen)
    await visitor.look()
    await visitor.say("31522")
    assert "Glynn County" in plain(visitor.seen)


# --- too much, too strange -------------------------------------------------------------------------------------------


async def test_ten_megabytes_of_text_are_cut_and_answered(visitor: Visitor, house: House) -> None:
    """The beginning is kept, the sender is told, the question stays."""
    await visitor.say("grass " * 1_750_000)

    assert "I kept the first 4,000 characters." in plain(visitor.seen)
    assert house.value("SELECT max(length(body)) FROM inbox") < 5000
    await visitor.say("31522")
    assert "Glynn County" in plain(visitor.seen)


async def test_more_than_that_is_refused(visitor: Visitor) -> None:
    """With words."""
    answer = await visitor.post("/say", {**visitor.fields("say"), "text": "x" * (TEXT_BYTES + 1)})

    assert answer.status_code == 413


@pytest.mark.parametrize(
    ("path", "fields"),
    [
        ("/say", {"id": "short"}),
        ("/say", {"id": "../../../../etc"}),
        ("/choose", {"token": ["x" * 65]}),
        ("/choose", {"token": [f"q:1:see::{number}" for number in range(51)]}),
        ("/place", {"latitude": "91", "longitude": "0"}),
        ("/place", {"latitude": "nan", "longitude": "0"}),
        ("/place", {"latitude": "north", "longitude": "0"}),
    ],
)
async def test_forms_no_page_of_ours_sends_are_refused(
    visitor: Visitor, house: House, path: str, fields: dict[str, object]
) -> None:
    """With a page that says so; nothing is kept."""
    answer = await visitor.post(path, {**visitor.fields("say"), "text": "x", **fields})

    assert answer.status_code == 400
    assert said(house) == 0


@pytest.mark.parametrize("token", ["q:1:grass::bermuda", "t:9:cut1:done", "::::", "q:1:place::", "s:x:y", "é"])
async def test_a_made_up_button_changes_nothing(visitor: Visitor, token: str) -> None:
    """The open question is asked again."""
    await visitor.post("/choose", {**visitor.fields("say"), "token": [token]})

    assert "Where is the lawn?" in plain(visitor.seen) or "ZIP code" in plain(visitor.seen)
    await visitor.say("31522")
    assert "Glynn County" in plain(visitor.seen)


async def test_a_shared_place_answers_the_first_question(visitor: Visitor) -> None:
    """Rounded to about a kilometre before it is kept."""
    await visitor.post("/place", {**visitor.fields("place"), "latitude": "31.154321", "longitude": "-81.388888"})

    assert "Glynn County" in plain(visitor.seen)


# --- other sites, other people ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://elsewhere.test"},
        {"origin": "null"},
        {"origin": HOST + ".elsewhere.test"},
    ],
)
async def test_a_form_from_another_site_is_refused(visitor: Visitor, house: House, headers: dict[str, str]) -> None:
    """Even with the right cookie."""
    visitor.headers = headers

    answer = await visitor.post("/say", {**visitor.fields("say"), "text": "forget me"})

    assert answer.status_code == 403
    assert said(house) == 0


async def test_a_form_of_somebody_else_is_not_taken_for_ours(
    visitor: Visitor, another: Callable[[], Visitor], house: House
) -> None:
    """The mark ties a page to its homeowner."""
    other = another()
    await other.look()

    await visitor.post("/say", {**other.fields("say"), "text": "31522"})

    assert "This page was an older one." in plain(visitor.seen)
    assert said(house) == 0


async def test_a_browser_that_keeps_no_cookie_is_told(another: Callable[[], Visitor]) -> None:
    """Instead of being greeted again and again."""
    shy = another()

    await shy.post("/say", {"mark": "0" * 32, "id": "0" * 32, "text": "31522"})

    assert "needs a cookie" in plain(shy.seen)


@pytest.mark.parametrize(
    "path", ["/", "/nothing", "/back/x", "/static/book.css", "/static/drawings/bag.svg", "/photo/x"]
)
async def test_every_answer_forbids_what_is_not_ours(visitor: Visitor, path: str) -> None:
    """Scripts and styles from elsewhere, frames around us, guessing of types."""
    answer = await visitor.client.get(path)

    rules = answer.headers["content-security-policy"]
    assert "default-src 'none'" in rules
    assert "script-src" not in rules or "script-src 'self';" in rules
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert answer.headers["referrer-policy"] == "same-origin"


# --- dates, data, farewell -------------------------------------------------------------------------------------------


async def test_the_calendar_holds_the_open_dates(visitor: Visitor) -> None:
    """A file that a calendar program reads; the same names after it is fetched again."""
    assert (await visitor.client.get("/plan.ics")).status_code == 404
    await tell(visitor, *TO_THE_PLAN, *THE_REST)

    answer = await visitor.client.get("/plan.ics")
    again = icalendar.Calendar.from_ical((await visitor.client.get("/plan.ics")).content)
    events = icalendar.Calendar.from_ical(answer.content).walk("VEVENT")

    assert answer.headers["content-type"].startswith("text/calendar")
    assert len(events) >= 6
    assert [each["uid"] for each in events] == [each["uid"] for each in again.walk("VEVENT")]
    assert len({each["uid"] for each in events}) == len(events)
    assert any("judging day" in str(each["summary"]) for each in events)
    assert visitor.client.cookies[COOKIE] not in answer.text  # who reads the calendar gets no key


async def test_forgetting_takes_everything_off_this_machine(visitor: Visitor, house: House) -> None:
    """The page says good-bye, the key leads nowhere, no photo and no row is left."""
    await tell(visitor, *TO_THE_PLAN, *THE_REST)
    await visitor.photograph(encoded(scene()))
    copy = (await visitor.client.get("/data.json")).json()
    key = visitor.client.cookies[COOKIE]
    assert photo_files(house)

    await visitor.say("forget me")
    await visitor.say("yes")

    assert "Everything about you has been erased here." in plain(visitor.seen)
    assert "31522" in str(copy)
    assert not photo_files(house)
    assert house.value("SELECT count(*) FROM contact WHERE address = ?", address_of(key)) == 0
    assert house.value("SELECT count(*) FROM inbox WHERE body LIKE '%31522%'") == 0
    assert house.value("SELECT count(*) FROM outbox WHERE body LIKE '%Glynn%'") == 0
    assert (await visitor.client.get(f"/back/{key}")).status_code == 404


# --- the page's script -----------------------------------------------------------------------------------------------


async def test_the_script_gets_only_what_is_new(visitor: Visitor) -> None:
    """Finished HTML of the later lines, the live choices, and the turn to ask from next time."""
    visitor.headers = {"accept": "application/json"}
    form = visitor.fields("say")
    first = (await visitor.post("/say", {**form, "text": "31522", "after": "1"})).json()

    assert "Glynn County" in plain(first["html"])
    assert "Where is the lawn?" not in plain(first["html"])
    assert first["live"]["of"] in first["html"]
    assert first["turn"] > 1


async def test_the_script_is_told_what_was_missing(visitor: Visitor) -> None:
    """A hint in words instead of a page."""
    visitor.headers = {"accept": "application/json"}

    answer = await visitor.post("/say", {**visitor.fields("say"), "text": ""})

    assert answer.status_code == 422
    assert answer.json() == {"note": "Write something first."}


@pytest.fixture
def impatient(monkeypatch: pytest.MonkeyPatch) -> None:
    """A service that soon gives up on a locked database."""
    monkeypatch.setattr("bot.store.database.BUSY_TIMEOUT_MS", 10)
    monkeypatch.setattr("bot.service.PAUSES_SECONDS", (0.01, 0.01))


async def test_a_record_that_cannot_be_written_loses_nothing(impatient: None, visitor: Visitor, house: House) -> None:
    """The sender is asked to send it again, and the same form then counts once."""
    form = {**visitor.fields("say"), "text": "31522"}
    async with house.locked():
        refused = await visitor.post("/say", dict(form))

    assert refused.status_code == 503
    assert "Nothing was kept" in plain(visitor.seen)
    await visitor.post("/say", dict(form))
    assert said(house) == 1
    assert "Glynn County" in plain(visitor.seen)
