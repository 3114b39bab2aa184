"""The cases at the desk as an operator works with them, without scripts, and what each role is shown."""

from __future__ import annotations

import io
import re
from collections.abc import AsyncIterator
from datetime import date

import pytest
from PIL import Image

from bot.conversation import GAZETTEER, RegionalFacts, known_of
from bot.ops.cases.soil_map import FEWEST_HOMES
from bot.ops.desk.case_pages import CaseRoom
from bot.ops.desk.lawn_pages import LawnRoom
from bot.ops.regions.glancing import Glancing
from bot.ops.regions.whereabouts import Geography
from bot.ops.roles import Role
from bot.talk.incoming import SentPhoto
from tests.fakes.desk import DeskHouse, Sitting, open_desk
from tests.service.chats import PHONE, WEB, Chats, a_plan
from tests.talk.conversation import KNOWN, WORDS


@pytest.fixture
async def at(chats: Chats) -> AsyncIterator[DeskHouse]:
    """The desk with the rooms of this file."""
    async with open_desk(chats.house, WORDS, [CaseRoom(KNOWN), LawnRoom(KNOWN)]) as opened:
        yield opened


async def glanced(chats: Chats) -> None:
    await Glancing(chats.house.store, KNOWN, Geography(GAZETTEER)).run_all()


def once_of(sitting: Sitting) -> str:
    found = re.search(r'name="once" value="([0-9a-f]+)"', sitting.seen)
    assert found
    return found[1]


async def asked(chats: Chats, words: str = "is it dead?") -> int:
    await a_plan(chats)
    await chats.send(WEB, "person", words)
    return int(chats.house.value("SELECT max(id) FROM handover"))


async def test_an_advisor_answers_a_question(chats: Chats, at: DeskHouse) -> None:
    """From the first page to the inbox, to the case, to the homeowner; then nothing waits."""
    question = await asked(chats)
    sitting = await at.sits(Role.ADVISOR, "Ana")
    await sitting.look("/")
    assert "One question waits for a person" in sitting.text
    await sitting.look("/cases")
    assert "is it dead?" in sitting.text
    await sitting.look("/cases/1")
    assert "St. Augustine" in sitting.text
    assert "Glynn County" in sitting.text

    form = {"words": "No. Wait.", "question": question, "once": once_of(sitting)}
    answer = await sitting.send("/cases/1/write", form)

    assert answer.status_code == 200
    assert "Sent through the bot." in sitting.text
    assert chats.told(WEB)[-1] == "Ana writes:\n\nNo. Wait."
    await sitting.look("/cases")
    assert "Nobody waits for a person." in sitting.text


async def test_a_form_sent_twice_counts_once(chats: Chats, at: DeskHouse) -> None:
    """The second is told that it is done, and nothing more is said to the homeowner."""
    await asked(chats)
    sitting = await at.sits(Role.ADVISOR, "Ana")
    await sitting.look("/cases/1")
    form = {"words": "Wait.", "once": once_of(sitting)}
    await sitting.send("/cases/1/write", form)
    before = chats.told(WEB)

    await sitting.send("/cases/1/write", form)

    assert chats.told(WEB) == before


async def test_what_was_typed_is_still_there_when_it_cannot_be_sent(chats: Chats, at: DeskHouse) -> None:
    """Another one took the talk meanwhile: who did is told, and no word is lost."""
    await asked(chats)
    ana, bo = await at.sits(Role.ADVISOR, "Ana"), await at.sits(Role.ADVISOR, "Bo")
    await ana.look("/cases/1")
    await bo.look("/cases/1")
    await bo.send("/cases/1/take", {"once": once_of(bo)})
    assert "The talk is yours." in bo.text

    answer = await ana.send("/cases/1/note", {"note": "   "})
    assert answer.status_code == 409
    answer = await ana.send("/cases/1/write", {"words": "My long answer", "once": "x"})

    assert answer.status_code == 409
    assert "Bo holds this talk now." in ana.text
    await bo.look("/cases/1")
    await bo.send("/cases/1/write", {"words": "", "once": "y"})
    assert "Write something first." in bo.text


async def test_typed_words_stay_in_the_field(chats: Chats, at: DeskHouse) -> None:
    """A question that was answered meanwhile: the words can still be sent without it."""
    question = await asked(chats)
    ana, bo = await at.sits(Role.ADVISOR, "Ana"), await at.sits(Role.ADVISOR, "Bo")
    await ana.look("/cases/1")
    await bo.look("/cases/1")
    await bo.send("/cases/1/close", {"question": question})
    assert "Closed without a word." in bo.text

    await ana.send("/cases/1/write", {"words": "My <long> answer", "question": question, "once": "x"})

    assert "not open any more" in ana.text
    assert ">My &lt;long&gt; answer</textarea>" in ana.seen


