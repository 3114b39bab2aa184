from __future__ import annotations

import asyncio
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from bot.ops.advisories.advisory import AdvisoryRefused, NewAdvisory, dump_content, loaded
from bot.ops.advisories.approving import SecondApprover
from bot.ops.regions.audience import Audience
from bot.ops.regions.refused import ShapeRefused
from bot.ops.regions.shapes import Circle, Shape
from bot.ops.roles import Role
from bot.store import advisories, audits
from tests.ops.advisories.town import NOON, Town, open_town

WHOLE = NewAdvisory(
    name="Freeze tonight",
    words="Keep off the grass.",
    audience=Audience(
        shape=Shape(states=frozenset({"GA"}), circles=(Circle(latitude=31.2, longitude=-81.5, km=40),)),
        grasses=frozenset({"bermuda", "zoysia"}),
        soil_min_below_c=-1.5,
        homeowner_ids=frozenset({3, 5}),
    ),
    is_pressing=True,
    due_at=NOON + timedelta(hours=3),
    useful_until=NOON + timedelta(days=1),
)


async def deeds(town: Town) -> list[tuple[int | None, str, str]]:
    """Who did what, the first first."""
    async with town.house.store.database.read() as tx:
        return [(deed.operator_id, deed.act, deed.about) for _, deed in reversed(await audits.latest(tx))]


async def test_a_draft_is_found_as_it_was_written(town: Town) -> None:
    """All of it, by another process as well."""
    ann = await town.operator("Ann")
    number = await town.drafts.draft(WHOLE, ann.id)

    found = await town.drafts.get(number)

    assert found.content == WHOLE
    assert (found.rev, found.state, found.made_by, found.changed_by) == (1, "draft", ann.id, ann.id)


async def test_a_field_nobody_knows_is_an_error(town: Town) -> None:
    """It is not dropped in silence."""
    number = await town.drafts.draft(WHOLE, None)
    async with town.house.store.database.read() as tx:
        row = await advisories.get(tx, number)
    assert row is not None

    with pytest.raises(TypeError):
        loaded(replace(row, doc=dump_content(WHOLE, None).replace('"words"', '"wrods"')))


async def test_of_two_who_change_at_once_one_does(town: Town) -> None:
    """The other one is told to look again."""
    both = [await town.operator("Ann"), await town.operator("Ben")]
    number = await town.drafts.draft(WHOLE, None)

    done = await asyncio.gather(
        *(town.drafts.change(number, 1, replace(WHOLE, name=f"By {by.name}"), by.id) for by in both),
        return_exceptions=True,
    )

    assert [each for each in done if each == 2] == [2]
    (refused,) = (each for each in done if isinstance(each, AdvisoryRefused))
    assert refused.reason == "changed"
    assert (await town.drafts.get(number)).rev == 2


async def test_what_is_no_draft_is_neither_changed_nor_dropped(town: Town) -> None:
    """What somebody approved stays as they saw it."""
    number = await town.draft()
    await town.approve(number)

    for act in (town.drafts.change(number, 1, WHOLE, None), town.drafts.drop(number, None)):
        with pytest.raises(AdvisoryRefused, match="no draft any more: it is approved"):
            await act


async def test_whom_nobody_can_be_is_refused(town: Town) -> None:
    """A misspelt grass would reach nobody, and nobody would notice."""
    with pytest.raises(ShapeRefused, match="'moss' is no grass"):
        await town.draft(audience=Audience(grasses=frozenset({"moss"})))


async def test_what_follows_needs_a_day_and_something_that_goes_before(town: Town) -> None:
    """And follows nothing that follows."""
    first = await town.draft()
    later = NOON + timedelta(days=30)
    second = await town.draft(after_id=first, due_at=later)
    tried = {"no_day": {"after_id": first}, "chain": {"after_id": second, "due_at": later}}
    tried["unknown"] = {"after_id": 99, "due_at": later}
    for reason, more in tried.items():
        with pytest.raises(AdvisoryRefused) as refused:
            await town.draft(**more)
        assert refused.value.reason == reason

    await town.drafts.drop(first, None)
    assert (await town.advisory(second)).state == "dropped"


