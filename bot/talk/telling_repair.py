"""Replacing a spot that did not return: amounts, the window, how to start, cautions."""

from __future__ import annotations

from datetime import date

from bot.talk.advice import LawnView
from bot.talk.messages import (
    AreaSqft,
    Day,
    LengthIn,
    MassLb,
    Number,
    Text,
    text,
)
from bot.talk.telling import named_grass
from bot.talk.telling_plan import cautions_in_full
from rules.facts.cautions import cautions_for
from rules.facts.repair import PLUG_SPACING_IN, PLUG_SPACING_USUAL_IN
from rules.facts.season import WARM_DAY_SOIL_C
from rules.repair import PlantingMethod, planting_window, plugs_to_buy, seed_needed, sod_order


def repair_parts(choice: str, view: LawnView, area_sqft: float | None, today: date) -> list[Text]:
    """Amounts for replacing a spot, whether the season still allows it, how to start it, and cautions."""
    method = PlantingMethod(choice)
    soil_c = WARM_DAY_SOIL_C.value if today >= view.season.warm_soil_on else None
    window = planting_window(method, view.code, today, view.season.first_fall_frost_on, soil_c)
    parts = [_amount_part(method, view, area_sqft)]
    if today > window.last_on:
        parts.append(text("repair-too-late"))
    else:
        parts.append(text("repair-until", day=Day(window.last_on, True)))
    parts.append(text(f"repair-how-{choice}"))
    parts.append(text("with-care", what=text("repair-safety"), care=cautions_in_full(cautions_for(choice))))
    parts.append(text("repair-hardier"))
    return parts


def _amount_part(method: PlantingMethod, view: LawnView, area_sqft: float | None) -> Text:
    if area_sqft is None:
        return text(f"repair-{method}-open")
    area = AreaSqft(area_sqft)
    if method is PlantingMethod.SOD:
        order = sod_order(area_sqft)
        return text(
            "repair-sod",
            area=area,
            buy=AreaSqft(order.with_waste_sqft),
            pieces=Number(order.slabs),
            weight=MassLb(_to_two_figures(order.laid_lb)),
        )
    if method is PlantingMethod.PLUGS:
        spacing_in = PLUG_SPACING_IN[view.code].high if view.code in PLUG_SPACING_IN else PLUG_SPACING_USUAL_IN.value
        plugs = plugs_to_buy(area_sqft, spacing_in)
        return text("repair-plugs", area=area, n=Number(plugs), spacing=LengthIn(spacing_in))
    need = seed_needed(area_sqft, view.code, view.cultivar)
    if need is None:
        return text("repair-no-seed", grass=named_grass(view.code, view.cultivar or ""))
    return text("repair-seed", area=area, low=MassLb(need.low), high=MassLb(need.high))


def _to_two_figures(pounds: float) -> float:
    """A weight nobody weighed: sod differs by its soil and how wet it is."""
    return float(f"{pounds:.2g}")
