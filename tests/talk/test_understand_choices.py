"""Choices by number, ordinal or name; yes and no; names of the parts of a lawn; which grass."""

from __future__ import annotations

import pytest

from bot.talk.case import NamesTold
from bot.talk.understand import GrassHeard, Unclear, grass, names, pick_one, picks, yes_no
from bot.talk.understand.grasses_spoken import SPOKEN_CULTIVARS, SPOKEN_NAMES
from rules.facts.grasses import CULTIVAR_BY_CODE, CULTIVARS, SPECIES

SHAPES = (
    ("st_augustine", ("St. Augustine", "wide flat blades, thick runners")),
    ("bermuda", ("bermuda", "fine blades, wiry")),
    ("zoysia", ("zoysia", "stiff, dense")),
    ("green", ("green",)),
    ("mostly", ("mostly green",)),
)
SNOW = (("snow", ("snow",)), ("none", ("no snow",)), ("ice", ("ice",)))
YES_NO = (("yes", ("yes, remind me",)), ("no", ("no thanks",)))


def test_what_stands_after_the_comma_of_a_choice_is_enough() -> None:
    """People leave out the "no" of "no, only in places"."""
    options = [("yes", ("yes, all over", "yes")), ("no", ("no, only in places", "no"))]

    assert pick_one("only in places", options) == "no"
    assert pick_one("all over", options) == "yes"


@pytest.mark.parametrize(
    ("said", "code"),
    [
        ("1", "st_augustine"),
        ("2.", "bermuda"),
        ("#3", "zoysia"),
        ("(2)", "bermuda"),
        ("２", "bermuda"),
        ("option 2", "bermuda"),
        ("number two", "bermuda"),
        ("two", "bermuda"),
        ("2 please", "bermuda"),
        ("the second one", "bermuda"),
        ("2nd", "bermuda"),
        ("i think it is the first", "st_augustine"),
        ("last", "mostly"),
        ("the last one", "mostly"),
        ("st. augustine", "st_augustine"),
        ("ST AUGUSTINE!", "st_augustine"),
        ("st_augustine", "st_augustine"),
        ("St Augustin", "st_augustine"),
        ("bermudda", "bermuda"),
        ("zoy", "zoysia"),
        ("wide flat blades", "st_augustine"),
        ("it's zoysia I think", "zoysia"),
        ("stiff", "zoysia"),
        ("green", "green"),
        ("mostly green", "mostly"),
        ("it is mostly green", "mostly"),
    ],
)
def test_one_choice_is_picked_by_number_or_name(said: str, code: str) -> None:
    """Figures, words, openings and small slips."""
    assert code == pick_one(said, SHAPES)


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        ("", "empty"),
        ("6", "which"),
        ("0", "which"),
        ("17 inches", "which"),
        ("banana", "which"),
        ("b", "which"),
        ("1 and 2", "which"),
        ("not bermuda", "which"),
        ("not mostly green", "which"),
        ("bermuda or zoysia", "two_near"),
        ("😀", "which"),
    ],
)
def test_choice_is_not_guessed(said: str, reason: str) -> None:
    """Two near, none near, or a "not" before it: asked again."""
    assert reason == getattr(pick_one(said, SHAPES), "reason", None)


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("no snow", "none"),
        ("there was no snow", "none"),
        ("snow", "snow"),
        ("some ice", "ice"),
        ("no ice", Unclear("which", 1, 3)),
        ("not snow", Unclear("which", 1, 3)),
        ("not ice", Unclear("which", 1, 3)),
        ("ice and snow", Unclear("two_near")),
        ("no snow just ice", Unclear("two_near")),
    ],
)
def test_denied_choice_is_not_taken(said: str, expected: str | Unclear) -> None:
    """ "No snow" is a choice of its own; "no ice" is none of them."""
    assert expected == pick_one(said, SNOW)


@pytest.mark.parametrize(
    ("said", "code"), [("yep", "yes"), ("ok", "yes"), ("👍", "yes"), ("nah", "no"), ("no just cold", "no")]
)
def test_yes_and_no_fit_choices_of_those_codes(said: str, code: str) -> None:
    """Where the choices are yes and no, all their words count."""
    assert code == pick_one(said, YES_NO)


