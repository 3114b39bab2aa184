"""`afterfrost cases`: what waits for a person, one case at a glance, and what may be done about it.

Works while the service runs, and without it; see `bot/store/beside.py`. What is said to a homeowner goes out as soon as
a service runs. Whoever writes to one says who they are with --as, since the homeowner is told.
"""

from __future__ import annotations

import json
import secrets
from collections.abc import Callable, Coroutine, Sequence
from typing import TYPE_CHECKING, Any

import click

from bot.commands.telling import Told, data_option, json_option, run, settings_from_environment

if TYPE_CHECKING:
    from bot.ops.cases.book import CaseBook, Cases
    from bot.ops.roles import Operator
    from bot.settings import Settings
    from bot.store.store import Store

as_option = click.option("--as", "name", metavar="NAME", help="Who you are. The homeowner is told this name.")
question_option = click.option(
    "--question",
    "questions",
    type=int,
    multiple=True,
    help="Only this question; may be given several times.",
)


@click.group()
def cases() -> None:
    """Read what homeowners passed on to a person, answer it, take a talk over and give it back."""


@cases.command(name="list")
@data_option
@json_option
def list_(data: str | None, as_json: bool) -> None:
    """List what waits for a person: open questions first, oldest first."""
    from bot.commands.cases_told import waiting_lines, waiting_plain
    from bot.ops.cases.waiting import waiting
    from bot.wiring import clock_for

    settings = settings_from_environment(data=data)

    async def do(store: Store) -> None:
        found = await waiting(store, clock_for(settings))
        _print(waiting_plain(found) if as_json else waiting_lines(found))

    _beside(settings, do)


@cases.command()
@click.argument("case", type=int)
@as_option
@data_option
@json_option
def show(case: int, name: str | None, data: str | None, as_json: bool) -> None:
    """Show one case at a glance: the lawn, the odds and why, the plan, what was seen, the last lines of the talk."""
    from bot.commands.cases_told import book_lines, book_plain
    from bot.words import Words

    async def do(desk: Cases, by: Operator | None) -> None:
        book = await desk.look(case, by)
        words = Words()
        _print(book_plain(book, words) if as_json else book_lines(book, words))

    _with_cases(data, name, do)


@cases.command()
@click.argument("case", type=int)
@click.argument("words", metavar="TEXT")
@question_option
@as_option
@data_option
@json_option
def answer(case: int, words: str, questions: tuple[int, ...], name: str | None, **how: Any) -> None:
    """Write to a homeowner through the bot. Their open questions count as answered with it."""

    async def do(desk: Cases, by: Operator | None) -> None:
        book = await desk.look(case, by)
        await desk.write(case, words, _named(by), once=_once(), answers=_chosen(book, questions))
        _print_done(case, "answered", as_json=how["as_json"])

    _with_cases(how["data"], name, do)


@cases.command()
@click.argument("case", type=int)
@as_option
@data_option
@json_option
def take(case: int, name: str | None, data: str | None, as_json: bool) -> None:
    """Take a talk over: the bot is silent until it is given back, or nothing was said for a day."""

    async def do(desk: Cases, by: Operator | None) -> None:
        await desk.take(case, _named(by), once=_once())
        _print_done(case, "taken over", as_json=as_json)

    _with_cases(data, name, do)


@cases.command(name="give-back")
@click.argument("case", type=int)
@as_option
@data_option
@json_option
def give_back(case: int, name: str | None, data: str | None, as_json: bool) -> None:
    """Give a talk back to the bot, which goes on where it stood."""

    async def do(desk: Cases, by: Operator | None) -> None:
        await desk.give_back(case, _named(by), once=_once())
        _print_done(case, "given back", as_json=as_json)

    _with_cases(data, name, do)


@cases.command()
@click.argument("case", type=int)
@click.argument("words", metavar="TEXT")
@as_option
@data_option
@json_option
def note(case: int, words: str, name: str | None, data: str | None, as_json: bool) -> None:
    """Write something down about a case for your colleagues. Its homeowner may ask for a copy of it."""

    async def do(desk: Cases, by: Operator | None) -> None:
        await desk.note(case, words, by)
        _print_done(case, "noted", as_json=as_json)

    _with_cases(data, name, do)


@cases.command()
@click.argument("case", type=int)
@question_option
@as_option
@data_option
@json_option
def close(case: int, questions: tuple[int, ...], name: str | None, **how: Any) -> None:
    """Close the open questions of a case without a word to its homeowner."""

    async def do(desk: Cases, by: Operator | None) -> None:
        book = await desk.look(case, by)
        await desk.close(case, _chosen(book, questions), by)
        _print_done(case, "closed", as_json=how["as_json"])

    _with_cases(how["data"], name, do)


# --- around it -----------------------------------------------------------------------------------------------------


def list_questions(settings: Settings, *, as_json: bool) -> None:
    """`afterfrost tray`: only the open questions."""
    from bot.commands.cases_told import question_lines, questions_plain
    from bot.store import handovers

    async def do(store: Store) -> None:
        async with store.database.read() as tx:
            found = await handovers.open_ones(tx)
        _print(questions_plain(found) if as_json else question_lines(found))

    _beside(settings, do)


def _beside(settings: Settings, do: Callable[[Store], Coroutine[Any, Any, None]]) -> None:
    from bot.store.beside import beside

    async def work() -> None:
        async with beside(settings.data) as store:
            await do(store)

    run(work())


def _with_cases(
    data: str | None, name: str | None, do: Callable[[Cases, Operator | None], Coroutine[Any, Any, None]]
) -> None:
    """Do something with the cases of a data folder, as a named operator or as whoever runs this."""
    from bot.conversation import known_here, talk_knowing
    from bot.ops.cases.book import Cases
    from bot.ops.cases.refusals import CannotDo
    from bot.service import Service
    from bot.store.beside import beside
    from bot.weather.living import LivingBook
    from bot.wiring import clock_for
    from bot.words import Words

    settings = settings_from_environment(data=data)
    clock, words = clock_for(settings), Words()
    known = known_here(words, settings, LivingBook(settings.data))
    talk = talk_knowing(words, known)

    async def work() -> None:
        async with beside(settings.data, talk.upgrade) as store:
            service = Service(store, talk, clock, committed=lambda: None)
            try:
                await do(Cases(store, service, clock, known), await _operator(store, name))
            except CannotDo as cannot:
                raise Told(words.text(cannot.told)) from cannot
            finally:
                await service.close()

    run(work())


async def _operator(store: Store, name: str | None) -> Operator | None:
    from bot.commands.acting import acting_operator
    from bot.ops.roles import Role

    return await acting_operator(store, name, Role.ADVISOR, "may not see single cases. A keeper can change that.")


def _named(by: Operator | None) -> Operator:
    if by is None:
        raise Told('Say who you are with --as NAME: the homeowner is told. "afterfrost operator list" shows the names.')
    return by


def _chosen(book: CaseBook, questions: Sequence[int]) -> tuple[int, ...]:
    """The named questions, or all that are open."""
    return tuple(questions) or tuple(each.id for each in book.open_questions)


def _once() -> str:
    return secrets.token_hex(8)


def _print(told: tuple[str, ...] | list[dict[str, Any]] | dict[str, Any]) -> None:
    """Lines as they are, data as JSON."""
    click.echo("\n".join(told) if isinstance(told, tuple) else json.dumps(told, ensure_ascii=False, indent=2))


def _print_done(case: int, what: str, *, as_json: bool) -> None:
    click.echo(json.dumps({"case": case, "done": what}) if as_json else f"Case {case}: {what}.")
