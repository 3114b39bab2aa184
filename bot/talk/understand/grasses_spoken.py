"""Which grass is meant: species, cultivars by name or nickname, spelling slips, and what the plan is not made for.

The cultivars are those of `rules.facts.grasses`; here are only the other names people give them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from rapidfuzz import fuzz, process

from bot.talk.understand.plain_words import Unclear, plain
from rules.facts.grasses import CULTIVARS

GRASS_LIKE_ENOUGH, CULTIVAR_LIKE_ENOUGH = 80.0, 86.0  # of 100
GRASS_BESIDE_OTHERS = 90.0  # where something else was heard too ("weeds"), a slip must be smaller
SHORTEST_FUZZY, LONGEST_FUZZY = 5, 30
LEAD = 5.0  # by how much the best must beat the best of another meaning
MOST_WORDS, MOST_WORDS_FUZZY, LONGEST_NAME_WORDS = 80, 12, 4

_GRASS_NAMES: Mapping[str, tuple[str, ...]] = {
    "st_augustine": ("st augustine", "saint augustine", "san augustine", "augustine", "st aug", "st augustines",
                     "charleston grass", "staug"),
    "bermuda": ("bermuda", "burmuda", "hybrid bermuda"),
    "zoysia": ("zoysia", "soysia", "zoy"),
    "centipede": ("centipede",),
    "bahia": ("bahia", "bahaia", "bahiya"),
    "buffalo": ("buffalo",),
    "seashore_paspalum": ("seashore paspalum", "paspalum", "seashore"),
    "carpetgrass": ("carpetgrass", "carpet grass", "carpet", "common carpetgrass"),
}  # fmt: skip
_CULTIVAR_NICKNAMES: Mapping[str, tuple[str, ...]] = {
    "fx_332": ("fx332",),
    "citrablue": ("citra blue",),
    "tamstar": ("tam star",),
    "common_bermuda": ("common bermuda", "arizona common", "arizona common bermuda"),
    "princess": ("princess 77",),
    "u_3": ("u3",),
    "tifway": ("tifway 419", "419", "tif 419", "bermuda 419", "419 bermuda"),
    "tiftuf": ("tif tuff", "tuf tuf", "tiftuff"),
    "tifgreen": ("tifgreen 328", "tif 328"),
    "latitude_36": ("latitude",),
    "tahoma_31": ("tahoma",),
    "northbridge": ("north bridge",),
    "ultradwarf": ("ultradwarf", "ultra dwarf"),
    "miniverde": ("mini verde",),
    "meyer": ("meyers", "z52", "z 52"),
    "korean_common": ("korean common", "common zoysia", "korean lawngrass"),
    "empire": ("empire zoysia",),
    "ultimate": ("ultimate zoysia",),
    "tifblair": ("tif blair",),
    "609": ("buffalo 609",),
    "91_118": ("91118",),
    "ucr_95": ("ucr95",),
}
# Cultivars whose names are everyday words or towns: they count beside their grass, or where little else is said
_EVERYDAY = frozenset(
    "baby champion princess patriot mirage jackpot celebration diamond emerald empire ultimate pristine crowne zenith "
    "palisades cavalier raleigh mercedes pensacola argentine seville yukon riviera latitude_36 609 palmetto stampede "
    "captiva".split()
)
_FEW_WORDS = 4

_NOT_ALONE: Mapping[str, tuple[str, ...]] = {
    "cool_season": ("fescue", "tall fescue", "fine fescue", "bluegrass", "kentucky bluegrass", "kbg", "bentgrass",
                    "bent grass", "poa annua", "cool season", "perennial rye"),
    "rye": ("rye", "ryegrass", "rye grass", "winter rye", "annual rye"),
    "mixed": ("mixed", "mix", "mixture", "a bit of everything", "all kinds", "blend", "several kinds",
              "different kinds", "little of everything"),
    "not_grass": ("weeds", "weed", "clover", "moss", "artificial turf", "artificial grass", "artificial", "fake grass",
                  "synthetic turf", "synthetic", "plastic grass", "astro turf", "turf carpet", "dirt", "mulch",
                  "gravel", "ground cover", "no grass", "sedge", "crabgrass"),
}  # fmt: skip
_OVERSEEDED = re.compile(r"\bover ?seed\w*|\bwinter rye\b|\brye (?:on top|over|in (?:the )?winter)")
_NOT = re.compile(
    r"\b(?:not|isn'?t|no|aren'?t|don'?t think|doesn'?t look like|never)(?: (?:it'?s|its|it|is|a|the|sure if|like|"
    r"any))*$"
)
_GRASS_WORD = "grass"
_IN_DOUBT = re.compile(r"\bor\b|/|\b(?:maybe|perhaps|possibly|either|(?:could|might|may) be|not sure|unsure|vs)\b|\?$")
_IN_PARTS = re.compile(
    r"\b(?:front|back|(?:front|back) ?yard|sides?|north|south|east|west|rest of|shade|shady|sunny|in the sun|under|"
    r"along|"
    r"by the|near the|around the)\b"
)
_UNSURE = re.compile(
    r"\b(?:not (?:really |quite )?sure|unsure|(?:don'?t|do not) know|can'?t tell|cannot tell|idk)"
    r"(?: (?:if|whether|that|it'?s|its|it is)){0,2}\b"
)
_MIXED_OR_OVERSEEDED = re.compile(r"\bmix(?:ed|ture)?\b|\bblend\b|\bover ?seed\w*")
_MOST_SIDES = 4  # of "X or Y or Z"


@dataclass(frozen=True, slots=True, kw_only=True)
class GrassHeard:
    """What grass was heard: codes of `rules.facts.grasses`, None where nothing (or nothing certain) was said.

    `out_of_scope` is cool_season, rye_overseeded, mixed or not_grass: no plan is made for that. `unclear` is set where
    two were named and neither was chosen ("bermuda or zoysia"; one in front and one in back): then all else is None.
    `score` is how sure the reading is, 0 to 100.
    """

    grass: str | None = None
    cultivar: str | None = None
    out_of_scope: str | None = None
    unclear: Unclear | None = None
    score: float = 0.0


_TWO_NEAR = GrassHeard(unclear=Unclear("two_near"))


@dataclass(frozen=True, slots=True)
class _Name:
    """One spoken name: what kind of thing it names, its code, and for a cultivar its grass."""

    kind: str
    code: str
    grass: str = ""


def _joined(words: str) -> str:
    return re.sub(r"[\W_]+", "", plain(words))


def _all_names() -> dict[str, _Name]:
    names: dict[str, _Name] = {}
    for code, spoken in _NOT_ALONE.items():
        names |= {_joined(phrase): _Name("out", code) for phrase in spoken}
    for cultivar in CULTIVARS:
        words = (cultivar.name, cultivar.code, *_CULTIVAR_NICKNAMES.get(cultivar.code, ()))
        for key in {_joined(name) for name in words}:
            name = _Name("cultivar", cultivar.code, cultivar.grass.value)
            names |= {key: name, key + cultivar.grass.value.replace("_", ""): name}
    for code, spoken in _GRASS_NAMES.items():
        for phrase in spoken:
            names |= {_joined(phrase): _Name("grass", code), _joined(phrase) + _GRASS_WORD: _Name("grass", code)}
    return names


SPOKEN_NAMES: Mapping[str, _Name] = MappingProxyType(_all_names())
_FUZZY_KEYS = tuple(key for key in SPOKEN_NAMES if len(key) >= SHORTEST_FUZZY and not key.isdigit())
SPOKEN_CULTIVARS = frozenset(name.code for name in SPOKEN_NAMES.values() if name.kind == "cultivar")


def grass(text: str) -> GrassHeard:
    """The grass and cultivar named, or why no plan can be made for it. Of two to choose from none is taken."""
    said = plain(text)
    return _TWO_NEAR if _are_two_sides(said) else _heard(said)


def _are_two_sides(said: str) -> bool:
    """Whether the sides of an "or" name different grasses, each read by itself, so that a slip hides none of them."""
    sides = re.split(r"\bor\b", _UNSURE.sub(" ", said))[:_MOST_SIDES]
    if len(sides) < 2 or _MIXED_OR_OVERSEEDED.search(said):
        return False
    meant = [heard.grass or heard.out_of_scope for heard in map(_heard, sides)]
    return len({code for code in meant if code and code != "not_grass"}) > 1


def _heard(said: str) -> GrassHeard:
    words = re.findall(r"[^\W_]+(?:'[^\W_]+)?", said)[:MOST_WORDS]
    if not words:
        return GrassHeard()
    hits = _exact_hits(words)
    score = 100.0
    if not any(name.kind in ("grass", "cultivar") for name in hits) and len(words) <= MOST_WORDS_FUZZY:
        near = _nearest(words)
        if near and (not hits or near[1] >= GRASS_BESIDE_OTHERS):
            hits, score = [*hits, near[0]], near[1]
    return _weighed(said, words, hits, score)


def _exact_hits(words: list[str]) -> list[_Name]:
    """Names in the text, longest first where they overlap, without those after a "not"."""
    hits: list[_Name] = []
    position = 0
    while position < len(words):
        name, length = _name_at(words, position)
        if name and not _is_denied(words, position):
            hits.append(name)
        position += length
    return hits


def _name_at(words: list[str], position: int) -> tuple[_Name | None, int]:
    """The longest name that begins at a word, and how many words it takes."""
    for length in range(min(LONGEST_NAME_WORDS, len(words) - position), 0, -1):
        name = SPOKEN_NAMES.get("".join(words[position : position + length]))
        if name:
            return name, length
    return None, 1


def _is_denied(words: list[str], position: int) -> bool:
    return bool(_NOT.search(" ".join(words[max(position - 5, 0) : position])))


def _nearest(words: list[str]) -> tuple[_Name, float] | None:
    """The one name that some of the words nearly spell, with its score; None if none or two are near."""
    best: dict[_Name, float] = {}
    for piece in _pieces(words):
        for key, score, _ in process.extract(piece, _FUZZY_KEYS, scorer=fuzz.ratio, score_cutoff=GRASS_LIKE_ENOUGH):
            name = SPOKEN_NAMES[key]
            enough = GRASS_LIKE_ENOUGH if name.kind == "grass" else CULTIVAR_LIKE_ENOUGH
            if key[0] == piece[0] and score >= enough:
                best[name] = max(score, best.get(name, 0.0))
    if not best:
        return None
    first = max(best, key=lambda name: best[name])
    rivals = [score for name, score in best.items() if (name.grass or name.code) != (first.grass or first.code)]
    return None if rivals and best[first] - max(rivals) < LEAD else (first, best[first])


def _pieces(words: list[str]) -> Iterator[str]:
    """Up to four words run together, from every word that is not denied."""
    for start in range(len(words)):
        if _is_denied(words, start):
            continue
        for length in range(1, min(LONGEST_NAME_WORDS, len(words) - start) + 1):
            piece = "".join(words[start : start + length])
            if SHORTEST_FUZZY <= len(piece) <= LONGEST_FUZZY:
                yield piece


def _weighed(said: str, words: list[str], names: list[_Name], score: float) -> GrassHeard:
    """One reading from all names heard."""
    grasses = list(dict.fromkeys(name.code for name in names if name.kind == "grass"))
    cultivars = [name for name in names if name.kind == "cultivar" and _counts(name, grasses, words)]
    if not grasses:
        grasses = list(dict.fromkeys(name.grass for name in cultivars))
    outside = {name.code for name in names if name.kind == "out"}
    scope = _out_of_scope(said, grasses, outside)
    if len(grasses) > 1 and scope is None:
        return _TWO_NEAR
    if not grasses:
        return GrassHeard(out_of_scope=scope, score=score if scope else 0.0)
    own = list(dict.fromkeys(name.code for name in cultivars if name.grass == grasses[0]))
    return GrassHeard(
        grass=grasses[0] if len(grasses) == 1 else None,
        cultivar=own[0] if len(own) == 1 and len(grasses) == 1 else None,
        out_of_scope=scope,
        score=score,
    )


def _counts(cultivar: _Name, grasses: list[str], words: list[str]) -> bool:
    return cultivar.grass in grasses or (not grasses and (cultivar.code not in _EVERYDAY or len(words) <= _FEW_WORDS))


def _out_of_scope(said: str, grasses: list[str], outside: set[str]) -> str | None:
    """Why no plan can be made, if so. Weeds in a named grass are no reason."""
    if _OVERSEEDED.search(said) or ("rye" in outside and grasses):
        return "rye_overseeded"
    if "mixed" in outside or ("cool_season" in outside and len(grasses) == 1):
        return "mixed"
    if len(grasses) > 1:
        return None if _IN_DOUBT.search(said) or _IN_PARTS.search(said) else "mixed"
    if outside & {"cool_season", "rye"}:
        return "cool_season"
    return "not_grass" if "not_grass" in outside and not grasses else None
