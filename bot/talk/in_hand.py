"""Photos in hand, whose part of the lawn is still asked for: which one the question is about, in words and shown.

A photo that was just sent by itself is "the photo". One of several, or one that has waited, is named by its number and
time and shown again; where no picture can be shown, the name has to do.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from bot.talk.case import Case, PhotoInHand, SideTalk
from bot.talk.messages import ClockTime, Day, Number, Text, Value, text

JUST_SENT = timedelta(hours=1)


def which_text(case: Case, photo_id: str, now: datetime) -> Text:
    """What the photo is called in the question which part it shows. `now` is local."""
    photo = _of(case, photo_id)
    if photo is None or photo.sent_at is None or not _is_named(case, photo, now):
        return text("photo-which")
    sent = photo.sent_at.astimezone(now.tzinfo)
    is_today = sent.date() == now.date()
    when: dict[str, Value] = {"time": ClockTime(sent)} if is_today else {"day": Day(sent.date())}
    key = f"photo-which{'-of_several' if _is_one_of_several(case, photo) else ''}-{'today' if is_today else 'day'}"
    return text(key, n=Number(photo.number), **when)


def shown_again(case: Case, side: SideTalk | None, now: datetime) -> tuple[str, ...]:
    """The photo that a question is about, where it is not the one that was just sent."""
    if side is None or side.topic != "photo_spot":
        return ()
    photo = _of(case, side.about[0])
    return (photo.photo_id,) if photo is not None and _is_named(case, photo, now) else ()


def _of(case: Case, photo_id: str) -> PhotoInHand | None:
    return next((each for each in case.in_hand if each.photo_id == photo_id), None)


def _is_named(case: Case, photo: PhotoInHand, now: datetime) -> bool:
    return _is_one_of_several(case, photo) or (photo.sent_at is not None and now - photo.sent_at >= JUST_SENT)


def _is_one_of_several(case: Case, photo: PhotoInHand) -> bool:
    return photo.number > 1 or len(case.in_hand) > 1
