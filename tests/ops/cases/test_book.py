"""One case at the desk with the real store and conversation: who may do what, once, and what is written down of it."""

from __future__ import annotations

import asyncio
import json

import pytest

from bot.ops.cases.book import MOST_LETTERS, Cases
from bot.ops.cases.refusals import CannotDo, Why
from bot.ops.enrolling.invites import code_of
from bot.ops.roles import Operator, Role
from bot.store import regions
from bot.store.database import secret_of
from bot.store.regions import NewRegion
from bot.talk.incoming import Arrived, SentPhoto, SharedPlace
from tests.ops.cases.conftest import NewStaff
from tests.service.chats import PHONE, WEB, Chats, a_case, a_plan

CASE = 1


async def asked(chats: Chats, *questions: str) -> list[int]:
    """Somebody with a plan who asked a person; the ids of what is open."""
    await a_plan(chats)
    for question in questions or ("is it dead?",):
        await chats.send(WEB, "person", question)
    return open_questions(chats)


def open_questions(chats: Chats) -> list[int]:
    return [of_id for (of_id,) in chats.house.rows("SELECT id FROM handover WHERE closed_ms IS NULL ORDER BY id")]


def deeds(chats: Chats) -> list[tuple[int | None, str, str]]:
    return [
        (by, act, about) for by, act, about in chats.house.rows("SELECT operator_id, act, about FROM audit ORDER BY id")
    ]


async def refused(doing: object) -> CannotDo:
    with pytest.raises(CannotDo) as caught:
        await doing  # type: ignore[misc]
    return caught.value


async def test_an_answer_reaches_the_homeowner_and_closes_the_question(
    chats: Chats, cases: Cases, ana: Operator
) -> None:
    """Under the name of who wrote it, as it was written."""
    (question,) = await asked(chats)
    await cases.write(CASE, "No. {x} Wait until May 5.", ana, once="a", answers=[question])

    assert chats.told(WEB)[-1] == "Ana writes:\n\nNo. {x} Wait until May 5."
    assert open_questions(chats) == []
    assert deeds(chats)[-1] == (ana.id, "answered", "case 1")


async def test_a_press_counts_once_however_often_it_is_sent(chats: Chats, cases: Cases, ana: Operator) -> None:
    """A phone that lost its answer sends the form again."""
    await a_plan(chats)
    before = len(chats.told(WEB))
    await asyncio.gather(*(cases.write(CASE, "Wait.", ana, once="a") for _ in range(5)))

    assert len(chats.told(WEB)) == before + 1
    assert [act for _, act, _ in deeds(chats)] == ["wrote to"]


async def test_a_question_is_answered_by_one_person(chats: Chats, cases: Cases, ana: Operator, bo: Operator) -> None:
    """The second of two who answer at the same moment is told, and nothing of theirs is said."""
    (question,) = await asked(chats)
    done = await asyncio.gather(
        cases.write(CASE, "It lives.", ana, once="a", answers=[question]),
        cases.write(CASE, "It is dead.", bo, once="b", answers=[question]),
        return_exceptions=True,
    )

    (error,) = [each for each in done if each is not None]
    assert isinstance(error, CannotDo)
    assert error.why is Why.CLOSED
    assert len([told for told in chats.told(WEB) if "writes:" in told]) == 1


async def test_one_of_two_who_take_a_talk_at_once_gets_it(
    chats: Chats, cases: Cases, ana: Operator, bo: Operator
) -> None:
    """The other one is told who did."""
    await a_plan(chats)
    done = await asyncio.gather(cases.take(CASE, ana, once="a"), cases.take(CASE, bo, once="b"), return_exceptions=True)

    (error,) = [each for each in done if each is not None]
    holder = (await chats.homeowner(WEB)).held_by
    assert isinstance(error, CannotDo)
    assert (error.why, error.who) == (Why.HELD, holder)
    assert [act for _, act, _ in deeds(chats)] == ["took over"]