async def test_a_talk_is_taken_and_given_back(chats: Chats, at: DeskHouse) -> None:
    """The page says whose it is, offers the way back, and the bot goes on."""
    await asked(chats)
    sitting = await at.sits(Role.ADVISOR, "Ana")
    await sitting.look("/cases/1")
    await sitting.send("/cases/1/take", {"once": once_of(sitting)})
    assert "You hold this talk." in sitting.text
    chats.house.pass_time(minutes=1)
    await chats.send(WEB, "thanks <b>")
    await sitting.look("/cases")
    assert "they wrote since" in sitting.text
    await sitting.look("/cases/1")
    assert "thanks &lt;b&gt;" in sitting.seen

    await sitting.send("/cases/1/give-back", {"once": once_of(sitting)})

    assert "The bot has the talk again." in sitting.text
    assert "Ana has left the talk to me again." in chats.told(WEB)[-1]


async def test_templates_are_kept_filled_in_and_removed(chats: Chats, at: DeskHouse) -> None:
    """With the figures of the case in the field, ready to be changed and sent."""
    await asked(chats)
    sitting = await at.sits(Role.ADVISOR)
    await sitting.look("/templates")
    await sitting.send("/templates", {"name": "wait", "words": "Your {grass} may live. {phone}"})
    assert "Nobody knows the blank phone" in sitting.text
    assert "Your {grass} may live. {phone}</textarea>" in sitting.seen
    await sitting.send("/templates", {"name": "wait", "words": "Your {grass} may live."})
    assert "The words are kept." in sitting.text

    await sitting.look("/cases/1?template=1")
    assert "Your St. Augustine may live.</textarea>" in sitting.seen
    await sitting.send("/templates/1/drop")
    assert "None are kept yet." in sitting.text
    assert (await sitting.look("/cases/1?template=1")).status_code == 200


async def test_notes_are_for_colleagues(chats: Chats, at: DeskHouse) -> None:
    """Another one reads them, and the homeowner is told nothing."""
    await asked(chats)
    before = chats.told(WEB)
    ana, bo = await at.sits(Role.ADVISOR, "Ana"), await at.sits(Role.ADVISOR, "Bo")
    await ana.look("/cases/1")
    await ana.send("/cases/1/note", {"note": "Shady north side."})
    await bo.look("/cases/1")

    assert "Shady north side." in bo.text
    assert "Ana" in bo.text
    assert chats.told(WEB) == before


def jpeg() -> bytes:
    content = io.BytesIO()
    Image.new("RGB", (40, 30), "green").save(content, "JPEG")
    return content.getvalue()


async def test_photos_are_shown_through_their_case_to_advisors_alone(chats: Chats, at: DeskHouse) -> None:
    """Not through another case, not to a reader, not to nobody, not to the homeowner's own browser."""
    await a_plan(chats)
    await a_plan(chats, PHONE)
    photo = chats.house.store.files.keep(jpeg(), chats.house.clock.now())
    await chats.send(WEB, SentPhoto(photo_id=photo))
    advisor, reader = await at.sits(Role.ADVISOR), await at.sits(Role.READER)
    await advisor.look("/cases/1")
    assert f"/desk/cases/1/photo/{photo}" in advisor.seen

    shown = await advisor.look(f"/cases/1/photo/{photo}")
    assert (shown.status_code, shown.headers["content-type"]) == (200, "image/jpeg")
    assert shown.headers["cache-control"] == "no-store"
    assert (await advisor.look(f"/cases/2/photo/{photo}")).status_code == 404
    assert (await advisor.look("/cases/1/photo/..%2f..%2fsecret.key")).status_code == 404
    assert (await reader.look(f"/cases/1/photo/{photo}")).status_code == 403
    assert (await at.nobody().look(f"/cases/1/photo/{photo}", follow=False)).status_code == 303


async def test_a_page_of_a_case_holds_no_address(chats: Chats, at: DeskHouse) -> None:
    """Of a homeowner who writes by text message."""
    await a_plan(chats, PHONE)
    sitting = await at.sits(Role.ADVISOR)
    await sitting.look("/cases/1")

    assert "5550123" not in sitting.seen
    assert "31522" in sitting.text


async def test_a_case_by_its_number(chats: Chats, at: DeskHouse) -> None:
    """From the inbox; what is no number is told."""
    await a_plan(chats)
    sitting = await at.sits(Role.ADVISOR)
    await sitting.look("/cases/open?case=1")
    assert "Case 1" in sitting.text
    await sitting.look("/cases/open?case=one")
    assert "only figures" in sitting.text
    assert (await sitting.look("/cases/open?case=99")).status_code == 404