async def test_an_approval_holds_for_what_was_seen(town: Town) -> None:
    """Not for another revision, nor for a follow-up that came or changed since."""
    first = await town.draft()
    mark = await town.mark(first)
    second = await town.draft(after_id=first, due_at=NOON + timedelta(days=30))
    with pytest.raises(AdvisoryRefused, match="changed since you looked"):
        await town.approving.approve(first, mark, None)

    mark = await town.mark(first)
    assert mark == f"1+{second}.1"
    content = (await town.advisory(second)).content
    await town.drafts.change(second, 1, replace(content, words="Other words."), None)
    with pytest.raises(AdvisoryRefused, match="changed since you looked"):
        await town.approving.approve(first, mark, None)

    await town.approve(first)
    assert (await town.advisory(second)).state == "approved"


async def test_what_follows_is_not_approved_before_what_it_follows(town: Town) -> None:
    """It would be for nobody."""
    first = await town.draft()
    second = await town.draft(after_id=first, due_at=NOON + timedelta(days=30))

    with pytest.raises(AdvisoryRefused) as refused:
        await town.approve(second)
    assert refused.value.reason == "first"


async def test_who_wrote_it_does_not_approve_it_where_two_may(folder: Path) -> None:
    """Neither who made it nor who changed it last; with one approver alone there is nobody else."""
    async with open_town(folder, second=SecondApprover.AUTO) as town:
        ann = await town.operator("Ann")
        alone = await town.drafts.draft(WHOLE, ann.id)
        await town.approve(alone, ann)

        ben, cid = await town.operator("Ben"), await town.operator("Cid", Role.ADVISOR)
        number = await town.drafts.draft(WHOLE, cid.id)
        await town.drafts.change(number, 1, WHOLE, ann.id)
        for by, reason in ((ann, "second"), (cid, "role"), (None, "nameless")):
            with pytest.raises(AdvisoryRefused) as refused:
                await town.approve(number, by)
            assert refused.value.reason == reason
            why_not = await town.approving.why_not(await town.advisory(number), by)
            assert why_not is not None
            assert why_not.reason == reason
        await town.approve(number, ben)

        assert (await deeds(town))[-1] == (ben.id, "approved", f"advisory {number}")


async def test_a_second_person_can_be_asked_for_always_or_never(folder: Path) -> None:
    """As whoever runs this says."""
    async with open_town(folder, second=SecondApprover.ALWAYS) as town:
        ann = await town.operator("Ann")
        number = await town.drafts.draft(WHOLE, ann.id)
        with pytest.raises(AdvisoryRefused) as refused:
            await town.approve(number, ann)
        assert refused.value.reason == "second"
        await town.approve(await town.drafts.draft(WHOLE, None), ann)  # an alert's draft


async def test_what_one_drafts_from_an_alert_any_approver_may_approve(folder: Path) -> None:
    """Nobody wrote it."""
    async with open_town(folder, second=SecondApprover.AUTO) as town:
        ann, _ = await town.operator("Ann"), await town.operator("Ben")
        await town.approve(await town.draft(), ann)


async def test_every_deed_is_written_down(town: Town) -> None:
    """Who did what to which, without a word of the text."""
    number = await town.draft()
    await town.drafts.change(number, 1, WHOLE, None)
    await town.approve(number)
    await town.approving.undo(number, None)
    await town.approve(number)
    await town.steering.cancel(number, None)

    acts = ["drafted", "changed", "approved", "took back", "approved", "stopped"]
    assert await deeds(town) == [(None, act, f"advisory {number}") for act in acts]
    assert "Keep off" not in str(town.house.rows("SELECT * FROM audit"))


async def test_advisors_may_pause_but_not_stop(town: Town) -> None:
    """Whoever sees harm holds it; ending or going on is for those who approve."""
    cid = await town.operator("Cid", Role.ADVISOR)
    ann = await town.operator("Ann")
    await town.people(1, "web")
    number = await town.draft()
    await town.approve(number, ann)
    town.house.pass_time(seconds=11)
    town.far["web"].before = asyncio.Event()
    await town.tick()
    await town.steering.pause(number, cid)
    for act in (town.steering.resume, town.steering.cancel):
        with pytest.raises(AdvisoryRefused) as refused:
            await act(number, cid)
        assert refused.value.reason == "role"
