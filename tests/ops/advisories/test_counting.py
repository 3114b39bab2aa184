from __future__ import annotations

import random
import sqlite3
from collections import Counter
from contextlib import closing
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from alembic import command

from bot.arrivals import Consent
from bot.ops.advisories import counting
from bot.ops.advisories.advisory import NewAdvisory
from bot.ops.advisories.counting import Counted, Question, count
from bot.ops.advisories.deciding import Address, Rules, decide, manner_of
from bot.ops.advisories.filling import known_figures, placeholders_in
from bot.ops.regions.audience import Audience
from bot.store import migrate, sends
from bot.store.rows import dump_homeowner, load_homeowner
from bot.store.store import DATABASE_FILE
from bot.talk.case import Homeowner, Standing
from bot.talk.followup import zone_of
from tests.ops.advisories.town import NOON, TALK, Town, lawn

WORDS = ("Wait.", "Soil fell to {coldest_soil}. Wait.", "Your {grass} is {alive} alive.", "Near {place}.")
EAST, CENTRAL = ("St. Augustine", "31522"), ("bermuda", "70801")


async def random_people(town: Town, chance: random.Random, people: int) -> None:
    """People of every kind: some with two lawns in two zones, some nobody can reach, some of whom little is known."""
    for number in range(people):
        channel = chance.choice(["web", "telegram", "sms", "terminal"])
        await town.people(1, channel, somebody(chance))
        address = f"{channel} {number}"
        if chance.random() < 0.3:
            await town.consents(channel, address, chance.choice(list(Consent)))
        if chance.random() < 0.1:
            await town.house.change("INSERT INTO reach (channel, address, unreachable_ms) VALUES (?, ?, 1)"
                              " ON CONFLICT DO UPDATE SET unreachable_ms = 1", channel, address)  # fmt: skip
    await town.nobody_knows()


def somebody(chance: random.Random, like: Homeowner | None = None) -> Homeowner:
    """One of them; with the lawns of another, if there is one."""
    first, second = lawn(*chance.choice([EAST, CENTRAL])), lawn(*chance.choice([EAST, CENTRAL]))
    lawns = (first.lawns[0], replace(second.lawns[0], number=2)) if chance.random() < 0.3 else first.lawns
    lawns = lawns if like is None else like.lawns
    return replace(
        first,
        lawns=lawns,
        active_lawn=chance.choice([each.number for each in lawns]),
        standing=chance.choice([Standing.ACTIVE] * 4 + [Standing.STOPPED]),
        first_hour=chance.choice([7, 9, 12]),
        last_hour=chance.choice([13, 20]),
        held_by=chance.choice(["", "", "", "Ann"]),
        last_unasked_on=chance.choice([None, None, date(2027, 2, 1), date(2027, 2, 2), date(2027, 2, 3)]),
    )


async def one_by_one(town: Town, ids: list[int], question: Question) -> tuple[Counter[str], Counter[str]]:
    """What sending would do with each of them, by their documents; and for how many each figure is missing."""
    told, missing = Counter[str](), Counter[str]()
    async with town.house.store.database.read() as tx:
        standings = await sends.standings(tx, ids)
        lawns = await sends.figures_of(tx, ids)
    told["gone"] = len(ids) - len(standings)
    for each in standings:
        if each.doc is None:
            told["gone"] += 1
            continue
        homeowner, seen = load_homeowner(each.doc, town.house.store.upgrade), lawns.get(each.homeowner_id, [])
        address = Address(channel=each.channel, consent=each.consent, is_unreachable=bool(each.is_unreachable))
        found = decide(manner_of(homeowner, zone_of(homeowner)), address, question.rules, question.now)
        is_reached = found.why is None or found.until is not None
        if is_reached and not town.filler.fill(question.content, homeowner, seen, is_short=each.channel == "sms"):
            told["no figures"] += 1
        elif is_reached:
            told[f"{each.channel} {found.why or 'now'}"] += 1
            known = known_figures(question.content, homeowner.active_lawn, seen)
            missing.update(name for name in placeholders_in(question.content.words) if name not in known)
        else:
            told[str(found.why)] += 1
    return +told, missing


def as_told(counted: Counted) -> Counter[str]:
    """The sums both ways of counting share."""
    told = Counter({f"{channel} now": count for channel, count in counted.now.items()})
    told.update({str(why): count for why, count in counted.left_out.items()})
    told.update({f"later {why}": count for why, count in counted.later.items()})
    return +told


def merged(told: Counter[str]) -> Counter[str]:
    """As a count tells it: of those who get it later only the reason."""
    found = Counter[str]()
    for name, people in told.items():
        channel, _, why = name.partition(" ")
        is_later = channel in ("web", "telegram", "sms") and why != "now"
        found[f"later {why}" if is_later else name] += people
    return found


