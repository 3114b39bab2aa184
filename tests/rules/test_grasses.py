"""Which grass it is and what that means."""

from __future__ import annotations

import pytest

from rules.errors import NotEnoughData
from rules.facts.fact import SourceKind
from rules.facts.grasses import CULTIVARS, SPECIES
from rules.grasses import (
    Basis,
    Cultivar,
    Grass,
    GrassCode,
    GrowthHabit,
    cultivar,
    cultivars_of,
    grass,
    is_seedable,
    nitrogen_limit_lb_per_1000_sqft,
    tolerance,
)

KNOWN: tuple[Grass | Cultivar, ...] = (*SPECIES, *CULTIVARS)
STOLONS_ONLY = {GrassCode.ST_AUGUSTINE, GrassCode.CENTIPEDE, GrassCode.CARPETGRASS, GrassCode.BUFFALO}


def test_every_species_is_there_once() -> None:
    """Each grass code has exactly one species."""
    assert sorted(GrassCode) == sorted(species.code for species in SPECIES)


def test_only_the_four_surface_runner_grasses_have_no_rhizomes() -> None:
    """St. Augustine, centipede, carpetgrass and buffalo have no second chance below the surface."""
    without = {species.code for species in SPECIES if not species.has_rhizomes}

    assert without == STOLONS_ONLY
    assert grass(GrassCode.ZOYSIA).habit is GrowthHabit.DENSE_RHIZOMES
    assert grass(GrassCode.BAHIA).habit is GrowthHabit.SHORT_RHIZOMES


def test_cultivar_codes_are_unique_and_point_to_their_species() -> None:
    """A code names one cultivar, and the lists by species together hold all of them."""
    codes = [each.code for each in CULTIVARS]

    assert len(codes) == len(set(codes))
    assert sorted(codes) == sorted(each.code for code in GrassCode for each in cultivars_of(code))


def test_unknown_cultivar_and_cultivar_of_another_species_are_refused() -> None:
    """A tolerance is never made up for a cultivar that does not exist or does not belong."""
    with pytest.raises(NotEnoughData, match="no cultivar"):
        cultivar("evergreen")
    with pytest.raises(NotEnoughData, match="bermuda"):
        tolerance(GrassCode.ZOYSIA, "tifway")


def test_species_tolerance_is_used_when_the_cultivar_is_not_known() -> None:
    """Without a cultivar the species' own, wider figures hold."""
    species = tolerance(GrassCode.ST_AUGUSTINE)

    assert species.lt50_c == -5.3
    assert species.sd_dc > tolerance(GrassCode.ST_AUGUSTINE, "raleigh").sd_dc


def test_order_of_species_follows_the_published_ranking() -> None:
    """Buffalo stands most, then zoysia, bermuda, centipede or paspalum, St. Augustine; carpetgrass least."""
    order = (
        GrassCode.BUFFALO,
        GrassCode.ZOYSIA,
        GrassCode.BERMUDA,
        GrassCode.SEASHORE_PASPALUM,
        GrassCode.ST_AUGUSTINE,
        GrassCode.CARPETGRASS,
    )
    limits = [tolerance(code).lt50_c for code in order]

    assert limits == sorted(limits)


def test_order_of_cultivars_follows_the_papers() -> None:
    """Raleigh stands more than Floratam, Tahoma 31 more than Tifway, Meyer more than Diamond."""
    pairs = (
        (GrassCode.ST_AUGUSTINE, "raleigh", "floratam"),
        (GrassCode.BERMUDA, "tahoma_31", "tifway"),
        (GrassCode.BERMUDA, "patriot", "latitude_36"),
        (GrassCode.ZOYSIA, "meyer", "diamond"),
        (GrassCode.CENTIPEDE, "tifblair", None),
    )
    for code, hardier, softer in pairs:
        assert tolerance(code, hardier).lt50_c < tolerance(code, softer).lt50_c


def test_what_nobody_measured_is_not_called_measured() -> None:
    """TifTuf, Celebration, Captiva, bahia and others have no laboratory figure and say so."""
    judged = ("tiftuf", "celebration", "captiva", "citrablue", "tamstar", "seville", "argentine")
    ranked = ("palmetto", "mercedes", "latitude_36", "northbridge", "midiron")

    assert {cultivar(code).basis for code in judged} == {Basis.JUDGEMENT}
    assert {cultivar(code).basis for code in ranked} == {Basis.BY_RANK}
    assert tolerance(GrassCode.BAHIA).basis is Basis.JUDGEMENT


def test_doubt_and_shift_are_never_negative_and_shift_never_lifts_a_limit_over_freezing() -> None:
    """An LT50 of soft tissue stays a freezing temperature."""
    for code in GrassCode:
        for named in (None, *(each.code for each in cultivars_of(code))):
            known = tolerance(code, named)
            assert known.sd_dc > 0
            assert known.unhardened_shift_dc >= 0
            assert known.lt50_c + known.unhardened_shift_dc < 0


def test_dwarf_st_augustine_is_mown_lower() -> None:
    """Seville, Delmar and Captiva have their own, lower range."""
    dwarfs = {each.code for each in cultivars_of(GrassCode.ST_AUGUSTINE) if each.dwarf}
    floors = {each.mowing_in.low for each in cultivars_of(GrassCode.ST_AUGUSTINE) if each.mowing_in}

    assert dwarfs == {"seville", "delmar", "captiva"}
    assert floors == {2.0}


def test_nitrogen_of_a_year_has_florida_figures_of_its_own() -> None:
    """Florida's county limits hold there, in any case of the state's letters; elsewhere the cautious national one."""
    for code in GrassCode:
        assert nitrogen_limit_lb_per_1000_sqft(code, "GA").value > 0
    assert nitrogen_limit_lb_per_1000_sqft(GrassCode.CENTIPEDE, "fl").value == 2
    assert nitrogen_limit_lb_per_1000_sqft(GrassCode.CENTIPEDE, "GA").value == 1
    assert nitrogen_limit_lb_per_1000_sqft(GrassCode.BUFFALO, "FL").value == 0.3


def test_every_printed_value_lies_in_the_range_of_its_limit() -> None:
    """The range of an LT50 covers every value that a paper prints for it, agreeing or not."""
    outside = [
        (known.code, printed)
        for known in KNOWN
        for printed, _ in known.lt50_c.others
        if not known.lt50_c.low <= printed <= known.lt50_c.high
    ]

    assert outside == []


def test_a_measured_limit_names_a_paper_and_a_placed_one_says_how_it_was_placed() -> None:
    """Nothing that was judged passes for published, and the note says by rank or a guess."""
    for known in KNOWN:
        if known.basis is Basis.MEASURED:
            assert known.lt50_c.source.kind is SourceKind.PUBLISHED
        else:
            assert known.lt50_c.source.kind is SourceKind.EXPERT_JUDGEMENT
            assert "rank" in known.lt50_c.note or "guess" in known.lt50_c.note


def test_fine_hybrids_are_not_sold_as_seed() -> None:
    """Common bermuda is; Tifway, a sterile hybrid of it, is not."""
    assert is_seedable(GrassCode.BERMUDA)
    assert not is_seedable(GrassCode.BERMUDA, "tifway")
    assert not is_seedable(GrassCode.ST_AUGUSTINE)