async def test_two_processes_see_each_other(chats: Chats, cases: Cases, ana: Operator, bo: Operator) -> None:
    """A command beside the service is another process with a service of its own."""
    from bot.service import Service
    from bot.store.beside import beside
    from tests.service.chats import TALK
    from tests.talk.conversation import KNOWN

    await a_plan(chats)
    async with beside(chats.house.folder, TALK.upgrade) as store:
        service = Service(store, TALK, chats.house.clock, committed=lambda: None)
        other = Cases(store, service, chats.house.clock, KNOWN)
        await other.take(CASE, bo, once="b")
        error = await refused(cases.take(CASE, ana, once="a"))
        await service.close()

    assert (error.why, error.who) == (Why.HELD, "Bo")


async def test_answering_while_another_holds_the_talk_is_refused_with_who(
    chats: Chats, cases: Cases, ana: Operator, bo: Operator
) -> None:
    """Nothing is said, the question stays open, and no deed is written down."""
    (question,) = await asked(chats)
    await cases.take(CASE, bo, once="b")
    before = chats.told(WEB)

    for doing in (
        cases.write(CASE, "It is dead.", ana, once="a", answers=[question]),
        cases.write(CASE, "It is dead.", ana, once="c"),
        cases.give_back(CASE, ana, once="d"),
    ):
        error = await refused(doing)
        assert (error.why, error.who) == (Why.HELD, "Bo")

    assert chats.told(WEB) == before
    assert open_questions(chats) == [question]
    assert [act for _, act, _ in deeds(chats)] == ["took over"]


async def test_a_whole_talk_with_a_person(chats: Chats, cases: Cases, ana: Operator) -> None:
    """Asked, taken over, talked with, given back: the bot speaks before and after, and not between."""
    (question,) = await asked(chats)
    await cases.take(CASE, ana, once="a")
    assert await chats.send(WEB, "thank you, is it the front that is bad?") == ""
    await cases.write(CASE, "The front, yes.", ana, once="b", answers=[question])
    assert await chats.send(WEB, SentPhoto(photo_id="a" * 64)) == ""
    await cases.give_back(CASE, ana, once="c")

    assert "Ana has left the talk to me again." in "\n".join(chats.told(WEB))
    assert await chats.send(WEB, "plan")
    assert [act for _, act, _ in deeds(chats)] == ["took over", "answered", "gave back"]


async def test_the_clock_takes_a_talk_back_and_the_desk_is_told(chats: Chats, cases: Cases, ana: Operator) -> None:
    """The words nobody answered are a question again, marked as left."""
    from bot.store import handovers

    await a_plan(chats)
    await cases.take(CASE, ana, once="a")
    await chats.send(WEB, "is it dead?")
    chats.house.pass_time(hours=23)
    await chats.house.bring_up_all()
    assert (await chats.homeowner(WEB)).held_by == "Ana"

    chats.house.pass_time(hours=2)
    await chats.house.bring_up_all()

    assert (await chats.homeowner(WEB)).held_by == ""
    assert "Ana has not written for a day" in chats.told(WEB)[-1]
    async with chats.house.store.database.read() as tx:
        (left,) = await handovers.open_ones(tx)
    assert (left.question, left.is_left) == ("is it dead?", True)


async def test_a_broken_turn_is_told_and_leaves_the_question_open(chats: Chats, cases: Cases, ana: Operator) -> None:
    """Nobody must believe that an answer went out."""
    (question,) = await asked(chats)
    await chats.house.change("UPDATE homeowner SET doc = replace(doc, '\"version\":1', '\"version\":99')")

    with pytest.raises(Exception, match="version 99"):
        await cases.write(CASE, "It lives.", ana, once="a", answers=[question])
    assert open_questions(chats) == [question]


# --- what may not be done --------------------------------------------------------------------------------------------


async def test_somebody_who_wants_quiet_is_left_alone_unless_they_asked(
    chats: Chats, cases: Cases, ana: Operator
) -> None:
    """A question of theirs may be answered; nothing else is written to them."""
    await a_plan(chats)
    await chats.send(WEB, "stop")
    assert (await refused(cases.write(CASE, "Hello!", ana, once="a"))).why is Why.QUIET
    assert (await refused(cases.take(CASE, ana, once="b"))).why is Why.QUIET

    await chats.send(WEB, "person", "is it dead?")
    await cases.write(CASE, "No.", ana, once="c", answers=open_questions(chats))

    assert chats.told(WEB)[-1] == "Ana writes:\n\nNo."


