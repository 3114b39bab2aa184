"""Photos of a lawn: which spot each shows, whether it can be read, what is weeds in it, and what they say together.

1. A photo that opens is kept whatever it shows: nobody remembers how bad it was. It is told what to do differently when
   it does not open or its green cannot be read; after three such in a row two short questions take the photo's place.
2. The same picture sent again is told, and counts once; unless it can only be read now, with paper that was not named.
3. Nothing is told of the green before the owner was asked whether some of it is weeds.
4. A change too small to see is not commented on.
5. Of several photos nothing is asked twice: while it is asked about one, the others wait in hand.
6. From a spot's judging day on, a photo of it takes the place of the look by eye, and the verdict follows.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import timedelta

from bot.talk import advice, answers, judging, tasks, telling
from bot.talk.case import Case, CheckIn, PhotoInHand, SideTalk, Task, TaskState
from bot.talk.cover import CoverSeen
from bot.talk.effects import KeepPhoto
from bot.talk.followup import open_tasks
from bot.talk.incoming import SentPhoto
from bot.talk.messages import Day, Number, Text, Value, text, where_text
from bot.talk.photo_chart import photo_chart
from bot.talk.reading import index_of
from bot.talk.seen import recoveries, spot_evidence
from bot.talk.telling_cover_chart import cover_alt
from bot.talk.turn import Turn
from rules.cover_reading import is_same_picture
from rules.recovery import Reading, Weeds
from rules.recovery_state import Recovery, RecoveryState
from rules.season import Season
from rules.task_kinds import TaskKind

UNREADABLE_IN_A_ROW = 3
COMPARED = 12  # how many of a spot's last photos a new one may be the same as
WEEDS_FROM_PERCENT = 2.0  # less green than this is nothing to ask about
AHEAD = timedelta(days=2)  # a picture task that is due so soon is answered by a photo sent now


def arrived(turn: Turn, sent: SentPhoto) -> None:
    """A photo came: file it, or ask which spot it shows, once all that were sent together are here."""
    photo = hold(turn, sent)
    if len(answers.spots(turn.case)) == 1:
        _file(turn, photo, answers.spots(turn.case)[0], is_last=not sent.more)
    elif not sent.more:
        ask_for_spots(turn)


def hold(turn: Turn, sent: SentPhoto) -> PhotoInHand:
    """Keep a photo in hand, without a word."""
    others = tuple(each for each in turn.case.in_hand if each.photo_id != sent.photo_id)
    number = others[-1].number + 1 if others else 1
    photo = PhotoInHand(photo_id=sent.photo_id, cover=sent.cover, number=number, sent_at=turn.now)
    turn.update_case(in_hand=(*others, photo))
    return photo


def take_up(turn: Turn) -> None:
    """Go on with the photos that were only kept in hand: as if they came now, all together."""
    names, waiting = answers.spots(turn.case), turn.case.in_hand
    if len(names) > 1:
        ask_for_spots(turn)
        return
    for place, photo in enumerate(waiting, start=1):
        _file(turn, photo, names[0], is_last=place == len(waiting))


def refused(turn: Turn, reason: str) -> None:
    """A photo that does not open: one thing to do differently; after three in a row, in words instead."""
    turn.say(text(f"photo-refused-{reason}"))
    if reason != _NOBODYS_FAULT:
        turn.update_case(unread_photos=turn.case.unread_photos + 1)
        _in_words_instead(turn)


_NOBODYS_FAULT = "busy"


def ask_for_spots(turn: Turn) -> None:
    """Ask about the photo that waits longest, unless one is being asked about. What is seen by eye waits for it."""
    side = turn.homeowner.side
    sides = (*turn.homeowner.parked, *([side] if side else []))
    is_asking = any(each.lawn == turn.case.number and each.topic in _ABOUT_PHOTOS for each in sides)
    if not turn.case.in_hand or is_asking:
        return
    if side is not None and side.topic in BY_EYE:
        turn.wait_with_side()
    turn.start_side("photo_spot", turn.case.in_hand[0].photo_id)


_ABOUT_PHOTOS = ("photo_spot", "photo_weeds")
BY_EYE = ("green", "judge")


def spot_told(turn: Turn, side: SideTalk, told: Case) -> None:
    """The owner said which spot a photo shows."""
    names = answers.spots(turn.case)
    picked = index_of(answers.code(told, "do_spot"))
    held = (each for each in turn.case.in_hand if each.photo_id == side.about[0])
    photo = next(held, PhotoInHand(photo_id=side.about[0]))
    if picked is None or picked >= len(names):
        _keep_unplaced(turn, photo)
    else:
        _file(turn, photo, names[picked])


def _keep_unplaced(turn: Turn, photo: PhotoInHand) -> None:
    """Nobody knows which part it shows: kept to look back on, and evidence for none."""
    turn.update_case(in_hand=tuple(each for each in turn.case.in_hand if each.photo_id != photo.photo_id))
    turn.want(KeepPhoto(photo_id=photo.photo_id, lawn=turn.case.number, spot="", on=turn.today))
    turn.say(text("photo-kept-unplaced"), photos=(photo.photo_id,))
    ask_for_spots(turn)


def weeds_told(turn: Turn, side: SideTalk, told: Case) -> None:
    """The owner said how much of the green is weeds: now the reading is told."""
    spot = side.about[1]
    weeds = answers.code(told, "do_photo_weeds") or str(Weeds.NOT_SURE)
    turn.update_case(checkins=tuple(_with_weeds(turn, each, spot, weeds) for each in turn.case.checkins))
    _tell(turn, spot)


def _with_weeds(turn: Turn, checkin: CheckIn, spot: str, weeds: str) -> CheckIn:
    """Today's photos of the spot, the weeds taken off the green that counts as grass."""
    cover = checkin.cover
    if checkin.spot != spot or checkin.on != turn.today or cover is None or cover.reason or cover.weeds:
        return checkin
    return replace(checkin, cover=replace(cover, weeds=weeds), green=_grass(cover, weeds))


