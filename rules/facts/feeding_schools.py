"""What people disagree about: feeding a frozen lawn lightly at once or waiting for green-up; and seaweed extracts."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from rules.facts.care_sources import (
    AGRILIFE_BEGNAUD,
    AGRILIFE_GRANT_2021,
    AGRILIFE_WOODSON_2010,
    BIOSTIMULANT_REVIEW,
    BIOSTIMULANT_TURF,
    CLEMSON_COLUMN,
    LSU_GILL,
    UARK_2008,
    UF_DUVAL_2021,
    UGA_SOIL_65,
    UGA_TWO_WEEKS,
    UK_2014,
    VT_GOATLEY_2010,
)
from rules.facts.fact import Source
from rules.facts.sources import COMMON_PRACTICE, UF_OKALOOSA


class School(StrEnum):
    """The two schools of feeding after a freeze."""

    FEED_LIGHTLY_AT_ONCE = "feed_lightly_at_once"
    WAIT_FOR_GREEN_UP = "wait_for_green_up"


class SchoolReason(StrEnum):
    """Why a school says what it says."""

    DAMAGED_TURF_REGROWS_FASTER = "damaged_turf_regrows_faster"
    SMALL_AND_OFTEN = "small_and_often"
    THIN_LAWNS_NEED_IT_MOST = "thin_lawns_need_it_most"
    ROOTS_DECLINE_AT_GREEN_UP = "roots_decline_at_green_up"
    FROST_ON_SOFT_GROWTH = "frost_on_soft_growth"
    FEEDS_WEEDS_AND_DISEASE = "feeds_weeds_and_disease"
    WASHES_AWAY = "washes_away"
    YELLOWS_IN_COLD_SOIL = "yellows_in_cold_soil"


class Evidence(StrEnum):
    """How strong the evidence for something is."""

    GOOD = "good"
    WEAK = "weak"
    NONE_FOUND = "none_found"


@dataclass(frozen=True, slots=True, kw_only=True)
class SchoolView:
    """One school: its reasons and who speaks for it."""

    school: School
    reasons: tuple[SchoolReason, ...]
    sources: tuple[Source, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BiostimulantView:
    """Seaweed and kelp extracts: optional, at their label's rate, and no nitrogen is counted for them.

    `general` is the evidence that they help stressed grass at all, `after_freeze` that they help after a freeze.
    """

    is_optional: bool
    counts_as_nitrogen: bool
    general: Evidence
    after_freeze: Evidence
    sources: tuple[Source, ...]


SCHOOLS: tuple[SchoolView, ...] = (
    SchoolView(
        school=School.FEED_LIGHTLY_AT_ONCE,
        reasons=(
            SchoolReason.DAMAGED_TURF_REGROWS_FASTER,
            SchoolReason.SMALL_AND_OFTEN,
            SchoolReason.THIN_LAWNS_NEED_IT_MOST,
        ),
        sources=(UF_OKALOOSA, AGRILIFE_WOODSON_2010, AGRILIFE_BEGNAUD, UK_2014, COMMON_PRACTICE),
    ),
    SchoolView(
        school=School.WAIT_FOR_GREEN_UP,
        reasons=(
            SchoolReason.ROOTS_DECLINE_AT_GREEN_UP,
            SchoolReason.FROST_ON_SOFT_GROWTH,
            SchoolReason.FEEDS_WEEDS_AND_DISEASE,
            SchoolReason.WASHES_AWAY,
            SchoolReason.YELLOWS_IN_COLD_SOIL,
        ),
        sources=(
            UGA_SOIL_65,
            UGA_TWO_WEEKS,
            LSU_GILL,
            CLEMSON_COLUMN,
            VT_GOATLEY_2010,
            UF_DUVAL_2021,
            AGRILIFE_GRANT_2021,
        ),
    ),
)

BIOSTIMULANT = BiostimulantView(
    is_optional=True,
    counts_as_nitrogen=False,
    general=Evidence.WEAK,
    after_freeze=Evidence.NONE_FOUND,
    sources=(BIOSTIMULANT_REVIEW, BIOSTIMULANT_TURF, UARK_2008),
)
