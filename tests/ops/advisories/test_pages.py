from __future__ import annotations

import re
from datetime import date

import pytest

from bot.errors import Uncertain
from bot.ops.roles import Role
from tests.fakes.desk import DeskHouse, Sitting
from tests.ops.advisories.town import Town, lawn

FORM = {"name": "Freeze tonight", "words": "A hard freeze is likely near {place} tonight.", "where": "everywhere"}


async def drafted(sitting: Sitting, **fields: object) -> int:
    """A draft, kept through the form; its number."""
    answer = await sitting.send("/advisories", FORM | fields)
    found = re.search(r"/advisories/(\d+)/preview", str(answer.url))
    assert found, sitting.text
    return int(found[1])


async def test_written_seen_approved_by_somebody_else_and_watched(town: Town, desk: DeskHouse) -> None:
    """The whole way of an advisory over the desk."""
    await town.people(3, "web")
    await town.people(2, "telegram", lawn("bermuda", "70801"))
    ann, ben = await desk.sits(Role.APPROVER, "Ann"), await desk.sits(Role.APPROVER, "Ben")

    number = await drafted(ann)
    assert "5 homeowners: 5 would get it, 0 would not." in ann.text
    assert "near Glynn County, GA tonight." in ann.text
    assert "Somebody else than who wrote it must approve it." in ann.text
    assert "Approve for" not in ann.text

    await ben.look(f"/advisories/{number}/preview")
    seen = re.search(r'name="seen" value="([^"]+)"', ben.seen)
    assert seen
    await ben.send(f"/advisories/{number}/approve", {"seen": seen[1]})
    assert "approved by Ben" in ben.text
    assert "It begins 3 seconds after the approval." in ben.text

    town.house.pass_time(seconds=11)
    await town.settle()
    await ben.look(f"/advisories/{number}")
    assert "5 = 5 sent + 0 waiting + 0 on their way + 0 left out + 0 failed" in ben.text
    assert len(town.arrived()) == 5


async def test_what_changed_since_it_was_looked_at_is_not_approved(town: Town, desk: DeskHouse) -> None:
    """An approval is for what the page showed."""
    await town.people(1)
    ann, ben = await desk.sits(Role.ADVISOR), await desk.sits(Role.APPROVER)
    number = await drafted(ann)
    await ben.look(f"/advisories/{number}/preview")
    await ann.send(f"/advisories/{number}/change", FORM | {"rev": 1, "words": "Other words."})

    answer = await ben.send(f"/advisories/{number}/approve", {"seen": "1"})

    assert answer.status_code == 422
    assert "It was changed since you looked." in ben.text
    assert (await town.advisory(number)).state == "draft"


async def test_what_cannot_be_sent_stays_in_the_form_with_the_reason(desk: DeskHouse) -> None:
    """Nothing that was typed is lost."""
    ann = await desk.sits(Role.ADVISOR)

    answer = await ann.send("/advisories", FORM | {"words": "Hi {nme} & all.", "soil_below": "30"})

    assert answer.status_code == 422
    assert "Nothing can be filled in for {nme}" in ann.text
    assert "Hi {nme} &amp; all." in ann.seen
    assert 'value="30"' in ann.seen


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"where": "regions"}, "Choose a region"),
        ({"soil_below": "cold"}, "is no temperature"),
        ({"due": "tomorrow"}, "is no day and time"),
        ({"grass": "moss"}, "'moss' is no grass"),
    ],
)
async def test_what_cannot_be_read_is_named(desk: DeskHouse, fields: dict[str, str], said: str) -> None:
    """Each field says what it should hold."""
    ann = await desk.sits(Role.ADVISOR)

    answer = await ann.send("/advisories", FORM | fields)

    assert (answer.status_code, said in ann.text) == (422, True), ann.text


async def test_pause_go_on_stop_and_correct(town: Town, desk: DeskHouse) -> None:
    """Each is a press on the advisory's page; what cannot be done is said there."""
    await town.people(2, "web")
    await town.people(1, "web", last_unasked_on=date(2027, 2, 2))
    number = await town.begin("Feed it today.")
    await town.settle()
    ben = await desk.sits(Role.APPROVER)

    await ben.send(f"/advisories/{number}/pause")
    assert "Paused." in ben.text
    await ben.send(f"/advisories/{number}/pause")
    assert "this cannot be done to it now" in ben.text
    await ben.send(f"/advisories/{number}/resume")
    await ben.send(f"/advisories/{number}/stop")
    await town.settle()
    await ben.look(f"/advisories/{number}")
    assert "3 = 2 sent + 0 waiting + 0 on their way + 1 left out + 0 failed" in ben.text

    await ben.send(f"/advisories/{number}/correct", {"words": "Do not feed it."})
    assert "2 homeowners: 2 would get it" in ben.text
    assert "those who got the wrong words of number" in ben.text


async def test_what_got_no_answer_can_be_sent_again_by_a_person(town: Town, desk: DeskHouse) -> None:
    """The report tells how many; a press drafts the same words for them alone, and somebody approves that."""
    await town.people(3)
    town.far["web"].answers.extend([None, Uncertain("no answer"), None])
    number = await town.begin(is_pressing=True)
    await town.settle()
    ben = await desk.sits(Role.APPROVER)

    await ben.look(f"/advisories/{number}")
    assert "1 of those sent got no answer back." in ben.text
    await ben.send(f"/advisories/{number}/again")
    assert "1 homeowner: 1 would get it" in ben.text
    found = await town.advisory(2)
    assert (found.content.words, found.content.is_pressing) == ((await town.advisory(number)).content.words, True)

    await ben.send("/advisories/2/again")
    assert "Everybody it was sent to has it" in ben.text
    assert (await ben.send("/advisories/99/again")).status_code == 404


async def test_readers_see_counts_and_no_single_lawn(town: Town, desk: DeskHouse) -> None:
    """What one homeowner would read has their figures in it: that is for those who may read cases."""
    await town.people(1)
    number = await drafted(await desk.sits(Role.ADVISOR))
    reader = await desk.sits(Role.READER)

    await reader.look(f"/advisories/{number}/preview")

    assert "1 homeowner: 1 would get it" in reader.text
    assert "Glynn" not in reader.text
    assert "near {place} tonight" in reader.text


async def test_numbers_of_nothing_are_told_as_missing(desk: DeskHouse) -> None:
    """However large they are."""
    ann = await desk.sits(Role.KEEPER)
    for number in (999, 10**30):
        for path in ("", "/preview", "/change"):
            assert (await ann.look(f"/advisories/{number}{path}")).status_code == 404
        assert (await ann.send(f"/advisories/{number}/pause")).status_code in (404, 422)