def _grass(cover: CoverSeen, weeds: str) -> float:
    reading = Reading(warm_days=0, cover_percent=cover.percent, weeds=Weeds(weeds) if weeds else Weeds.NONE)
    return round(reading.grass_percent / 100, 4)


# --- filing ----------------------------------------------------------------------------------------------------------


def _file(turn: Turn, photo: PhotoInHand, spot: str, *, is_last: bool = True) -> None:
    """Keep a photo under a spot, and go on with what it shows. Of several sent together only the last is told."""
    turn.update_case(in_hand=tuple(each for each in turn.case.in_hand if each.photo_id != photo.photo_id))
    before = _same_before(turn.case, spot, photo)
    if before is not None and not _only_now_readable(before, photo):
        turn.say(text("photo-same", where=where_text(spot), day=Day(before.on)))
        ask_for_spots(turn)
        return
    task, due = tasks.photo_task(turn), judging.due(turn, spot)
    answered = due or task
    _keep(turn, photo, spot, answered.key if answered else "")
    cover = photo.cover
    if cover is not None and cover.reason:
        if is_last:
            _cannot_read(turn, spot, cover.reason)
        return
    turn.update_case(unread_photos=0)
    _end_look_by_eye(turn, spot)
    if task is not None:
        turn.close_task(task.key, TaskState.DONE)
    if cover is None:
        _kept(turn, spot, task)
    elif cover.percent >= WEEDS_FROM_PERCENT:
        turn.start_side("photo_weeds", photo.photo_id, spot)
    elif is_last:
        _tell(turn, spot)


def _kept(turn: Turn, spot: str, task: Task | None) -> None:
    """A photo that nobody measured: the green of a weekly one is asked for."""
    pair = _pair(turn.case, spot)
    kept = "photo-kept-pair" if len(pair) > 1 else "photo-kept-first"
    turn.say(text(kept, where=where_text(spot)), photos=pair)
    if task is not None and task.kind == TaskKind.PHOTO:
        turn.start_side("green", task.key, spot)


def _end_look_by_eye(turn: Turn, spot: str) -> None:
    """A photo that can be read says how green a spot is: nobody is asked any more."""

    def is_moot(side: SideTalk) -> bool:
        if side.lawn != turn.case.number or side.topic not in BY_EYE:
            return False
        named = side.about[1] if len(side.about) > 1 else tasks.spot_of(turn.case, turn.task(side.about[0]))
        return named == spot

    turn.update(parked=tuple(side for side in turn.homeowner.parked if not is_moot(side)))
    if turn.homeowner.side is not None and is_moot(turn.homeowner.side):
        turn.end_side()