@pytest.mark.parametrize(
    ("said", "codes"),
    [
        ("1, 3 and 5", ("st_augustine", "zoysia", "mostly")),
        ("1 3 5", ("st_augustine", "zoysia", "mostly")),
        ("5,3,1,1", ("st_augustine", "zoysia", "mostly")),
        ("1/3", ("st_augustine", "zoysia")),
        ("1&2", ("st_augustine", "bermuda")),
        ("2 to 4", ("bermuda", "zoysia", "green")),
        ("1-3", ("st_augustine", "bermuda", "zoysia")),
        ("first and third", ("st_augustine", "zoysia")),
        ("the first one and the last one", ("st_augustine", "mostly")),
        ("one and two", ("st_augustine", "bermuda")),
        ("i think 1 and 3 please", ("st_augustine", "zoysia")),
        ("bermuda, zoysia", ("bermuda", "zoysia")),
        ("bermudda and zoysa", ("bermuda", "zoysia")),
        ("2", ("bermuda",)),
        ("all", ("st_augustine", "bermuda", "zoysia", "green", "mostly")),
        ("all of them", ("st_augustine", "bermuda", "zoysia", "green", "mostly")),
        ("all but 2", ("st_augustine", "zoysia", "green", "mostly")),
        ("everything except bermuda and zoysia", ("st_augustine", "green", "mostly")),
        ("none", ()),
        ("none of these", ()),
    ],
)
def test_several_choices_come_back_in_the_order_offered(said: str, codes: tuple[str, ...]) -> None:
    """Lists, ranges, all, all but, none."""
    assert codes == picks(said, SHAPES)


@pytest.mark.parametrize("said", ["all", "all of them", "everything", "both"])
def test_all_of_them_is_not_none_of_them(said: str) -> None:
    """A choice that says that none fits is no part of "all"."""
    options = [("shade", ("in shade",)), ("wet", ("low, wet",)), ("none", ("none of these",))]

    assert picks(said, options) == ("shade", "wet")
    assert picks("none of these", options) == ("none",)
    assert picks("all but 2", options) == ("shade",)


@pytest.mark.parametrize(
    "said", ["", "7", "1 and 9", "1 and banana", "135", "all but banana", "please", "all but " * 900]
)
def test_list_with_an_unknown_part_is_unclear(said: str) -> None:
    """Half understood is not understood."""
    assert isinstance(picks(said, SHAPES), Unclear)


@pytest.mark.parametrize(
    "said",
    [
        "yes",
        "Yep!",
        "yeah",
        "y",
        "sure",
        "ok",
        "okay",
        "K",
        "👍",
        "👍🏽",
        "✅",
        "yes please",
        "yes it is",
        "yes, remind me",
        "correct",
        "that's right",
        "absolutely",
        "uh huh",
        "please do",
        "ok go ahead",
        "sure, why not",
        "i think so",
        "of course",
        "Sí",
    ],
)
def test_yes_in_many_words(said: str) -> None:
    """Agreement, plain or soft."""
    assert yes_no(said) is True


@pytest.mark.parametrize(
    "said",
    [
        "no",
        "nope",
        "nah",
        "n",
        "👎",
        "❌",
        "no thanks",
        "no, just cold",
        "not really",
        "not yet",
        "never",
        "no way",
        "i don't think so",
        "absolutely not",
        "of course not",
        "that's wrong",
        "don't",
        "no sir",
    ],
)
def test_no_in_many_words(said: str) -> None:
    """Refusal, plain or soft."""
    assert yes_no(said) is False


