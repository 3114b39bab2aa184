"""The page's addresses and what each does. Everything said goes through the service; everything shown is the record.

1. A form is answered once what it does is on disk: a plain one by leading back to the page, a script's with the news.
2. The same form sent again does nothing again, and is answered the same.
3. Nobody is shown anything but their own.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator, Awaitable, Callable, Sequence

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse, Response, StreamingResponse
from starlette.routing import BaseRoute, Mount, Route
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp

from bot.album.desk import AlbumDesk
from bot.album.season import Album, albums_of
from bot.channels.web.book import Book, is_a_return, open_book
from bot.channels.web.calendar import plan_calendar
from bot.channels.web.guard import ForeignForm, Guard, TooLong, check_origin
from bot.channels.web.house import House
from bot.channels.web.keys import address_of, give_key, is_key, is_own_mark, key_in, new_key, take_key
from bot.channels.web.pages import NOTES, STATIC, Pages, Problem, link_of
from bot.channels.web.posts import KINDS, Desk, Incomplete, Posted, Unreadable, form_of, mark_of, posted
from bot.channels.web.push import WebChannel
from bot.charts.desk import ChartDesk
from bot.envelope import Envelope
from bot.errors import StoreError
from bot.photos.intake import PhotoIntake
from bot.store import photos
from bot.talk.case import Homeowner
from bot.talk.incoming import INVITE, Arrived, Incoming
from bot.talk.known import Known
from bot.words import Words

STILL_THERE_SECONDS = 20.0
"""How often an open page without news is told that we are still there, so that nobody on the way hangs up."""
RETRY_MS = 2000

Answering = Callable[[Request], Awaitable[Response]]
Failing = Callable[[Request, Exception], Awaitable[Response]]

BAD = Problem(status=400, name="bad")
FOREIGN = Problem(status=403, name="origin")
MISSING = Problem(status=404, name="missing")
NO_LINK = Problem(status=404, name="link")
NO_DATES = Problem(status=404, name="no-dates")
TOO_BIG = Problem(status=413, name="too-big")
BUSY = Problem(status=503, name="busy")
OURS = Problem(status=500, name="ours")


def web_app(
    house: House,
    words: Words,
    channel: WebChannel,
    beside: Sequence[BaseRoute] = (),
    *,
    photos: PhotoIntake | None = None,
    known: Known | None = None,
) -> ASGIApp:
    """The whole page as an ASGI application. Routes `beside` it are no pages, and go without its rules for browsers.

    `photos` opens what is uploaded, with whoever else it opens pictures for. `known` is what the talk knows beside the
    answers, so that an album says the same; without it there are no albums.
    """
    page = _Page(house, words, channel, photos or PhotoIntake(), known)
    routes = [
        Route("/", page.home, methods=["GET"]),
        Route("/back/{key}", page.back, methods=["GET"]),
        Route("/back/{key}", page.open_other, methods=["POST"]),
        Route("/stream", page.stream, methods=["GET"]),
        Route("/photo/{photo_id}", page.photo, methods=["GET"]),
        Route("/chart/{number:int}.png", page.chart, methods=["GET"]),
        Route("/plan.ics", page.calendar, methods=["GET"]),
        Route("/data.json", page.data, methods=["GET"]),
        Route("/album.html", page.album_report, methods=["GET"]),
        Route("/album.jpg", page.album_picture, methods=["GET"]),
        Route("/goodbye", page.goodbye, methods=["GET"]),
        *(Route(f"/{kind}", page.take(kind), methods=["POST"]) for kind in KINDS),
        Mount("/static", StaticFiles(directory=STATIC)),
    ]
    handlers = {
        HTTPException: page.on_http_error,
        TooLong: page.on_problem(TOO_BIG),
        Unreadable: page.on_problem(BAD),
        ForeignForm: page.on_problem(FOREIGN),
        StoreError: page.on_problem(BUSY),
        Exception: page.on_problem(OURS),
    }
    guarded = Guard(Starlette(routes=routes, exception_handlers=handlers))
    return Starlette(routes=[*beside, Mount("/", guarded)]) if beside else guarded


class _Page:
    """What each address does."""

    def __init__(
        self, house: House, words: Words, channel: WebChannel, photos: PhotoIntake, known: Known | None
    ) -> None:
        self._house = house
        self._words = words
        self._channel = channel
        self._known = known
        self._pages = Pages(words, has_albums=known is not None)
        self._charts = ChartDesk(words)
        self._albums = AlbumDesk(words, self._charts, house.store.files.read)
        self._desk = Desk(house=house, intake=photos)

    # --- looking ----------------------------------------------------------------------------------------------------

    async def home(self, request: Request) -> Response:
        """The homeowner's page. Somebody new gets a key and a greeting, somebody long away a welcome back."""
        if request.method == "HEAD":
            return Response()
        key = key_in(request)
        book = await self._open(key) if key else None
        if key is None or book is None:
            key = new_key()
            book = await self._arrive(key, "first", request.query_params.get("from", ""))
        elif is_a_return(book, self._house.clock.now()):
            book = await self._arrive(key, f"after {book.turn}")
        note = request.query_params.get("note", "")
        shown = self._pages.book(book, key, str(request.base_url), note if note in NOTES else "")
        response = HTMLResponse(shown)
        give_key(response, request, key)
        return response

    async def back(self, request: Request) -> Response:
        """The private link: this browser becomes its owner's, unless another page is open in it already."""
        key, own = request.path_params["key"], key_in(request)
        if not is_key(key) or not await self._knows(key):
            return self._problem(request, NO_LINK)
        if own is not None and own != key and await self._knows(own):
            return HTMLResponse(self._pages.other(link_of(own, str(request.base_url)), f"/back/{key}"))
        return self._lead_home(request, key)

    async def open_other(self, request: Request) -> Response:
        """The same after being asked."""
        check_origin(request.headers)
        key = request.path_params["key"]
        if not is_key(key) or not await self._knows(key):
            return self._problem(request, NO_LINK)
        return self._lead_home(request, key)

    async def photo(self, request: Request) -> Response:
        """A photo, to whoever sent it."""
        photo_id, key = request.path_params["photo_id"], key_in(request)
        homeowner_id = await self._house.store.find_homeowner("web", address_of(key)) if key else None
        if homeowner_id is None:
            return self._problem(request, MISSING)
        async with self._house.store.database.read() as tx:
            is_theirs = await photos.belongs_to(tx, photo_id, homeowner_id)
        content = await asyncio.to_thread(self._house.store.files.read, photo_id) if is_theirs else None
        if content is None:
            return self._problem(request, MISSING)
        return Response(content, media_type="image/jpeg", headers={"cache-control": "private, max-age=3600"})

    async def chart(self, request: Request) -> Response:
        """The picture in a message (of a freeze, of a spot's green), to whom it was told."""
        key = key_in(request)
        homeowner_id = await self._house.store.find_homeowner("web", address_of(key)) if key else None
        homeowner = await self._house.store.homeowner(homeowner_id) if homeowner_id is not None else None
        if homeowner_id is None or homeowner is None:
            return self._problem(request, MISSING)
        entries = await self._house.store.entries(homeowner_id)
        told = (entry.rendered for entry in entries if entry.outbox_id == request.path_params["number"])
        chart = next((rendered.chart for rendered in told if rendered is not None), None)
        if chart is None:
            return self._problem(request, MISSING)
        content = await self._charts.picture(chart, language=homeowner.language, metric=homeowner.metric)
        # Not kept for long: the same message is drawn anew when its reader changes to other units.
        return Response(content, media_type="image/png", headers={"cache-control": "private, max-age=60"})

    async def calendar(self, request: Request) -> Response:
        """The open dates of the plan as a file."""
        key = key_in(request)
        homeowner_id = await self._house.store.find_homeowner("web", address_of(key)) if key else None
        homeowner = await self._house.store.homeowner(homeowner_id) if homeowner_id is not None else None
        if key is None or homeowner is None:
            return self._problem(request, NO_DATES)
        now = self._house.clock.now()
        content = plan_calendar(homeowner, address_of(key), now, self._words, str(request.base_url))
        if content is None:
            return self._problem(request, NO_DATES)
        return _download(content, "text/calendar", "afterfrost.ics")

    async def data(self, request: Request) -> Response:
        """A copy of everything that is stored of this homeowner."""
        key = key_in(request)
        homeowner_id = await self._house.store.find_homeowner("web", address_of(key)) if key else None
        if homeowner_id is None:
            return self._problem(request, MISSING)
        copy = await self._house.store.export_homeowner(homeowner_id)
        return _download(json.dumps(copy, ensure_ascii=False, indent=2).encode(), "application/json", "afterfrost.json")

    async def album_report(self, request: Request) -> Response:
        """The season as a file to keep or to print."""
        found = await self._own_albums(request)
        if found is None:
            return self._problem(request, MISSING)
        content = await self._albums.report(*found)
        return _download(content, "text/html", "afterfrost-album.html")

    async def album_picture(self, request: Request) -> Response:
        """The season as one picture to share."""
        found = await self._own_albums(request)
        content = await self._albums.picture(*found) if found is not None else None
        if content is None:
            return self._problem(request, MISSING)
        return _download(content, "image/jpeg", "afterfrost-album.jpg")

    async def _own_albums(self, request: Request) -> tuple[Sequence[Album], Homeowner] | None:
        """The albums of who asks, and who that is; None where there is nothing of theirs to show."""
        key = key_in(request)
        homeowner_id = await self._house.store.find_homeowner("web", address_of(key)) if key else None
        homeowner = await self._house.store.homeowner(homeowner_id) if homeowner_id is not None else None
        if homeowner_id is None or homeowner is None or self._known is None:
            return None
        async with self._house.store.database.read() as tx:
            own_photos = {row.photo_id for row in await photos.of_homeowner(tx, homeowner_id)}
        now = self._house.clock.now()
        found = await asyncio.to_thread(albums_of, homeowner, self._known, now, own_photos)
        return (found, homeowner) if found else None

    async def goodbye(self, request: Request) -> Response:
        """What is left after everything was erased. The browser forgets the key, unless it still leads somewhere."""
        key = key_in(request)
        if key is not None and await self._knows(key):
            return RedirectResponse("/", status_code=303)
        response = HTMLResponse(self._pages.gone())
        take_key(response)
        return response

    async def stream(self, request: Request) -> Response:
        """News for an open page, as they come."""
        key = key_in(request)
        if key is None or request.method == "HEAD" or not self._channel.has_room(address_of(key)):
            return self._problem(request, BUSY)
        after = _number(request.headers.get("last-event-id")) or _number(request.query_params.get("after"))
        headers = {"x-accel-buffering": "no"}
        return StreamingResponse(self._news(key, after), media_type="text/event-stream", headers=headers)

    async def _news(self, key: str, after: int) -> AsyncIterator[str]:
        yield f"retry: {RETRY_MS}\n\n"
        with self._channel.listening(address_of(key)) as news:
            while not self._channel.is_closed:
                news.clear()
                book = await self._open(key)
                if book is None:
                    yield _event({"go": "/goodbye"})
                    return
                if book.turn > after:
                    yield _event(self._pages.update(book, key, after), book.turn)
                    after = book.turn
                try:
                    async with asyncio.timeout(STILL_THERE_SECONDS):
                        await news.wait()
                except TimeoutError:
                    yield ": still there\n\n"

    # --- saying -----------------------------------------------------------------------------------------------------

    def take(self, kind: str) -> Answering:
        """What an address for one kind of form does."""

        async def take_form(request: Request) -> Response:
            check_origin(request.headers)
            key = key_in(request)
            if key is None or not await self._knows(key):
                return self._lead(request, "/?note=cookie")
            async with form_of(request) as form:
                if not is_own_mark(key, mark_of(form)):
                    return self._lead(request, "/?note=other_book")
                try:
                    given = await posted(kind, form, self._desk)
                except Incomplete as error:
                    return self._hint(request, error.note)
                after = _number(form.get("after"))
            return await self._hand_in(request, key, given, after)

        return take_form

    async def _hand_in(self, request: Request, key: str, given: Posted, after: int) -> Response:
        await self._take_in(key, given.external_id(address_of(key)), given.incoming)
        book = await self._open(key)
        if book is None:
            response = self._lead(request, "/goodbye")
            take_key(response)
            return response
        if not _is_for_script(request):
            return self._lead(request, f"/?note={given.note}#answer" if given.note else "/#now")
        update = self._pages.update(book, key, after)
        note = self._pages.note_words(given.note, book.language) if given.note else ""
        return JSONResponse({**update, "note": note})

    async def _arrive(self, key: str, visit: str, invite: str = "") -> Book:
        arrived = Arrived(invite=invite if INVITE.fullmatch(invite) else "")
        await self._take_in(key, f"{address_of(key)}:arrived {visit}", arrived)
        book = await self._open(key)
        if book is None:
            raise StoreError("A visitor was taken in and is not there.")
        return book

    async def _take_in(self, key: str, external_id: str, incoming: Incoming) -> None:
        envelope = Envelope(
            channel=self._channel.name,
            address=address_of(key),
            external_id=external_id,
            at=self._house.clock.now(),
            incoming=incoming,
        )
        await self._house.service.take_in(envelope)

    async def _open(self, key: str) -> Book | None:
        return await open_book(self._house.store, address_of(key))

    async def _knows(self, key: str) -> bool:
        return await self._house.store.find_homeowner(self._channel.name, address_of(key)) is not None

    # --- answering --------------------------------------------------------------------------------------------------

    def _lead_home(self, request: Request, key: str) -> Response:
        response = RedirectResponse("/#now", status_code=303)
        give_key(response, request, key)
        return response

    def _lead(self, request: Request, to: str) -> Response:
        return JSONResponse({"go": to}) if _is_for_script(request) else RedirectResponse(to, status_code=303)

    def _hint(self, request: Request, note: str) -> Response:
        if _is_for_script(request):
            return JSONResponse({"note": self._pages.note_words(note)}, status_code=422)
        return RedirectResponse(f"/?note={note}#answer", status_code=303)

    def on_problem(self, problem: Problem) -> Failing:
        """The answer to an exception."""

        async def answer(request: Request, error: Exception) -> Response:
            return self._problem(request, problem)

        return answer

    async def on_http_error(self, request: Request, error: Exception) -> Response:
        """The answer to an address or a way of asking that is not ours."""
        status = error.status_code if isinstance(error, HTTPException) else 400
        return self._problem(request, MISSING if status == 404 else Problem(status=status, name="bad"))

    def _problem(self, request: Request, problem: Problem) -> Response:
        if _is_for_script(request):
            return JSONResponse({"note": self._pages.problem_words(problem)}, status_code=problem.status)
        return HTMLResponse(self._pages.problem(problem), status_code=problem.status)


def _is_for_script(request: Request) -> bool:
    return "application/json" in request.headers.get("accept", "")


def _download(content: bytes, media_type: str, name: str) -> Response:
    return Response(content, media_type=media_type, headers={"content-disposition": f'attachment; filename="{name}"'})


def _event(update: dict[str, object], turn: int | None = None) -> str:
    head = "" if turn is None else f"id: {turn}\n"
    return f"{head}data: {json.dumps(update)}\n\n"


def _number(text: object) -> int:
    """A turn as a browser names it; 0 for anything else."""
    return int(text) if isinstance(text, str) and text.isascii() and text.isdigit() and len(text) < 16 else 0