def _keep(turn: Turn, photo: PhotoInHand, spot: str, task: str) -> None:
    cover = photo.cover
    turn.want(KeepPhoto(photo_id=photo.photo_id, lawn=turn.case.number, spot=spot, on=turn.today))
    green = _grass(cover, "") if cover is not None and not cover.reason else None
    checkin = CheckIn(on=turn.today, spot=spot, task=task, photo_id=photo.photo_id, cover=cover, green=green)
    others = (each for each in turn.case.checkins if each.spot != spot or each.photo_id != photo.photo_id)
    turn.update_case(checkins=(*others, checkin))


def _same_before(case: Case, spot: str, photo: PhotoInHand) -> CheckIn | None:
    """The check-in that already has this picture, packed anew perhaps."""
    with_photos = [each for each in case.checkins if each.spot == spot and each.photo_id]
    for checkin in reversed(with_photos[-COMPARED:]):
        if checkin.photo_id == photo.photo_id:
            return checkin
        if checkin.cover and photo.cover and is_same_picture(checkin.cover.dhash, photo.cover.dhash):
            return checkin
    return None


def _only_now_readable(before: CheckIn, photo: PhotoInHand) -> bool:
    """The same file, of no use before: its owner has said since that paper lies in it."""
    is_same_file = before.photo_id == photo.photo_id
    could_not_be_read = before.cover is not None and bool(before.cover.reason)
    return is_same_file and could_not_be_read and photo.cover is not None and not photo.cover.reason


def _cannot_read(turn: Turn, spot: str, reason: str) -> None:
    """One thing to do differently; after three in a row, in words instead."""
    turn.say(text(f"cover-reason-{reason}"), text("photo-kept-unread"), photos=_pair(turn.case, spot)[-1:])
    turn.update_case(unread_photos=turn.case.unread_photos + 1)
    _in_words_instead(turn, spot)


def _in_words_instead(turn: Turn, spot: str = "") -> None:
    """Nobody is sent back a fourth time: two short questions do, once there is a plan that they are of use to."""
    case, side = turn.case, turn.homeowner.side
    is_asked = side is not None and side.topic in BY_EYE
    if case.unread_photos >= UNREADABLE_IN_A_ROW and "plan" in case.told and not is_asked:
        task = tasks.photo_task(turn)
        turn.say(text("photo-in-words"))
        turn.update_case(unread_photos=0)
        turn.start_side("green", task.key if task else "", spot or tasks.spot_of(case, task))
    elif not is_asked:
        ask_for_spots(turn)


# --- telling ---------------------------------------------------------------------------------------------------------


def _tell(turn: Turn, spot: str) -> None:
    """What the newest photo of a spot says, and what follows from it: its verdict where that is due, the next photo."""
    due = judging.due(turn, spot)
    _tell_reading(turn, spot, is_judged=due is not None)
    if due is not None:
        turn.wait_with_side()
        judging.judge(turn, due.key)
        if turn.homeowner.side is None:
            turn.end_side()  # the judging asks nothing more: what waited goes on
    ask_for_spots(turn)
    if due is not None and turn.homeowner.side is None:
        tasks.go_on_beside(turn, due.key)


def _tell_reading(turn: Turn, spot: str, *, is_judged: bool) -> None:
    """With the photos before it: pair, chart, one sentence, and one next step where no verdict follows."""
    season = advice.lawn_view(turn.case, turn.known).season
    recovery = recoveries(turn.case, season)[spot]
    newest = next(each.cover for each in reversed(turn.case.checkins) if each.spot == spot and each.cover is not None)
    parts = [
        _green_text(spot, newest),
        *_weeds_text(newest),
        *_change_text(turn.case, spot, recovery),
    ]
    if not is_judged:
        parts += [state_text(turn, spot, recovery, season), *_next_step(turn, spot, recovery)]
    chart = photo_chart(recovery, season)
    alt = cover_alt(chart, where_text(spot)) if chart is not None else None
    turn.say(*parts, photos=_pair(turn.case, spot), chart=chart, chart_alt=alt)


