"""How people write places: names brought to one spelling, states split off, coordinates read."""

from __future__ import annotations

import re
import unicodedata

STATE_NAMES = {
    "AL": "alabama", "AK": "alaska", "AZ": "arizona", "AR": "arkansas", "CA": "california", "CO": "colorado",
    "CT": "connecticut", "DE": "delaware", "DC": "district of columbia", "FL": "florida", "GA": "georgia",
    "HI": "hawaii", "ID": "idaho", "IL": "illinois", "IN": "indiana", "IA": "iowa", "KS": "kansas",
    "KY": "kentucky", "LA": "louisiana", "ME": "maine", "MD": "maryland", "MA": "massachusetts", "MI": "michigan",
    "MN": "minnesota", "MS": "mississippi", "MO": "missouri", "MT": "montana", "NE": "nebraska", "NV": "nevada",
    "NH": "new hampshire", "NJ": "new jersey", "NM": "new mexico", "NY": "new york", "NC": "north carolina",
    "ND": "north dakota", "OH": "ohio", "OK": "oklahoma", "OR": "oregon", "PA": "pennsylvania",
    "RI": "rhode island", "SC": "south carolina", "SD": "south dakota", "TN": "tennessee", "TX": "texas",
    "UT": "utah", "VT": "vermont", "VA": "virginia", "WA": "washington", "WV": "west virginia",
    "WI": "wisconsin", "WY": "wyoming", "PR": "puerto rico", "VI": "virgin islands", "GU": "guam",
    "AS": "american samoa", "MP": "northern mariana islands", "FM": "micronesia", "MH": "marshall islands",
    "PW": "palau",
}  # fmt: skip

_OTHER_STATE_WORDS = {
    "ala": "AL", "ariz": "AZ", "ark": "AR", "calif": "CA", "cali": "CA", "colo": "CO", "conn": "CT", "del": "DE",
    "d c": "DC", "fla": "FL", "g a": "GA", "ill": "IL", "kan": "KS", "kans": "KS", "l a": "LA", "mich": "MI",
    "minn": "MN", "miss": "MS", "n c": "NC", "n carolina": "NC", "no carolina": "NC", "n d": "ND", "n h": "NH",
    "n j": "NJ", "n m": "NM", "n mex": "NM", "n y": "NY", "nev": "NV", "okla": "OK", "ore": "OR", "penn": "PA",
    "p r": "PR", "r i": "RI", "s c": "SC", "s carolina": "SC", "so carolina": "SC", "s d": "SD", "tenn": "TN",
    "tex": "TX", "u s virgin islands": "VI", "us virgin islands": "VI", "wash": "WA", "wisc": "WI",
    "w va": "WV", "w virginia": "WV",
}  # fmt: skip

STATE_OF_WORDS = {name: code for code, name in STATE_NAMES.items()} | _OTHER_STATE_WORDS
STATE_OF_WORDS |= {code.lower(): code for code in STATE_NAMES}

# The short forms of the postal lists and of everyday writing, brought to the long one on both sides
_LONG_FORMS = {
    "st": "saint", "ste": "sainte", "ft": "fort", "mt": "mount", "mtn": "mountain", "n": "north", "s": "south",
    "so": "south", "no": "north", "e": "east", "w": "west", "spgs": "springs", "spg": "spring", "is": "island",
    "bch": "beach", "hts": "heights", "hgts": "heights", "hls": "hills", "jct": "junction", "lk": "lake",
    "pt": "point", "vlg": "village", "vly": "valley", "cty": "city", "ctr": "center", "centre": "center",
    "gdns": "gardens", "fls": "falls", "pk": "park", "hbr": "harbor", "harbour": "harbor", "crk": "creek",
    "cr": "creek", "twp": "township", "afb": "air force base", "univ": "university", "is.": "island",
}  # fmt: skip

_LEADING_FILLERS = frozenset(
    "a about am an around at be by city close from here here's hi home house i i'm im in it it's its just lawn live "
    "lives living location located lot my near nearby of on our outside place property right the there to town "
    "town's we we're were yard zip code is county".split()
)
_COUNTRY_ENDINGS = (("united", "states", "of", "america"), ("united", "states"), ("u", "s", "a"), ("usa",), ("us",))

