"""What moved the odds of each spot, piece by piece: what was seen and tested, and by how much it counted."""

from __future__ import annotations

from bot.talk.advice import LawnView, SpotView
from bot.talk.messages import Number, Share, Text, text, where_text
from rules.combine import Cover, Direction, Effect, Evidence, PotTest, Sign


def moved_parts(view: LawnView) -> list[Text]:
    """For each spot: its pieces of evidence, the strongest first; or that the odds rest on the cold alone."""
    return [part for spot in view.spots for part in _of_spot(spot)]


def _of_spot(spot: SpotView) -> list[Text]:
    where = where_text(spot.name)
    told = [effect for effect in spot.effects if effect.direction is not Direction.HARDLY]
    if not told:
        return [text("moved-none", where=where)]
    return [text("moved-head", where=where), *map(_moved, told)]


def _moved(effect: Effect) -> Text:
    key = "moved-up" if effect.direction is Direction.MORE_ALIVE else "moved-down"
    return text(
        key,
        what=_what(effect.piece),
        before=Share(effect.before.mean_fraction),
        after=Share(effect.after.mean_fraction),
    )


def _what(piece: Evidence) -> Text:
    match piece:
        case Sign(code=code):
            return text(f"see-{code}")
        case PotTest(alive=alive, total=total):
            return text("moved-pots", alive=Number(alive), total=Number(total))
        case Cover(readings=readings):
            return text("moved-photos", n=Number(len(readings)))
        case _:
            raise TypeError(f"no words for a {type(piece).__name__}")