def _green_text(spot: str, cover: CoverSeen) -> Text:
    values: dict[str, Value] = {
        "where": where_text(spot),
        "low": Number(round(cover.low)),
        "high": Number(round(cover.high)),
        "now": Number(round(cover.percent)),
    }
    if round(cover.high) <= WEEDS_FROM_PERCENT:
        return text("photo-green-none", where=values["where"])
    return text("photo-green-range" if cover.is_range else "photo-green", **values)


def _weeds_text(cover: CoverSeen) -> Iterable[Text]:
    if cover.weeds in (Weeds.SOME, Weeds.MOST, Weeds.NOT_SURE):
        yield text(f"photo-weeds-{cover.weeds}")


def _change_text(case: Case, spot: str, recovery: Recovery) -> Iterable[Text]:
    """The change since the first photo, where it is more than chance."""
    change = recovery.since_first
    if change is None or not change.is_worth_telling:
        return
    first = next(each for each in case.checkins if each.spot == spot and each.cover and not each.cover.reason)
    key = "photo-up" if change.gained_percent > 0 else "photo-down"
    yield text(key, before=Number(round(change.from_percent)), day=Day(first.on))


def state_text(turn: Turn, spot: str, recovery: Recovery, season: Season) -> Text:
    """One sentence on how a spot does by its photos."""
    if recovery.state in (RecoveryState.NO_REGROWTH_SEEN, RecoveryState.TOO_EARLY) and _is_late(turn, spot, season):
        return text("photo-state-still_bare" if recovery.trend.bare_probability >= 0.5 else "photo-state-still_thin")
    later, change = recovery.trend.cover_later, recovery.since_first
    has_moved = change is not None and change.is_worth_telling
    if recovery.state is RecoveryState.TOO_EARLY and not recovery.trend.warm_days and not has_moved:
        return text("photo-state-cold")
    if recovery.state is RecoveryState.RECOVERING:
        return text(
            "photo-state-recovering",
            low=Number(round(later.low_percent)),
            high=Number(round(later.high_percent)),
        )
    return text(f"photo-state-{recovery.state}")


def _is_late(turn: Turn, spot: str, season: Season) -> bool:
    """From when on "it is early, some start late" would take back what was said of the spot."""
    failed = spot_evidence(turn.case, spot).pot_test_failed
    return turn.today >= (season.judging_on if failed else season.likely_dead_on)


def _next_step(turn: Turn, spot: str, recovery: Recovery) -> Iterable[Text]:
    """One thing to do next."""
    settled = judging.settled_early(turn, spot)
    unseen = [each for each in answers.spots(turn.case) if not _has_photo_today(turn, each)]
    if settled:
        yield from settled
    elif unseen and not turn.case.in_hand:
        yield text("photo-next-spot", where=where_text(unseen[0]))
    elif recovery.state in _SAY_NEXT and _can_do_next(turn, recovery.state):
        yield text(f"photo-next-{recovery.state}")
    elif following := open_tasks(turn.case):
        yield telling.next_line(turn.case, following)
    else:
        yield text("photo-next-week")


def _can_do_next(turn: Turn, state: RecoveryState) -> bool:
    """A look and a pot test are only pointed to while the plan still has one."""
    kinds = (TaskKind.LOOK, TaskKind.POT_START)
    return state is not RecoveryState.NO_REGROWTH_SEEN or any(each.kind in kinds for each in open_tasks(turn.case))


_SAY_NEXT = (RecoveryState.NO_REGROWTH_SEEN, RecoveryState.STALLED, RecoveryState.RECOVERED)


def _has_photo_today(turn: Turn, spot: str) -> bool:
    return any(each.spot == spot and each.on == turn.today and each.photo_id for each in turn.case.checkins)


def _pair(case: Case, spot: str) -> tuple[str, ...]:
    """The first photo of a spot and the newest one; the first that could be read, where there is any."""
    kept = [each for each in case.checkins if each.spot == spot and each.photo_id]
    readable = [each for each in kept if each.cover is None or not each.cover.reason]
    first = (readable or kept)[0].photo_id
    newest = kept[-1].photo_id
    return tuple(dict.fromkeys(each for each in (first, newest) if each is not None))
