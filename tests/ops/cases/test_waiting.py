"""What waits for a person, over all cases: found at once, oldest first, and nothing that is settled."""

from __future__ import annotations

import pytest

from bot.conversation import GAZETTEER
from bot.ops.cases.book import Cases
from bot.ops.cases.waiting import RECENT, SILENT_FROM, Waiting, waiting
from bot.ops.regions.glancing import Glancing
from bot.ops.regions.whereabouts import Geography
from bot.ops.roles import Operator
from bot.store import case_lists
from tests.service.chats import PHONE, STRANGER, WEB, Chats, a_case, a_plan
from tests.talk.conversation import KNOWN


async def look(chats: Chats) -> Waiting:
    """What the desk sees, with everybody's glance up to date."""
    await Glancing(chats.house.store, KNOWN, Geography(GAZETTEER)).run_all()
    return await waiting(chats.house.store, chats.house.clock)


async def sent_all(chats: Chats) -> None:
    """A courier has sent everything that waits."""
    at_ms = int(chats.house.clock.now().timestamp() * 1000)
    await chats.house.change("UPDATE outbox SET state = 1, sent_ms = ? WHERE state = 0", at_ms)


async def test_nothing_waits_at_first(chats: Chats) -> None:
    """An empty house has an empty list, and a talk that goes well is on none."""
    await a_plan(chats)
    found = await look(chats)

    assert (found.open_count, *map(len, (found.questions, found.held, found.not_understood))) == (0, 0, 0, 0)
    assert not found.not_handled
    assert not found.silent


async def test_questions_wait_oldest_first_until_they_are_closed(chats: Chats, cases: Cases, ana: Operator) -> None:
    """Whoever has waited longest is served first."""
    await a_plan(chats)
    await a_plan(chats, PHONE)
    await chats.send(PHONE, "person", "first")
    chats.house.pass_time(hours=2)
    await chats.send(WEB, "person", "second")
    found = await look(chats)
    assert [each.question for each in found.questions] == ["first", "second"]

    await cases.close(found.questions[0].homeowner_id, [found.questions[0].id], ana)

    assert [each.question for each in (await look(chats)).questions] == ["second"]


async def test_held_talks_tell_who_holds_them_and_whether_something_came(
    chats: Chats, cases: Cases, ana: Operator
) -> None:
    """Until they are given back."""
    await a_plan(chats)
    await cases.take(1, ana, once="a")
    (talk,) = (await look(chats)).held
    assert (talk.case_id, talk.by, talk.has_unread) == (1, "Ana", False)

    chats.house.pass_time(minutes=5)
    await chats.send(WEB, "hello?")
    (talk,) = (await look(chats)).held
    assert talk.has_unread

    await cases.give_back(1, ana, once="b")
    assert not (await look(chats)).held


@pytest.mark.parametrize("times", [1, 2, 3])
async def test_lawns_whose_last_words_were_not_understood_are_listed(chats: Chats, times: int) -> None:
    """Two misses in a row, or the offer of a person that follows the third; one slip is nothing."""
    await a_case(chats)
    await chats.send(WEB, *["qwertz uiop"] * times)

    assert list((await look(chats)).not_understood) == ([1] if times > 1 else [])


async def test_words_that_were_not_understood_long_ago_are_no_work_for_today(chats: Chats) -> None:
    """A week is enough."""
    await a_case(chats)
    await chats.send(WEB, "qwertz uiop", "qwertz uiop")
    chats.house.pass_time(days=RECENT.days + 1)

    assert not (await look(chats)).not_understood


