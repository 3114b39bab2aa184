"""What an album holds: photos with what is told of them, the owner's reports, how each spot stands, the dates."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

from bot.album.season import Album, SpotAlbum, albums_of
from bot.talk.advice import lawn_view
from bot.talk.case import Answer, Case, CheckIn, Homeowner, PickedMany, TaskState
from bot.talk.messages import Number, Text
from tests.album.seasons import WORDS, Spring, grown, spring_of
from tests.talk.conversation import confirmed


def albums(spring: Spring) -> tuple[Album, ...]:
    return albums_of(spring.homeowner, spring.known, spring.talk.now, set(spring.folder.photos))


def told(parts: Sequence[Text]) -> list[str]:
    return [WORDS.text(part) for part in parts]


def with_case(spring: Spring, **changes: object) -> Homeowner:
    """The owner with their lawn changed by hand."""
    case: Case = replace(spring.talk.case, **changes)  # type: ignore[arg-type]
    return replace(spring.homeowner, lawns=(case,))


def spot_with(spring: Spring, *checkins: CheckIn) -> SpotAlbum:
    """The first spot, with these check-ins beside its own."""
    homeowner = with_case(spring, checkins=(*spring.talk.case.checkins, *checkins))
    (album,) = albums_of(homeowner, spring.known, spring.talk.now, set(spring.folder.photos))
    return album.spots[0]


def test_a_lawn_without_a_kept_photo_has_no_album() -> None:
    """There is nothing to look back on."""
    assert albums(spring_of()) == ()


def test_photos_stand_in_order_under_their_spot_with_their_green() -> None:
    """Day by day, with the range that the talk told."""
    (album,) = albums(grown(3))
    front, back = album.spots

    assert [shot.photo_id[-1] for shot in front.shots] == ["1", "3", "5"]
    assert [later.on - earlier.on for earlier, later in pairwise(front.shots)] == [timedelta(days=7)] * 2
    assert told([shot.green for shot in front.shots]) == [
        "3% green (0 to 9%)",
        "17% green (11 to 23%)",
        "31% green (25 to 37%)",
    ]
    assert (front.name, back.name) == ("front", "back")
    assert album.photo_ids == tuple(f"{number:064x}" for number in (1, 3, 5, 2, 4, 6))


def test_the_colour_of_the_green_is_told_where_it_is_the_grass_and_sure() -> None:
    """A word to look back on; none of weeds, of what runs into straw, of what cannot be read, or of what waits."""
    spring = spring_of()
    spring.show("front", 30, colour="medium")
    spring.show("front", 31, colour="")
    spring.show("front", 32, colour="dark", weeds="some")
    spring.show("front", 33, colour="dark", is_range=True)
    spring.show("front", 34, colour="dark", reason="dark")
    spring.send(35, colour="dark")
    spring.talk.press("front")
    (album,) = albums(spring)
    colours = [shot.colour for shot in album.spots[0].shots]
    assert [colour and WORDS.text(colour) for colour in colours] == ["a medium green", None, None, None, None, None]


def test_green_is_not_told_before_the_owner_was_asked_about_weeds() -> None:
    """Neither beside the photo nor in the chart nor in how the spot stands."""
    spring = spring_of(confirmed())
    spring.show("", 12)
    spring.talk.pass_days(14)
    spring.send(40)
    assert spring.talk.asked == "do_photo_weeds"
    waiting = albums(spring)[0].spots[0]
    spring.talk.say("no")
    answered = albums(spring)[0].spots[0]

    assert told([shot.green for shot in waiting.shots])[-1] == "green not told yet"
    assert waiting.chart is None and answered.chart is not None
    assert told([shot.green for shot in answered.shots])[-1] == "40% green (34 to 46%)"
    assert waiting.state != answered.state


def test_weeds_stand_beside_the_green() -> None:
    """In the owner's own terms; nothing where it is all grass."""
    spring = spring_of(confirmed())
    spring.show("", 20, weeds="some")
    spring.talk.pass_days(7)
    spring.show("", 25, weeds="no")
    (some, none) = albums(spring)[0].spots[0].shots

    assert some.weeds is not None and WORDS.text(some.weeds) == "some of it weeds"
    assert none.weeds is None


def test_a_photo_that_could_not_be_read_is_kept_and_told_so() -> None:
    """It shows how it was, without a figure; and one with next to no green says so."""
    spring = spring_of(confirmed())
    spring.send(30, reason="dark")
    spring.talk.pass_days(7)
    spring.send(0.4, low=0.0, high=1.2)
    spring.talk.pass_days(7)
    spring.send(20, is_range=True)
    spring.talk.say("no")

    assert told([shot.green for shot in albums(spring)[0].spots[0].shots]) == [
        "not measured",
        "hardly any green",
        "14 to 26% green",
    ]