@pytest.mark.parametrize(
    "said",
    [
        "",
        "maybe",
        "not sure",
        "i don't know",
        "no idea",
        "no problem",
        "yes and no",
        "👍👎",
        "ok stop",
        "ok but hurry",
        "half",
        "17",
        "north",
    ],
)
def test_neither_yes_nor_no(said: str) -> None:
    """What is both, or neither, is not bent into one."""
    assert yes_no(said) is None


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("front, back and the north side", ("front", "back", "north side")),
        ("Front; back", ("Front", "back")),
        ("front/back", ("front", "back")),
        ("just the front", ("front",)),
        ("Mom's side + back-yard", ("Mom's side", "back-yard")),
        ("front, Front, FRONT", ("front",)),
        ("front 🌱 and back", ("front", "back")),
        ("we have the front and the back", ("front", "back")),
        ("el frente y atrás", ("el frente y atrás",)),
        ("by the mailbox", ("mailbox",)),
        ("By mailbox", ("mailbox",)),
        ("near the street", ("street",)),
        ("along the drive", ("drive",)),
        ("next to the garage", ("garage",)),
        ("over by the shed", ("shed",)),
        ("on the hill", ("hill",)),
        ("by the side of the house", ("side of the house",)),
        ("in front of the house", ("front of the house",)),
        ("under the oak", ("part under the oak",)),
        ("Behind the shed", ("part behind the shed",)),
        ("under the oak and by the mailbox", ("part under the oak", "mailbox")),
        ("the strip along the drive", ("strip along the drive",)),
        ("the lot", ("lot",)),
    ],
)
def test_names_are_kept_in_the_owners_words(said: str, expected: tuple[str, ...]) -> None:
    """Split at commas and "and", without articles, each once; every one reads well after "the"."""
    assert NamesTold(names=expected) == names(said)


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        ("", "empty"),
        ("3", "no_name"),
        ("😀", "no_name"),
        ("just one", "no_name"),
        ("everything is brown", "no_name"),
        ("some spots look different", "no_name"),
        ("a bit", "no_name"),
        ("yes, a little", "no_name"),
        ("a little bit", "no_name"),
        ("a lot", "no_name"),
        ("quite a lot", "no_name"),
        ("some", "no_name"),
        ("some of it", "no_name"),
        ("kind of", "no_name"),
        ("by", "no_name"),
        ("a, b, c, d, e, f, g", "too_many"),
        ("x" * 50, "too_long"),
    ],
)
def test_names_out_of_reason_are_unclear(said: str, reason: str) -> None:
    """No letters, too many, or a whole sentence."""
    assert reason == getattr(names(said), "reason", None)


@pytest.mark.parametrize(
    ("said", "code", "cultivar"),
    [
        ("st augustin", "st_augustine", None),
        ("saint augustine", "st_augustine", None),
        ("St. Augustine", "st_augustine", None),
        ("St. Augustinegrass", "st_augustine", None),
        ("saint agustine grass", "st_augustine", None),
        ("charleston grass", "st_augustine", None),
        ("i think it's st augustine but not sure", "st_augustine", None),
        ("st augustine with some weeds", "st_augustine", None),
        ("bermudda", "bermuda", None),
        ("berumda", "bermuda", None),
        ("bermuda grass lawn", "bermuda", None),
        ("not zoysia, bermuda", "bermuda", None),
        ("zoyzia", "zoysia", None),
        ("zosia", "zoysia", None),
        ("centepede", "centipede", None),
        ("centipedegrass", "centipede", None),
        ("bahaia", "bahia", None),
        ("buffallo", "buffalo", None),
        ("seashore paspallum", "seashore_paspalum", None),
        ("carpet grass", "carpetgrass", None),
        ("floratam", "st_augustine", "floratam"),
        ("floritam", "st_augustine", "floratam"),
        ("raleigh st augustine", "st_augustine", "raleigh"),
        ("FX-332", "st_augustine", "fx_332"),
        ("tifway 419", "bermuda", "tifway"),
        ("419", "bermuda", "tifway"),
        ("tif tuf", "bermuda", "tiftuf"),
        ("tahoma 31", "bermuda", "tahoma_31"),
        ("Latitude 36 bermuda", "bermuda", "latitude_36"),
        ("common bermuda", "bermuda", "common_bermuda"),
        ("baby", "bermuda", "baby"),
        ("empire zoysia", "zoysia", "empire"),
        ("Zoysia (Meyer)", "zoysia", "meyer"),
        ("el toro", "zoysia", "el_toro"),
        ("tifblair", "centipede", "tifblair"),
        ("argentine bahia", "bahia", "argentine"),
        ("buffalo 609", "buffalo", "609"),
        ("I live in Pensacola and have bermuda", "bermuda", None),
    ],
)
def test_grass_is_recognised_with_its_cultivar(said: str, code: str, cultivar: str | None) -> None:
    """Species, cultivars and spelling slips; a town that is also a cultivar of another grass is no cultivar."""
    heard = grass(said)

    assert (code, cultivar, None) == (heard.grass, heard.cultivar, heard.out_of_scope)
    assert heard.score >= 80


