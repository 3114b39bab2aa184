"""Photos of a lawn: which spot each shows, whether it can be read, what is weeds in it, and what they say together.

1. A photo is kept whatever it shows: nobody remembers how bad it was. It is told what to do differently when its green
   cannot be read; after three such in a row two short questions take the photo's place.
2. The same picture sent again is told, and counts once.
3. Nothing is told of the green before the owner was asked whether some of it is weeds.
4. A change too small to see is not commented on.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import timedelta

from bot.talk import advice, answers, judging, tasks, telling
from bot.talk.case import Case, CheckIn, PhotoInHand, SideTalk, TaskState
from bot.talk.cover import CoverSeen
from bot.talk.effects import KeepPhoto
from bot.talk.followup import open_tasks
from bot.talk.messages import Day, Number, Text, Value, text
from bot.talk.photo_chart import photo_chart
from bot.talk.reading import index_of
from bot.talk.seen import recoveries, spot_evidence
from bot.talk.telling_cover_chart import cover_alt
from bot.talk.turn import Turn
from rules.cover_reading import is_same_picture
from rules.plan import TaskKind
from rules.recovery import Reading, Weeds
from rules.recovery_state import Recovery, RecoveryState
from rules.season import Season

UNREADABLE_IN_A_ROW = 3
COMPARED = 12  # how many of a spot's last photos a new one may be the same as
WEEDS_FROM_PERCENT = 2.0  # less green than this is nothing to ask about
AHEAD = timedelta(days=2)  # a picture task that is due so soon is answered by a photo sent now


def arrived(turn: Turn, photo_id: str, cover: CoverSeen | None) -> None:
    """A photo came: file it, or ask which spot it shows."""
    in_hand = PhotoInHand(photo_id=photo_id, cover=cover)
    others = tuple(each for each in turn.case.in_hand if each.photo_id != photo_id)
    turn.update_case(in_hand=(*others, in_hand))
    side = turn.homeowner.side
    is_asking = side is not None and side.lawn == turn.case.number and side.topic in ("photo_spot", "photo_weeds")
    if len(answers.spots(turn.case)) == 1:
        _file(turn, in_hand, answers.spots(turn.case)[0])
    elif not is_asking:
        turn.start_side("photo_spot", photo_id)


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
    _go_on(turn)


def weeds_told(turn: Turn, side: SideTalk, told: Case) -> None:
    """The owner said how much of the green is weeds: now the reading is told."""
    spot = side.about[1]
    weeds = answers.code(told, "do_photo_weeds") or str(Weeds.NOT_SURE)
    turn.update_case(checkins=tuple(_with_weeds(turn, each, spot, weeds) for each in turn.case.checkins))
    _tell(turn, spot)
    _go_on(turn)


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


def _file(turn: Turn, photo: PhotoInHand, spot: str) -> None:
    """Keep a photo under a spot, and go on with what it shows."""
    turn.update_case(in_hand=tuple(each for each in turn.case.in_hand if each.photo_id != photo.photo_id))
    before = _same_before(turn.case, spot, photo)
    if before is not None:
        turn.say(text("photo-same", where=telling.where_text(spot), day=Day(before.on)))
        _go_on(turn)
        return
    task = tasks.photo_task(turn)
    _keep(turn, photo, spot, task.key if task else "")
    cover = photo.cover
    if cover is not None and cover.reason:
        _cannot_read(turn, spot, cover.reason)
        return
    if task is not None:
        turn.close_task(task.key, TaskState.DONE)
    if cover is None:
        pair = _pair(turn.case, spot)
        kept = "photo-kept-pair" if len(pair) > 1 else "photo-kept-first"
        turn.say(text(kept, where=telling.where_text(spot)), photos=pair)
        if task is not None and task.kind == TaskKind.PHOTO:
            turn.start_side("green", task.key, spot)
        return
    if cover.percent >= WEEDS_FROM_PERCENT:
        turn.start_side("photo_weeds", photo.photo_id, spot)
        return
    _tell(turn, spot)
    _go_on(turn)


def _keep(turn: Turn, photo: PhotoInHand, spot: str, task: str) -> None:
    cover = photo.cover
    turn.want(KeepPhoto(photo_id=photo.photo_id, lawn=turn.case.number, spot=spot, on=turn.today))
    green = _grass(cover, "") if cover is not None and not cover.reason else None
    checkin = CheckIn(on=turn.today, spot=spot, task=task, photo_id=photo.photo_id, cover=cover, green=green)
    turn.update_case(checkins=(*turn.case.checkins, checkin))


def _same_before(case: Case, spot: str, photo: PhotoInHand) -> CheckIn | None:
    """The check-in that already has this picture, packed anew perhaps."""
    with_photos = [each for each in case.checkins if each.spot == spot and each.photo_id]
    for checkin in reversed(with_photos[-COMPARED:]):
        if checkin.photo_id == photo.photo_id:
            return checkin
        if checkin.cover and photo.cover and is_same_picture(checkin.cover.dhash, photo.cover.dhash):
            return checkin
    return None


def _cannot_read(turn: Turn, spot: str, reason: str) -> None:
    """One thing to do differently; after three in a row, in words instead."""
    turn.say(text(f"cover-reason-{reason}"), text("photo-kept-unread"), photos=_pair(turn.case, spot)[-1:])
    seen = [each.cover for each in turn.case.checkins if each.spot == spot and each.cover is not None]
    newest = seen[-UNREADABLE_IN_A_ROW:]
    task = tasks.photo_task(turn)
    if len(newest) == UNREADABLE_IN_A_ROW and all(each.reason for each in newest) and task is not None:
        turn.say(text("photo-in-words"))
        turn.start_side("green", task.key, spot)
        return
    _go_on(turn)


def _go_on(turn: Turn) -> None:
    """The next photo whose spot is not known yet."""
    if turn.case.in_hand:
        turn.start_side("photo_spot", turn.case.in_hand[0].photo_id)


# --- telling ---------------------------------------------------------------------------------------------------------


def _tell(turn: Turn, spot: str) -> None:
    """What the newest photo of a spot says, with the ones before it: pair, chart, one sentence, one next step."""
    season = advice.lawn_view(turn.case, turn.known).season
    recovery = recoveries(turn.case, season)[spot]
    newest = next(each.cover for each in reversed(turn.case.checkins) if each.spot == spot and each.cover is not None)
    parts = [
        _green_text(spot, newest),
        *_weeds_text(newest),
        *_change_text(turn.case, spot, recovery),
        state_text(turn, spot, recovery, season),
        *_next_step(turn, spot, recovery),
    ]
    chart = photo_chart(recovery, season)
    alt = cover_alt(chart, telling.where_text(spot)) if chart is not None else None
    turn.say(*parts, photos=_pair(turn.case, spot), chart=chart, chart_alt=alt)


def _green_text(spot: str, cover: CoverSeen) -> Text:
    values: dict[str, Value] = {
        "where": telling.where_text(spot),
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
        yield text("photo-next-spot", where=telling.where_text(unseen[0]))
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
