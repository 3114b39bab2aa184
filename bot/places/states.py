"""Whole states, for somebody who would rather not say the town. Rough middles and usual zones, from memory."""

from __future__ import annotations

from bot.talk.case import Place

# name, letters, latitude, longitude, zone of most of it
_STATES = (
    ("Alabama", "AL", 32.8, -86.8, "America/Chicago"),
    ("Arizona", "AZ", 33.4, -112.0, "America/Phoenix"),
    ("Arkansas", "AR", 34.8, -92.4, "America/Chicago"),
    ("California", "CA", 35.5, -119.0, "America/Los_Angeles"),
    ("Delaware", "DE", 39.0, -75.5, "America/New_York"),
    ("Florida", "FL", 28.6, -81.8, "America/New_York"),
    ("Georgia", "GA", 32.7, -83.4, "America/New_York"),
    ("Kansas", "KS", 38.5, -97.0, "America/Chicago"),
    ("Kentucky", "KY", 37.6, -85.3, "America/New_York"),
    ("Louisiana", "LA", 30.9, -92.0, "America/Chicago"),
    ("Maryland", "MD", 39.0, -76.8, "America/New_York"),
    ("Mississippi", "MS", 32.7, -89.7, "America/Chicago"),
    ("Missouri", "MO", 38.0, -92.5, "America/Chicago"),
    ("Nevada", "NV", 36.2, -115.1, "America/Los_Angeles"),
    ("New Jersey", "NJ", 40.0, -74.6, "America/New_York"),
    ("New Mexico", "NM", 34.4, -106.1, "America/Denver"),
    ("North Carolina", "NC", 35.5, -79.4, "America/New_York"),
    ("Oklahoma", "OK", 35.5, -97.5, "America/Chicago"),
    ("South Carolina", "SC", 33.9, -80.9, "America/New_York"),
    ("Tennessee", "TN", 35.9, -86.4, "America/Chicago"),
    ("Texas", "TX", 31.5, -97.5, "America/Chicago"),
    ("Utah", "UT", 37.1, -113.5, "America/Denver"),
    ("Virginia", "VA", 37.5, -77.9, "America/New_York"),
    ("West Virginia", "WV", 38.6, -80.6, "America/New_York"),
)
_LIKE_ENOUGH = 85.0  # of 100
_LONGEST_NAME = 40
_BY_NAME = {name.lower(): index for index, (name, *_) in enumerate(_STATES)}
_BY_LETTERS = {letters.lower(): index for index, (_, letters, *_) in enumerate(_STATES)}


def state_middles() -> tuple[tuple[str, float, float], ...]:
    """The two letters of each, with the latitude and longitude of its rough middle: names for a map."""
    return tuple((letters, latitude, longitude) for _, letters, latitude, longitude, _ in _STATES)


def find_state(text: str) -> Place | None:
    """The state meant by a name, nearly its name, or its two letters; None for anything else."""
    from rapidfuzz import fuzz, process  # the first question does not wait for it

    said = " ".join(text.lower().replace(".", "").split())[:_LONGEST_NAME]
    index = _BY_LETTERS.get(said)
    if index is None and len(said) > 3:
        close = process.extractOne(said, _BY_NAME.keys(), scorer=fuzz.ratio, score_cutoff=_LIKE_ENOUGH)
        index = _BY_NAME[close[0]] if close else None
    if index is None:
        return None
    name, letters, latitude, longitude, zone = _STATES[index]
    return Place(name=name, county="", state=letters, zone=zone, latitude=latitude, longitude=longitude, is_rough=True)