@pytest.mark.parametrize("seed", range(5))
async def test_counting_many_at_once_is_deciding_on_each(
    town: Town, seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever they are, at any hour, looked at before or not: the quick count is what sending would do with each."""
    chance = random.Random(seed)
    await random_people(town, chance, 60)
    if seed % 2:
        monkeypatch.setattr("bot.store.stances.FEW", 10)  # everybody between the first and the last is read
    await town.recipients.of(NewAdvisory(name="", words=""))
    for of_id in range(1, 61):
        if chance.random() < 0.1:  # a turn nobody looked at yet
            doc = town.house.value("SELECT doc FROM homeowner WHERE id = ?", of_id)
            doc = dump_homeowner(somebody(chance, load_homeowner(doc, town.house.store.upgrade)))
            await town.house.change("UPDATE homeowner SET doc = ?, rev = rev + 1 WHERE id = ?", doc, of_id)
        elif chance.random() < 0.5:
            column = chance.choice(["soil_min_dc", "alive_percent", "grass", "hours"])
            lawns = "1, 2" if column == "hours" else chance.choice(["1", "2", "1, 2"])  # all hours are their owner's
            await town.house.change(
                f"UPDATE glance SET {column} = NULL WHERE homeowner_id = ? AND lawn IN ({lawns})", of_id
            )
    for _ in range(6):
        now = NOON + timedelta(minutes=chance.randrange(0, 1440))
        question = random_question(chance, town, now)
        ids = await town.recipients.as_seen(question.content)
        chosen = ids[:: chance.choice([1, 1, 2])]
        counted = await count(town.house.store, TALK, question, chosen)
        told, missing = await one_by_one(town, chosen.tolist(), question)

        assert counted.adds_up
        assert counted.selected == len(chosen)
        assert as_told(counted) == merged(told)
        assert counted.missing == missing
        assert {channel: sum(hours.values()) for channel, hours in counted.hours.items()} == {
            channel: len(people) for channel, people in counted.by_channel.items()
        }


def random_question(chance: random.Random, town: Town, now: datetime) -> Question:
    """One about an advisory of any kind."""
    grasses = frozenset(chance.choice([(), (), ("bermuda",), ("st_augustine",)]))
    content = NewAdvisory(
        name="", words=chance.choice(WORDS), audience=Audience(grasses=grasses), is_pressing=chance.random() < 0.3
    )
    until = now + timedelta(hours=chance.choice([1, 12, 100]))
    rules = Rules(terms=town.terms, is_pressing=content.is_pressing, useful_until=until)
    return Question(content=content, rules=rules, now=now)


async def test_a_preview_tells_how_many_it_shows_an_older_picture_of(
    town: Town, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It does not wait until everybody was looked at; whom it counts by their documents is counted as they are now."""
    ids = await town.people(4)
    number = await town.draft("Wait.")
    await town.preview(number)
    quiet = dump_homeowner(replace(lawn(), standing=Standing.STOPPED))
    await town.house.change("UPDATE homeowner SET doc = ?, rev = rev + 1 WHERE id <> ?", quiet, ids[0])
    monkeypatch.setattr("bot.ops.advisories.recipients.CATCHING_UP_SECONDS", 0.0)

    exact = await town.preview(number)
    monkeypatch.setattr(counting, "DOCUMENTS_AT_MOST", 2)
    older = await town.preview(number)
    monkeypatch.setattr("bot.ops.advisories.recipients.CATCHING_UP_SECONDS", 5.0)
    later = await town.preview(number)

    assert (exact.behind, exact.counted.reached, dict(exact.counted.left_out)) == (3, 1, {"quiet": 3})
    assert (older.behind, older.counted.reached) == (3, 4)
    assert (later.behind, later.counted.reached) == (0, 1)


def test_an_upgrade_fills_in_what_decides(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """From the documents there are; where those do not settle it, it stays open and the document is asked."""
    url, file = f"sqlite:///{tmp_path / DATABASE_FILE}", tmp_path / DATABASE_FILE
    upgrade = command.upgrade
    with monkeypatch.context() as before:
        before.setattr(command, "upgrade", lambda config, _: upgrade(config, "0004"))
        migrate.bring_up_to_date(url)
    held = replace(lawn(), first_hour=8, held_by="Ann", last_unasked_on=date(2027, 2, 1))
    people = [(dump_homeowner(lawn()), ("A",)), (dump_homeowner(held), ("A",)), (dump_homeowner(lawn()), ("A", "B"))]
    with closing(sqlite3.connect(file)) as connection, connection:
        for number, (doc, zones) in enumerate([*people, ("{", ("A",))], start=1):
            connection.execute(
                "INSERT INTO homeowner (id, doc, rev, channel, address, created_ms, heard_ms)"
                " VALUES (?, ?, 1, 'web', ?, 0, 0)", (number, doc, str(number)))  # fmt: skip
            connection.executemany(
                "INSERT INTO glance (homeowner_id, lawn, zone, language, stage, is_quiet, heard_ms)"
                " VALUES (?, ?, ?, 'en', 'waiting', 0, 0)",
                [(number, each, zone) for each, zone in enumerate(zones, start=1)],
            )
    migrate.bring_up_to_date(url)

    with closing(sqlite3.connect(file)) as connection:
        columns = "homeowner_id, hours, unasked_on, is_held, is_active_lawn"
        rows = connection.execute(f"SELECT {columns} FROM glance ORDER BY homeowner_id, lawn").fetchall()
    assert rows == [
        (1, "A 9 20", None, 0, 1),
        (2, "A 8 20", "2027-02-01", 1, 1),
        (3, None, None, 0, 1),
        (3, None, None, 0, 0),
        (4, None, None, None, None),
    ]
