"""Brings the rows operators look at up to date with what homeowners told.

1. A batch is read, worked out in a thread, and written in one short transaction; the loop goes on meanwhile.
2. Rows tell of the revision that was read. Who took a turn meanwhile is out of date still, and comes again.
3. A homeowner who cannot be read gets no rows, and a line in the log; the others are not held up.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Iterator, Sequence

from bot.logs import trace_of
from bot.ops.regions.whereabouts import Geography
from bot.store import glances
from bot.store.glances import OutOfDate, StoredGlance
from bot.store.rows import load_homeowner
from bot.store.store import Store
from bot.talk.case import Homeowner
from bot.talk.followup import zone_of
from bot.talk.glance import Glance, glances_of
from bot.talk.known import Known

log = logging.getLogger(__name__)

BATCH = 100
LOOKED_AT_ONCE = 5000


class Glancing:
    """Works out rows that are out of date."""

    def __init__(self, store: Store, known: Known, geography: Geography) -> None:
        self._store = store
        self._known = known
        self._geography = geography
        self._is_busy = asyncio.Lock()  # the ticker and an operator's preview may both want it

    async def run(self, at_most: int = BATCH) -> int:
        """Bring at most so many homeowners up to date; how many there were. 0: nothing was out of date."""
        done = 0
        async with self._is_busy:
            while done < at_most:
                count = await self._batch(min(BATCH, at_most - done))
                done += count
                if count < BATCH:
                    break
        return done

    async def run_all(self) -> int:
        """Bring everybody up to date who is not at this moment; how many there were."""
        async with self._store.database.read() as tx:
            return await self.run(await glances.count_out_of_date(tx))

    async def run_for(self, seconds: float) -> int:
        """Bring up to date whom it can in so long; how many are left who are not."""
        loop = asyncio.get_running_loop()
        until = loop.time() + seconds
        while loop.time() < until and await self.run(BATCH) == BATCH:
            pass
        async with self._store.database.read() as tx:
            return await glances.count_out_of_date(tx)

    async def look_again(self) -> None:
        """Have everybody's rows worked out anew by the next runs: what is known beside the answers has changed."""
        after_id: int | None = 0
        while after_id is not None:
            async with self._store.database.write() as tx:
                after_id = await glances.look_again(tx, after_id, LOOKED_AT_ONCE)

    async def _batch(self, at_most: int) -> int:
        async with self._store.database.read() as tx:
            people = await glances.out_of_date(tx, at_most)
        if people:
            rows = await asyncio.to_thread(self._work_out, people)
            async with self._store.database.write() as tx:
                await glances.replace_of(tx, [(person.id, person.rev) for person in people], rows)
        return len(people)

    def _work_out(self, people: Sequence[OutOfDate]) -> list[StoredGlance]:
        return [row for person in people for row in self._rows_of(person)]

    def _rows_of(self, person: OutOfDate) -> Iterator[StoredGlance]:
        if person.doc is None:
            return
        try:
            homeowner = load_homeowner(person.doc, self._store.upgrade)
            seen = glances_of(homeowner, self._known)
        except Exception as error:  # noqa: BLE001 - one who cannot be read must not hold up the others
            log.error("The lawns of homeowner %d cannot be looked at.\n%s", person.id, trace_of(error))
            return
        for glance in seen:
            yield self._row(person, glance, homeowner)

    def _row(self, person: OutOfDate, glance: Glance, homeowner: Homeowner) -> StoredGlance:
        where = self._geography.of(glance)
        return StoredGlance(
            homeowner_id=person.id,
            lawn=glance.lawn,
            latitude_e2=_in_parts(where.latitude, 100),
            longitude_e2=_in_parts(where.longitude, 100),
            zip=where.zip_code or None,
            county=where.county or None,
            state=where.state or None,
            zone=glance.zone,
            language=glance.language,
            grass=glance.grass,
            cultivar=glance.cultivar,
            stage=glance.stage.value,
            is_quiet=int(glance.is_quiet),
            crown_min_dc=_in_parts(glance.crown_min_c, 10),
            soil_min_dc=_in_parts(glance.soil_min_c, 10),
            alive_percent=_in_parts(glance.alive_fraction, 100),
            heard_ms=person.heard_ms,
            hours=f"{zone_of(homeowner)} {homeowner.first_hour} {homeowner.last_hour}",
            unasked_on=None if homeowner.last_unasked_on is None else homeowner.last_unasked_on.isoformat(),
            is_held=int(bool(homeowner.held_by)),
            is_active_lawn=int(glance.lawn == homeowner.active_lawn),
        )


def _in_parts(value: float | None, parts: int) -> int | None:
    """A value as a whole number of its tenths or hundredths."""
    return None if value is None else round(value * parts)
