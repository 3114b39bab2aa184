"""One case for a person of ours: the whole story to read, and what may be done about it.

1. Whoever looks at a case or does something about it is written down, without a word of what was said.
2. One person holds a talk at a time. Another one is told who does.
3. Who may see which case is decided in one place, `admit`.
4. A press counts once, however often it is sent; a question is answered by one person.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from bot.clock import Clock
from bot.ops.cases.acts import CaseAct
from bot.ops.cases.blanks import fill_in, unknown_blank
from bot.ops.cases.lines import CaseLine, last_lines
from bot.ops.cases.refusals import CannotDo, Why
from bot.ops.cases.story import Story, story_of
from bot.ops.enrolling.invites import region_of
from bot.ops.roles import Operator, Role
from bot.service import Act, Service
from bot.store import audits, case_notes, handovers, homeowners, photos, regions, templates
from bot.store.audits import Deed
from bot.store.case_notes import NewNote, StoredNote
from bot.store.database import Transaction, milliseconds, secret_of
from bot.store.handovers import StoredHandover
from bot.store.photos import StoredPhoto
from bot.store.store import Store
from bot.store.templates import StoredTemplate
from bot.talk.incoming import PersonCame, PersonSaid
from bot.talk.known import Known
from bot.words import Words

MOST_LETTERS = 2000
"""Of one answer: about five pages of text messages."""
MOST_NAME_LETTERS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseBook:
    """Everything a person is shown of one case. It holds no number and no address of anybody.

    invited_by : the region whose link they came by; empty where they came by themselves
    """

    id: int
    story: Story
    questions: Sequence[StoredHandover]
    notes: Sequence[StoredNote]
    lines: Sequence[CaseLine]
    photos: Sequence[StoredPhoto]
    seen_at: datetime
    invited_by: str = ""

    @property
    def open_questions(self) -> list[StoredHandover]:
        """Those nobody has answered yet, oldest first."""
        return [each for each in self.questions if each.closed_ms is None]


class Cases:
    """What people of ours do about cases."""

    def __init__(self, store: Store, service: Service, clock: Clock, known: Known) -> None:
        self._store = store
        self._service = service
        self._clock = clock
        self._known = known

    # --- looking ---------------------------------------------------------------------------------------------------

    async def look(self, case_id: int, by: Operator | None) -> CaseBook:
        """The whole story of a case. Raises `CannotDo`."""
        admit(by, case_id)
        homeowner = await self._store.homeowner(case_id)
        if homeowner is None:
            raise CannotDo(Why.MISSING)
        now = self._clock.now()
        entries = await self._store.entries(case_id)
        async with self._store.database.read() as tx:
            questions = await handovers.of_homeowner(tx, case_id)
            notes = await case_notes.of_homeowner(tx, case_id)
            sent = await photos.of_homeowner(tx, case_id)
            invited_by = await _invited_by(tx, homeowner.invite)
        await self._note(by, "looked at", f"case {case_id}")
        return CaseBook(
            id=case_id,
            story=story_of(homeowner, self._known, now, {photo.photo_id for photo in sent}),
            questions=questions,
            notes=notes,
            lines=last_lines(entries),
            photos=sent,
            seen_at=now,
            invited_by=invited_by,
        )

    async def owns(self, case_id: int, photo_id: str, by: Operator | None) -> bool:
        """Whether a photo is of a case that may be seen. Whoever opened the case was written down for it."""
        admit(by, case_id)
        async with self._store.database.read() as tx:
            return await photos.belongs_to(tx, photo_id, case_id)

    # --- doing -----------------------------------------------------------------------------------------------------

    async def write(self, case_id: int, words: str, by: Operator, *, once: str, answers: Sequence[int] = ()) -> None:
        """Write to a homeowner, in answer to these open questions of theirs, which are closed with it.

        `once`: what a repeat of the same press is known by. Raises `CannotDo`: a question that is open no more was
        answered by somebody else.
        """
        said = PersonSaid(words=_sayable(words), name=by.name)
        act = Act(homeowner_id=case_id, key=f"write {case_id} {once}", incoming=said)
        await self._do(act, by, "answered" if answers else "wrote to", answers=tuple(answers))

    async def take(self, case_id: int, by: Operator, once: str) -> None:
        """Take a talk over, so that the bot is silent. Raises `CannotDo`, with who holds it already."""
        came = PersonCame(name=by.name)
        await self._do(Act(homeowner_id=case_id, key=f"take {case_id} {once}", incoming=came), by, "took over")

    async def give_back(self, case_id: int, by: Operator, once: str) -> None:
        """Give a talk back to the bot. Raises `CannotDo`."""
        left = PersonCame(name=by.name, is_leaving=True)
        act = Act(homeowner_id=case_id, key=f"give back {case_id} {once}", incoming=left)
        await self._do(act, by, "gave back", is_leaving=True)

    async def close(self, case_id: int, questions: Sequence[int], by: Operator | None) -> None:
        """Close open questions of a case without a word to its homeowner. Raises `CannotDo`."""
        admit(by, case_id)
        now_ms = milliseconds(self._clock.now())
        async with self._store.database.write() as tx:
            if case_id not in await homeowners.by_id(tx, [case_id]):
                raise CannotDo(Why.MISSING)
            open_ones = {each.id for each in await handovers.of_homeowner(tx, case_id) if each.closed_ms is None}
            if not questions or not open_ones.issuperset(questions):
                raise CannotDo(Why.CLOSED)
            for question_id in questions:
                await handovers.close(tx, question_id, now_ms)
            detail = ", ".join(f"question {each}" for each in questions)
            await audits.note(tx, _deed(by, now_ms, "closed unanswered", f"case {case_id}", detail))

    async def note(self, case_id: int, words: str, by: Operator | None) -> None:
        """Write something down about a case, for others of ours. Its homeowner may ask for it. Raises `CannotDo`."""
        admit(by, case_id)
        noted, now_ms = _sayable(words), milliseconds(self._clock.now())
        async with self._store.database.write() as tx:
            if case_id not in await homeowners.by_id(tx, [case_id]):
                raise CannotDo(Why.MISSING)
            by_id = None if by is None else by.id
            await case_notes.add(tx, NewNote(homeowner_id=case_id, operator_id=by_id, at_ms=now_ms, words=noted))
            await audits.note(tx, _deed(by, now_ms, "noted", f"case {case_id}"))

    # --- templates -------------------------------------------------------------------------------------------------

    async def templates(self) -> list[StoredTemplate]:
        """Words that are written often."""
        async with self._store.database.read() as tx:
            return await templates.every_one(tx)

    async def keep_template(self, name: str, words: str, by: Operator | None) -> None:
        """Keep words under a name. Raises `CannotDo` for a blank that nobody knows."""
        name = " ".join(name.split())
        if not name:
            raise CannotDo(Why.EMPTY)
        if len(name) > MOST_NAME_LETTERS:
            raise CannotDo(Why.LONG)
        kept = _sayable(words)
        strange = unknown_blank(kept)
        if strange is not None:
            raise CannotDo(Why.BLANK, strange)
        now_ms = milliseconds(self._clock.now())
        async with self._store.database.write() as tx:
            template_id = await templates.put(tx, name, kept)
            await audits.note(tx, _deed(by, now_ms, "kept", f"template {template_id}"))

    async def drop_template(self, template_id: int, by: Operator | None) -> None:
        """Remove a template. Raises `CannotDo`."""
        now_ms = milliseconds(self._clock.now())
        async with self._store.database.write() as tx:
            if not await templates.drop(tx, template_id):
                raise CannotDo(Why.MISSING)
            await audits.note(tx, _deed(by, now_ms, "dropped", f"template {template_id}"))

    async def fill_template(self, template_id: int, case_id: int, words: Words) -> str:
        """A template's words with the figures of a case. Raises `CannotDo`."""
        homeowner = await self._store.homeowner(case_id)
        async with self._store.database.read() as tx:
            template = await templates.by_id(tx, template_id)
        if template is None or homeowner is None:
            raise CannotDo(Why.MISSING)
        return fill_in(template.words, homeowner, self._known, words)

    # --- both ------------------------------------------------------------------------------------------------------

    async def _do(
        self, act: Act, by: Operator, word: str, *, answers: tuple[int, ...] = (), is_leaving: bool = False
    ) -> None:
        admit(by, act.homeowner_id)
        along = CaseAct(
            case_id=act.homeowner_id,
            by=by,
            at_ms=milliseconds(self._clock.now()),
            act=word,
            upgrade=self._store.upgrade,
            answers=answers,
            is_leaving=is_leaving,
        )
        await self._service.act([act], along)
        if along.refusal is not None:
            raise along.refusal

    async def _note(self, by: Operator | None, act: str, about: str) -> None:
        now_ms = milliseconds(self._clock.now())
        async with self._store.database.write() as tx:
            await audits.note(tx, _deed(by, now_ms, act, about))


def admit(by: Operator | None, case_id: int) -> None:
    """Let somebody at a case, or raise `CannotDo` as if there were none. None: whoever runs this, at its command line.

    The one place that decides it. By role so far: every advisor sees every case.
    """
    if by is not None and not by.role.may(Role.ADVISOR):
        raise CannotDo(Why.MISSING)


async def _invited_by(tx: Transaction, code: str) -> str:
    """The name of the region a link was made for; empty where it was made for none of ours."""
    region_id = region_of(secret_of(tx), code)
    region = await regions.by_id(tx, region_id) if region_id is not None else None
    return region.name if region is not None else ""


def _sayable(words: str) -> str:
    """Words as they are kept: as written, but for blanks around them and halves of characters no database takes."""
    said = words.encode("utf-8", "replace").decode("utf-8").replace("\r\n", "\n").replace("\0", "").strip()
    if not said:
        raise CannotDo(Why.EMPTY)
    if len(said) > MOST_LETTERS:
        raise CannotDo(Why.LONG)
    return said


def _deed(by: Operator | None, at_ms: int, act: str, about: str, detail: str = "") -> Deed:
    return Deed(at_ms=at_ms, operator_id=None if by is None else by.id, act=act, about=about, detail=detail)