_ANGLE = (
    r"(?P<first{0}>[nsew])?\s*(?P<degrees{0}>[+-]?\d{{1,3}}(?:\.\d{{1,12}})?)\s*(?:°|degrees\b|deg\b)?\s*"
    r"(?:(?P<minutes{0}>\d{{1,2}}(?:\.\d{{1,12}})?)\s*'\s*)?"
    r"(?:(?P<seconds{0}>\d{{1,2}}(?:\.\d{{1,12}})?)\s*(?:\"|'')\s*)?"
    r"(?P<last{0}>north|south|east|west|[nsew])?"
)
_TWO_ANGLES = re.compile(_ANGLE.format("_a") + r"[\s,;/]+" + _ANGLE.format("_b"))
_PAIR_IN_TEXT = re.compile(r"(?<![\d.])(-?\d{1,2}\.\d{2,12})\s*,\s*(-?\d{1,3}\.\d{2,12})(?![\d.])")
_ZIP = re.compile(r"(?<![\w.-])(\d{5})(?:-\d{4})?(?![\w-])", re.ASCII)
_LOOKS_LIKE_ANGLE = re.compile(r"[.°]|\d\s*[nsew]\b|\b[nsew]\s*\d")


def plain_text(text: str) -> str:
    """Lower case, one kind of quote, dash and space, no accents, nothing invisible."""
    if text.isascii() and text.isprintable():
        return re.sub(r" +", " ", text.lower()).strip()
    for odd, usual in (("º", "°"), ("˚", "°"), ("″", '"'), ("′", "'"), ("“", '"'), ("”", '"'), ("’", "'")):
        text = text.replace(odd, usual)
    decomposed = unicodedata.normalize("NFKD", text).casefold()
    kept = (" " if char.isspace() else char for char in decomposed if _is_visible(char))
    return re.sub(r" +", " ", "".join(kept).translate(_DASHES)).strip()


_DASHES = str.maketrans(dict.fromkeys("‐‑‒–—−", "-"))


def _is_visible(char: str) -> bool:
    return char.isspace() or unicodedata.category(char) not in {"Cc", "Cf", "Cs", "Co", "Cn", "Mn"}


def tokens_of(text: str) -> list[str]:
    """The words of a plain text; apostrophes and dots inside a word vanish ("st. mary's" -> st, marys)."""
    return re.findall(r"[^\W_]+", text.replace("'", "").replace("&", " and "))


def town_key(name: str) -> str:
    """The one spelling under which a town or county name is filed and looked up."""
    return key_of(tokens_of(plain_text(name)))


def key_of(tokens: list[str]) -> str:
    """The same, from words already split."""
    return " ".join(_LONG_FORMS.get(token, token) for token in tokens)


def split_state(tokens: list[str]) -> tuple[list[str], str | None]:
    """Words before the state, and the state's two letters if the words end in one."""
    tokens = _without_country(tokens)
    for length in (4, 3, 2, 1):
        if len(tokens) >= length and (state := STATE_OF_WORDS.get(" ".join(tokens[-length:]))):
            return tokens[:-length], state
    return tokens, None


def _without_country(tokens: list[str]) -> list[str]:
    for ending in _COUNTRY_ENDINGS:
        if len(tokens) > len(ending) and tuple(tokens[-len(ending) :]) == ending:
            return tokens[: -len(ending)]
    return tokens


def without_fillers(tokens: list[str]) -> list[str]:
    """The words after "I live near", "my lawn is in" and the like."""
    start = 0
    while start < len(tokens) and tokens[start] in _LEADING_FILLERS:
        start += 1
    return tokens[start:]


def zip_codes_in(plain: str) -> list[str]:
    """Every five-digit code standing alone (with or without its four-digit tail), in order."""
    return _ZIP.findall(plain)


def coordinates_in(plain: str) -> tuple[float, float] | None:
    """Latitude and longitude, if the text is a pair of angles or holds a decimal pair (a map link)."""
    whole = _TWO_ANGLES.fullmatch(plain) if _LOOKS_LIKE_ANGLE.search(plain) else None
    if whole:
        first, second = _angle(whole, "_a"), _angle(whole, "_b")
        if first[1] in "ew" and second[1] in "ns" and first[1] and second[1]:
            first, second = second, first
        if first[1] in ("e", "w") or second[1] in ("n", "s"):
            return None
        return _in_range(first[0], second[0])
    pair = _PAIR_IN_TEXT.search(plain)
    return _in_range(float(pair.group(1)), float(pair.group(2))) if pair else None


def _angle(match: re.Match[str], which: str) -> tuple[float, str]:
    """Signed degrees and the letter of the hemisphere ("" when none was written)."""
    letter = (match[f"first{which}"] or match[f"last{which}"] or "")[:1]
    degrees = float(match[f"degrees{which}"])
    size = abs(degrees) + float(match[f"minutes{which}"] or 0) / 60 + float(match[f"seconds{which}"] or 0) / 3600
    negative = match[f"degrees{which}"].startswith("-") or letter in ("s", "w")
    return (-size if negative else size), letter


def _in_range(latitude: float, longitude: float) -> tuple[float, float] | None:
    return (latitude, longitude) if abs(latitude) <= 90 and abs(longitude) <= 180 else None