@pytest.mark.parametrize(("words", "why"), [("  \n", Why.EMPTY), ("x" * (MOST_LETTERS + 1), Why.LONG)])
async def test_nothing_and_too_much_are_refused(
    chats: Chats, cases: Cases, ana: Operator, words: str, why: Why
) -> None:
    """Before anything is done."""
    await a_plan(chats)

    assert (await refused(cases.write(CASE, words, ana, once="a"))).why is why
    assert (await refused(cases.note(CASE, words, ana))).why is why


async def test_a_case_that_is_not_there_is_told(cases: Cases, ana: Operator) -> None:
    """Whatever is tried."""
    for doing in (
        cases.look(7, ana),
        cases.write(7, "Hello", ana, once="a"),
        cases.take(7, ana, once="a"),
        cases.give_back(7, ana, once="a"),
        cases.note(7, "Hello", ana),
        cases.close(7, [1], ana),
        cases.fill_template(1, 7, None),  # type: ignore[arg-type]
        cases.drop_template(7, ana),
    ):
        assert (await refused(doing)).why is Why.MISSING


async def test_a_reader_sees_no_single_case(chats: Chats, cases: Cases, staff: NewStaff) -> None:
    """Not even through the back."""
    await a_plan(chats)
    reader = await staff("Ray", Role.READER)

    for doing in (cases.look(CASE, reader), cases.owns(CASE, "a" * 64, reader), cases.note(CASE, "x", reader)):
        assert (await refused(doing)).why is Why.MISSING


async def test_a_question_of_another_case_cannot_be_closed_through_this_one(
    chats: Chats, cases: Cases, ana: Operator
) -> None:
    """An id in a form proves nothing."""
    (question,) = await asked(chats)
    await a_plan(chats, PHONE)

    assert (await refused(cases.close(2, [question], ana))).why is Why.CLOSED
    assert (await refused(cases.write(2, "Hi", ana, once="a", answers=[question]))).why is Why.CLOSED
    assert open_questions(chats) == [question]


async def test_questions_are_closed_without_a_word(chats: Chats, cases: Cases, ana: Operator) -> None:
    """Closing again says that it was done."""
    first, second = await asked(chats, "is it dead?", "never mind, found it")
    before = chats.told(WEB)
    await cases.close(CASE, [first, second], ana)

    assert open_questions(chats) == []
    assert chats.told(WEB) == before
    assert (await refused(cases.close(CASE, [first], ana))).why is Why.CLOSED


# --- what is written down --------------------------------------------------------------------------------------------


async def test_every_look_is_written_down_and_no_word_of_the_talk_is(chats: Chats, cases: Cases, ana: Operator) -> None:
    """Who looked at which case when; not what stood in it."""
    (question,) = await asked(chats, "my secret question")
    await cases.look(CASE, ana)
    await cases.note(CASE, "my secret note", ana)
    await cases.write(CASE, "my secret answer", ana, once="a", answers=[question])
    await cases.look(CASE, None)

    written = json.dumps(chats.house.rows("SELECT * FROM audit"))
    assert [act for _, act, _ in deeds(chats)] == ["looked at", "noted", "answered", "looked at"]
    assert [by for by, _, _ in deeds(chats)] == [ana.id, ana.id, ana.id, None]
    assert "secret" not in written


async def test_notes_are_their_homeowners_to_see_and_go_with_them(chats: Chats, cases: Cases, ana: Operator) -> None:
    """In the copy of the data with who wrote them; gone when they are forgotten."""
    await a_plan(chats)
    await cases.note(CASE, "Shady north side, called twice.", ana)
    copy = await chats.house.store.export_homeowner(CASE)
    assert [(each["by"], each["note"]) for each in copy["notes_about_them"]] == [  # type: ignore[attr-defined]
        ("Ana", "Shady north side, called twice.")
    ]

    await chats.send(WEB, "forget me", "yes")

    assert chats.count("case_note") == 0


# --- the story -------------------------------------------------------------------------------------------------------