@pytest.mark.parametrize(
    ("said", "code", "scope"),
    [
        ("fescue", None, "cool_season"),
        ("kentucky bluegrass", None, "cool_season"),
        ("bluegras", None, "cool_season"),
        ("ryegrass", None, "cool_season"),
        ("bermuda overseeded with rye", "bermuda", "rye_overseeded"),
        ("rye on top of bermuda", "bermuda", "rye_overseeded"),
        ("overseeded", None, "rye_overseeded"),
        ("mixed", None, "mixed"),
        ("bermuda and centipede", None, "mixed"),
        ("bermuda with some zoysia", None, "mixed"),
        ("a mix of bermuda and maybe zoysia", None, "mixed"),
        ("a mix of bermuda and weeds", "bermuda", "mixed"),
        ("fescue and bermuda", "bermuda", "mixed"),
        ("weeds", None, "not_grass"),
        ("artificial turf", None, "not_grass"),
    ],
)
def test_lawns_without_a_plan_are_recognised(said: str, code: str | None, scope: str) -> None:
    """Cool-season, overseeded, mixed and none at all are said so, not forced into a species."""
    heard = grass(said)

    assert (code, None, scope) == (heard.grass, heard.cultivar, heard.out_of_scope)


@pytest.mark.parametrize(
    "said",
    [
        "bermuda or zoysia",
        "either bermuda or zoysia",
        "centipede or maybe st aug",
        "centepede or zoysia",
        "bermudda or zoyzia",
        "not sure if bermuda or zoysia",
        "bermuda, maybe zoysia",
        "bermuda/zoysia",
        "zoysia i think, could be bermuda",
        "tifway or meyer",
        "bermuda or fescue",
        "bermuda or rye",
        "bermuda front, zoysia back",
        "bermuda in front and zoysia in back",
        "st augustine in the shade, bermuda along the street",
    ],
)
def test_of_two_grasses_none_is_taken(said: str) -> None:
    """ "Either or", and one here and another there: which one is to be asked, not the first that was named."""
    assert GrassHeard(unclear=Unclear("two_near")) == grass(said)


@pytest.mark.parametrize(
    ("said", "code"),
    [
        ("bermuda not zoysia", "bermuda"),
        ("bermuda or something", "bermuda"),
        ("tifway or tiftuf", "bermuda"),
        ("bermuda or weeds", "bermuda"),
        ("maybe bermuda", "bermuda"),
    ],
)
def test_one_grass_beside_an_or_is_taken(said: str, code: str) -> None:
    """What is denied, or is no other grass, leaves no choice."""
    assert code == grass(said).grass
    assert grass(said).unclear is None


@pytest.mark.parametrize(
    "said",
    [
        "",
        "😀",
        "grass",
        "green grass",
        "wide flat blades",
        "not bermuda",
        "my baby sits on the lawn",
        "i dont know",
        "the house of a champion of the empire",
        "banana",
    ],
)
def test_grass_is_not_guessed(said: str) -> None:
    """No name, a denied one, or an everyday word: nothing heard."""
    assert GrassHeard() == grass(said)


def test_spoken_cultivars_are_those_of_the_facts() -> None:
    """Every cultivar can be said, and none is understood that has no figures."""
    assert set(CULTIVAR_BY_CODE) == set(SPOKEN_CULTIVARS)
    for name in SPOKEN_NAMES.values():
        if name.kind == "cultivar":
            assert name.grass == CULTIVAR_BY_CODE[name.code].grass.value


def test_every_cultivar_is_understood_by_its_own_name_beside_its_grass() -> None:
    """ "Meyer zoysia", "TifTuf bermuda": as on the label of the sod."""
    for cultivar in CULTIVARS:
        heard = grass(f"{cultivar.name} {cultivar.grass.value.replace('_', ' ')}")
        assert (cultivar.grass.value, cultivar.code) == (heard.grass, heard.cultivar), cultivar.name


def test_every_species_of_the_facts_is_understood_by_its_name() -> None:
    """The eight species by their plain names."""
    for species in SPECIES:
        assert species.code.value == grass(species.code.value.replace("_", " ")).grass