async def test_what_could_not_be_handled_or_read_is_listed_with_its_reason(chats: Chats) -> None:
    """A turn that failed, and something raw from an address that is somebody's or nobody's."""
    await a_plan(chats)
    house = chats.house
    now_ms = int(house.clock.now().timestamp() * 1000)
    await house.change("UPDATE inbox SET state = 1, error = 'KeyError at tasks.py:9' WHERE id = 1")
    for number, address in enumerate((WEB[1], "nobody")):
        await house.change(
            "INSERT INTO arrival (channel, external_digest, external_id, address, at_ms, kept_ms, due_ms, body, state,"
            " error) VALUES ('web', ?, '', ?, ?, ?, 0, '', 2, 'not readable')",
            f"digest {number}",
            address,
            now_ms,
            now_ms,
        )
    found = await look(chats)

    assert [(each.homeowner_id, each.error) for each in found.not_handled] == [
        (1, "KeyError at tasks.py:9"),
        (None, "not readable"),
        (1, "not readable"),
    ]


async def test_people_who_never_answered_are_those_told_something_and_silent_since(chats: Chats) -> None:
    """Two weeks after the first reminder; whoever wrote once since is not among them."""
    await a_plan(chats)
    await a_plan(chats, PHONE)
    await a_case(chats, STRANGER)
    for _ in range(SILENT_FROM.days + 6):
        chats.house.pass_time(days=1)
        await chats.house.bring_up_all()
        await sent_all(chats)
    await chats.send(PHONE, "plan")
    (silent,) = (await look(chats)).silent

    assert silent.case_id == 1
    assert silent.told_times >= 1
    assert chats.house.clock.now() - silent.told_at > SILENT_FROM


async def test_an_answer_to_a_question_is_nothing_to_be_silent_about(chats: Chats) -> None:
    """Only what nobody asked for counts."""
    await a_case(chats)
    await sent_all(chats)
    chats.house.pass_time(days=60)

    assert not (await look(chats)).silent


async def test_counts_by_stage_county_and_square_add_up(chats: Chats) -> None:
    """Three lawns, one without a place."""
    await a_plan(chats)
    await a_plan(chats, PHONE)
    await chats.send(STRANGER, "hello")
    await look(chats)
    async with chats.house.store.database.read() as tx:
        stages = await case_lists.stages(tx)
        counties = await case_lists.counties(tx)
        cells = await case_lists.cells(tx, 25)
        extent = await case_lists.extent(tx)

    assert stages == {"asking": 1, "waiting": 2}
    assert sum(each.lawns for each in counties) == 3
    (cell,) = cells
    assert (cell.homes, cell.lawns) == (2, 2)
    assert cell.south_e2 <= 3123 < cell.south_e2 + 25
    assert cell.west_e2 <= -8135 < cell.west_e2 + 25
    assert extent is not None
    assert cell.soil_min_dc is not None


async def test_lists_are_found_without_reading_everything(chats: Chats) -> None:
    """Each goes through an index, so that a million homes cost no more than a hundred."""
    await a_plan(chats)
    now_ms = int(chats.house.clock.now().timestamp() * 1000)
    statements: list[str] = []
    engine = chats.house.store.database._reader.sync_engine  # the test watches what is asked of it

    from sqlalchemy import event

    def note(_connection: object, _cursor: object, statement: str, parameters: object, *_: object) -> None:
        statements.append((statement, parameters))  # type: ignore[arg-type]

    event.listen(engine, "before_cursor_execute", note)
    async with chats.house.store.database.read() as tx:
        await case_lists.held(tx, now_ms)
        await case_lists.not_understood(tx, now_ms)
        await case_lists.failed(tx, now_ms)
        await case_lists.unreadable(tx, now_ms)
        await case_lists.silent(tx, now_ms)
    event.remove(engine, "before_cursor_execute", note)

    plans = [
        row[3]
        for statement, parameters in statements
        if statement.lstrip().startswith("SELECT")
        for row in chats.house.rows(f"EXPLAIN QUERY PLAN {statement}", *parameters)
    ]
    small = ("heard_last", "ix_inbox_failed", "ix_arrival_unreadable")  # cut, or of what went wrong alone
    scans = [plan for plan in plans if plan.startswith("SCAN") and not any(name in plan for name in small)]
    assert plans
    assert scans == []