async def test_what_is_written_at_night_is_said_to_wait(chats: Chats, at: DeskHouse) -> None:
    """There it is ten at night, and nobody has written for hours."""
    await a_plan(chats)
    sitting = await at.sits(Role.ADVISOR)
    await sitting.look("/cases/1")
    assert "It is night there." not in sitting.text
    chats.house.pass_time(hours=10)
    sitting = await at.sits(Role.ADVISOR)
    await sitting.look("/cases/1")

    assert "It is night there." in sitting.text


# --- lawns -----------------------------------------------------------------------------------------------------------


async def many_homes(chats: Chats, number: int) -> None:
    """Homes of one county, as rows that were worked out from one talk."""
    await a_plan(chats)
    await glanced(chats)
    for of_id in range(2, number + 1):
        await chats.house.change(
            "INSERT INTO homeowner (id, rev, channel, address, created_ms, heard_ms, glanced_rev)"
            " VALUES (?, 0, 'web', ?, 0, 0, 0)",
            of_id,
            f"home {of_id}",
        )
        await chats.house.change(
            "INSERT INTO glance SELECT ?, lawn, latitude_e2, longitude_e2, zip, county, state, zone, language, grass,"
            " cultivar, stage, is_quiet, crown_min_dc, soil_min_dc, alive_percent, heard_ms, hours, unasked_on,"
            " is_held, is_active_lawn FROM glance WHERE homeowner_id = 1",
            of_id,
        )


@pytest.mark.parametrize(("homes", "is_shown"), [(FEWEST_HOMES - 1, False), (FEWEST_HOMES, True)])
async def test_readers_see_squares_and_counties_of_five_homes_or_more(
    chats: Chats, at: DeskHouse, homes: int, is_shown: bool
) -> None:
    """Fewer would point at somebody; how many are left out is told. Advisors see all."""
    await many_homes(chats, homes)
    reader, advisor = await at.sits(Role.READER), await at.sits(Role.ADVISOR)
    await reader.look("/lawns")
    await advisor.look("/lawns")

    assert ("<rect" in reader.seen) == is_shown
    assert ("Glynn, GA" in reader.text) == is_shown
    assert ("left out, where homes are few" in reader.text) != is_shown
    assert f"{homes} lawns" in reader.text
    assert "<rect" in advisor.seen
    assert "Glynn, GA" in advisor.text
    assert "/cases/" not in reader.seen


async def test_the_map_tells_every_square_in_figures(chats: Chats, at: DeskHouse) -> None:
    """The coldest soil and how many lawns, without any colour; the same by county beside it."""
    await many_homes(chats, 6)
    reader = await at.sits(Role.READER)
    await reader.look("/lawns")
    drawn = re.findall(r'<text class="(?:figure|count)"[^>]*>([^<]+)</text>', reader.seen)

    assert drawn[1] == "6 lawns"
    assert re.fullmatch(r"\d+ F", drawn[0])
    assert f"Glynn, GA 6 {drawn[0]}" in reader.text


async def test_an_advisor_goes_from_a_stage_to_its_cases(chats: Chats, at: DeskHouse) -> None:
    """And a stage that is none is not there."""
    await a_plan(chats)
    await glanced(chats)
    advisor = await at.sits(Role.ADVISOR)
    await advisor.look("/lawns")
    await advisor.look("/cases/stage/waiting")
    assert "Case 1" in advisor.text
    await advisor.look("/cases/stage/judged")
    assert "No lawn is there right now." in advisor.text
    assert (await advisor.look("/cases/stage/nothing")).status_code == 404


async def test_what_is_set_for_the_region_is_shown(chats: Chats) -> None:
    """As the file holds it; where nothing is set that is said."""
    facts = RegionalFacts(air_min_f=14, coldest_on=date(2027, 1, 16), last_frost_on=date(2027, 3, 20))
    for known, expected in ((known_of(WORDS, facts), "14 °F"), (KNOWN, "Nothing is set.")):
        async with open_desk(chats.house, WORDS, [LawnRoom(known)]) as opened:
            reader = await opened.sits(Role.READER)
            await reader.look("/lawns")
            assert expected in reader.text


async def test_empty_rooms_say_so(chats: Chats, at: DeskHouse) -> None:
    """A house without a single homeowner."""
    advisor = await at.sits(Role.ADVISOR)
    await advisor.look("/lawns")
    assert "There are no places to show yet." in advisor.text
    await advisor.look("/cases")
    assert "Nobody waits for a person." in advisor.text
