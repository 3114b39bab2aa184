"""What was said of regions, as the conversation looks it up by place: which of it counts there, and the book of it.

1. Where several things hold at a place, the lowest rank counts: the smallest region's, and so on as each kind says.
2. In a place that is not known, only what holds everywhere counts.
3. The database is looked at now and then (`refresh`): a command beside the service may change it.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Generic, Protocol, TypeVar

from bot.store import regions
from bot.store.database import Database, Transaction
from bot.talk.case import Place

if TYPE_CHECKING:
    from bot.ops.regions.shapes import Shape

NearestZip = Callable[[float, float], str | None]
ANSWERS_KEPT = 10_000


class Ranked(Protocol):
    """Something said of an area; `shape` None: of everywhere. The lower its rank, the sooner it counts."""

    @property
    def shape(self) -> Shape | None:
        """Where it holds."""
        ...

    @property
    def rank(self) -> tuple[float, ...]:
        """Its place among others that hold at the same place."""
        ...


Held = TypeVar("Held")
Said = TypeVar("Said", bound=Ranked)
Asked = TypeVar("Asked", bound=Hashable)
Answer = TypeVar("Answer")


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """An area by its region's name. `shape` None: everywhere."""

    region: str
    shape: Shape | None
    area_km2: float


EVERYWHERE = Ground(region="", shape=None, area_km2=float("inf"))


def ground_of(region: tuple[str, str]) -> Ground:
    """The area of a region: its name and its drawing. Raises `ShapeRefused`."""
    from bot.ops.regions.ground import area_km2  # drawing and its library: only where somebody drew
    from bot.ops.regions.shapes import shape_from

    name, drawing = region
    shape = shape_from(drawing)
    return Ground(region=name, shape=shape, area_km2=area_km2(shape))


async def regions_now(tx: Transaction) -> Mapping[int, tuple[str, str]]:
    """Name and drawing of each region that has not ended, by its id."""
    return {each.id: (each.name, each.shape) for each in await regions.everything(tx) if each.ended_ms is None}


def counting_at(said: Iterable[Said], place: Place | None, nearest_zip: NearestZip) -> Said | None:
    """What counts at a place of all that was said; None where nothing holds."""
    here = [each for each in said if lies_in(place, each.shape, nearest_zip)]
    return min(here, key=lambda each: each.rank, default=None)


def lies_in(place: Place | None, shape: Shape | None, nearest_zip: NearestZip) -> bool:
    """Whether a lawn lies in an area; everywhere (None) does every lawn, also one whose place is not known."""
    if shape is None or place is None:
        return shape is None
    from bot.ops.regions.counties import county_code
    from bot.ops.regions.selecting import holds
    from bot.ops.regions.whereabouts import Whereabouts

    where = Whereabouts(
        latitude=None if place.is_rough else place.latitude,
        longitude=None if place.is_rough else place.longitude,
        state=place.state,
        county=county_code(place.state, place.county) or "",
        zip_code=place.zip_code or ("" if place.is_rough else nearest_zip(place.latitude, place.longitude) or ""),
    )
    return holds(shape, where)


class PlaceBook(Generic[Held, Asked, Answer]):
    """What counts now, with the answers given lately. Empty until the first `refresh`.

    `read` takes it from the record; `find` answers what is asked from it.
    """

    def __init__(
        self,
        read: Callable[[Transaction], Awaitable[tuple[Held, ...]]],
        find: Callable[[Sequence[Held], Asked], Answer],
    ) -> None:
        self._read = read
        self._find = find
        self._held: tuple[Held, ...] = ()
        self._answers: dict[Asked, Answer] = {}

    async def refresh(self, database: Database) -> bool:
        """Look what counts now; whether that changed."""
        async with database.read() as tx:
            now = await self._read(tx)
        if now == self._held:
            return False
        self._held, self._answers = now, {}
        return True

    def answer(self, asked: Asked) -> Answer | None:
        """What counts for what is asked; None where nothing was ever said. May be asked from any thread."""
        answers, held = self._answers, self._held
        if not held:
            return None
        if asked in answers:
            return answers[asked]
        found = self._find(held, asked)
        if len(answers) < ANSWERS_KEPT:
            answers[asked] = found
        return found


class Book(Protocol):
    """A book that can look what counts now."""

    async def refresh(self, database: Database) -> bool:
        """Look; whether that changed."""
        ...


class KeepingUp:
    """What a running service does about such books every minute."""

    def __init__(self, books: Sequence[Book], database: Database, changed: Callable[[], Awaitable[None]]) -> None:
        self._books = books
        self._database = database
        self._changed = changed
        self._has_looked = False

    async def run(self) -> None:
        """Look what counts; where that changed since the last look, have what rests on it worked out anew.

        Whoever said something while no service ran has seen to that already.
        """
        news = [await book.refresh(self._database) for book in self._books]
        is_first, self._has_looked = not self._has_looked, True
        if any(news) and not is_first:
            await self._changed()