def test_only_the_owners_own_photos_are_in_it() -> None:
    """An id in the case that is not among their photos is left out; a lawn of only such has no album."""
    spring = grown(2)
    own = {f"{1:064x}"}
    (album,) = albums_of(spring.homeowner, spring.known, spring.talk.now, own)

    assert album.photo_ids == tuple(own)
    assert albums_of(spring.homeowner, spring.known, spring.talk.now, set()) == ()


def test_what_the_owner_told_stands_beside_with_its_day() -> None:
    """Looks, plugs, guesses by eye and the size; words as they were written."""
    spring = grown(1)
    day = spring.talk.now.date()
    spot = spot_with(
        spring,
        CheckIn(on=day, spot="front", task="look", runners="firm"),
        CheckIn(on=day, spot="front", task="pots:start", plugs_total=6),
        CheckIn(on=day, spot="front", task="pots:week4", plugs_alive=2, plugs_total=6),
        CheckIn(on=day, spot="front", task="photo", green=0.1, words="a bit by the oak"),
        CheckIn(on=day, spot="back", task="look", runners="soft"),
    )

    assert [(report.on, WORDS.text(report.told), report.words) for report in spot.reports[-4:]] == [
        (day, "Runners: firm, white or green inside", ""),
        (day, "Pot test begun: 6 plugs", ""),
        (day, "Pot test: 2 of 6 plugs alive", ""),
        (day, "By eye: about 10 % green", "a bit by the oak"),
    ]


def test_what_was_seen_at_first_comes_first_in_the_owners_words() -> None:
    """The signs told of the lawn; a typed number says nothing by itself."""
    spring = grown(1)

    def seen_as(words: str) -> tuple[str, str]:
        answer = Answer(
            question="see",
            value=PickedMany(codes=("straw_blades", "firm_runners")),
            words=words,
            at=spring.talk.case.opened_at,
        )
        kept = tuple(each for each in spring.talk.case.answers if each.question not in ("see", "see_spot"))
        homeowner = with_case(spring, answers=(*kept, answer))
        first = albums_of(homeowner, spring.known, spring.talk.now, set(spring.folder.photos))[0].spots[0].reports[0]
        return WORDS.text(first.told), first.words

    assert seen_as("all brown, runners firm") == (
        "Seen at first: blades straw-colored and crisp and runners brown but firm",
        "all brown, runners firm",
    )
    assert seen_as("1, 4")[1] == ""


def test_before_the_judging_day_no_verdict_is_told() -> None:
    """How the photos stand, or that it is too early where there are none."""
    spring = spring_of()
    spring.show("front", 3)
    front, back = albums(spring)[0].spots

    assert front.state.key in ("album-state-cold", "photo-state-too_early")
    assert back.state.key == "album-state-early"
    assert back.shots == ()


def test_growth_before_the_judging_day_is_told_as_the_photos_tell_it() -> None:
    """Also where it already looks good: the talk has told no verdict yet either."""
    front = albums(grown(4))[0].spots[0]

    assert front.state.key == "photo-state-recovering"


def test_after_it_the_verdict_is_told_as_odds() -> None:
    """A spot that came back, and one that stayed bare: chances in 20, never all of them."""
    spring = grown(5)
    late_on = lawn_view(spring.talk.case, spring.known).season.likely_dead_on
    spring.talk.pass_days((late_on - spring.talk.now.date()).days + 1)
    for _ in range(3):
        spring.show("front", 74)
        spring.show("back", 0.4)
        spring.talk.pass_days(7)
    front, back = albums(spring)[0].spots

    assert front.state.key == "verdict-coming_back"
    assert back.state.key == "verdict-likely_dead"
    chances = back.state.values["chances"]
    assert isinstance(chances, Number) and 15 <= chances.value <= 19


def test_the_place_is_county_and_state_at_the_most() -> None:
    """Neither town nor code nor coordinates go into what may be passed on."""
    (album,) = albums(grown(1))

    assert album.place is not None
    assert WORDS.text(album.place) == "Glynn County, GA"


def test_the_plan_tells_what_became_of_each_date() -> None:
    """A done task on the day it was done; what the plan let go is left out."""
    spring = grown(1)
    first, second, third, *others = spring.talk.case.tasks
    on = date(2027, 2, 1)
    tasks = (
        replace(first, state=TaskState.DONE, closed_on=on),
        replace(second, state=TaskState.DROPPED),
        replace(third, state=TaskState.SKIPPED, moved_to=on + timedelta(days=1)),
    )
    homeowner = with_case(spring, tasks=tasks)
    (album,) = albums_of(homeowner, spring.known, spring.talk.now, set(spring.folder.photos))

    assert others
    assert [(line.on, WORDS.text(line.state)) for line in album.plan] == [
        (on, "done"),
        (on + timedelta(days=1), "skipped"),
    ]


def test_a_plan_that_was_never_confirmed_is_not_in_it() -> None:
    """Nobody agreed to its dates."""
    homeowner = with_case(grown(1), planned_on=None)
    (album,) = albums_of(homeowner, grown(1).known, grown(1).talk.now, {f"{1:064x}"})

    assert album.plan == ()