async def test_a_case_holds_no_address_and_nothing_finer_than_a_county(
    chats: Chats, cases: Cases, ana: Operator
) -> None:
    """No phone number, no position: the whole book is searched, the talk's own lines included."""
    await a_plan(chats, PHONE)
    await chats.send(PHONE, SharedPlace(latitude=31.15243, longitude=-81.49112), "31.15243, -81.49112")
    book = await cases.look(CASE, ana)

    for secret in (PHONE[1], PHONE[1].lstrip("+1"), "31.15243", "81.49112", "31.152", "81.491"):
        assert secret not in repr(book)
    assert book.lines


async def test_a_case_tells_what_the_talk_knows(chats: Chats, cases: Cases, ana: Operator) -> None:
    """Grass, place, stage, odds with reasons, plan, what was asked, what was said."""
    (question,) = await asked(chats)
    await cases.note(CASE, "Called once.", ana)
    book = await cases.look(CASE, ana)
    (lawn,) = book.story.lawns

    assert (lawn.stage, lawn.zip_code) == ("waiting", "31522")
    assert lawn.spots[0].odds and lawn.spots[0].why
    assert len(lawn.plan) > 5
    assert [each.id for each in book.open_questions] == [question]
    assert [note.words for note in book.notes] == ["Called once."]
    assert [line.words for line in book.lines if line.is_theirs][-1] == "is it dead?"
    assert len(book.lines) <= 20


async def test_a_case_can_be_read_before_anything_is_known(chats: Chats, cases: Cases, ana: Operator) -> None:
    """The first question is open, and no odds are told yet."""
    await a_case(chats)
    (lawn,) = (await cases.look(CASE, ana)).story.lawns

    assert lawn.stage == "asking"
    assert lawn.spots == ()


async def test_photos_of_others_are_not_a_cases_own(chats: Chats, cases: Cases, ana: Operator) -> None:
    """By whatever id."""
    await a_plan(chats)
    await a_plan(chats, PHONE)
    await chats.send(PHONE, SentPhoto(photo_id="a" * 64))

    assert not await cases.owns(CASE, "a" * 64, ana)
    assert await cases.owns(2, "a" * 64, ana)


# --- templates -------------------------------------------------------------------------------------------------------


async def test_a_template_is_filled_with_the_cases_own_figures(chats: Chats, cases: Cases, ana: Operator) -> None:
    """A sentence whose figure is not known is left out."""
    from tests.talk.conversation import WORDS

    await a_plan(chats)
    await a_case(chats, PHONE)
    await cases.keep_template("wait", "Leave your {grass} alone until {judging_day}.\n{next_task}\nCall us.", ana)
    (template,) = await cases.templates()

    filled = await cases.fill_template(template.id, CASE, WORDS)
    assert "St. Augustine" in filled
    assert "{" not in filled
    assert await cases.fill_template(template.id, 2, WORDS) == "Call us."


async def test_a_template_with_a_blank_nobody_knows_is_refused(cases: Cases, ana: Operator) -> None:
    """By the name of the blank; a lone brace too. The same name is kept once."""
    for words, who in (("Hi {phone}.", "phone"), ("Hi { there.", "{"), ("Hi {}.", "{}")):
        error = await refused(cases.keep_template("x", words, ana))
        assert (error.why, error.who) == (Why.BLANK, who)
    await cases.keep_template(" my  words ", "One.", ana)
    await cases.keep_template("my words", "Two.", ana)

    (template,) = await cases.templates()
    assert (template.name, template.words) == ("my words", "Two.")


async def test_a_case_tells_whose_link_its_homeowner_came_by(chats: Chats, cases: Cases, ana: Operator) -> None:
    """A code that was made for none of our regions tells nothing."""
    await a_plan(chats)
    assert (await cases.look(CASE, ana)).invited_by == ""
    async with chats.house.store.database.write() as tx:
        new = NewRegion(name="Low Coast", shape="{}", operator_id=None, made_ms=1)
        code = code_of(secret_of(tx), await regions.add(tx, new))
    await chats.send(WEB, Arrived(invite=code))

    assert (await cases.look(CASE, ana)).invited_by == "Low Coast"
