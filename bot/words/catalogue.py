"""Reads the Fluent catalogues and renders messages. A key that is missing is an error, never an empty message."""

from __future__ import annotations

import logging
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any

from babel import Locale

from bot.errors import AfterfrostError
from bot.talk.case import Homeowner
from bot.talk.effects import Say
from bot.talk.messages import Sentences, Text, Value
from bot.talk.ports import Rendered, RenderedChoice
from bot.words.lazy import LazyBundle
from bot.words.short import choices_text, without_repeats
from bot.words.values import Phrase, Style, joined, phrase_of

log = logging.getLogger(__name__)

LANGUAGES: Mapping[str, str] = {"en": "en_US"}
"""Catalogue folder to the locale whose plural forms, numbers and dates it uses."""


class WordsError(AfterfrostError):
    """A catalogue entry is missing or cannot be filled. The message names the key and the language."""


class Words:
    """All catalogues, loaded once."""

    def __init__(self, folder: Path | None = None) -> None:
        self._folder = folder or Path(__file__).parent
        self._bundles = {language: self._load(language) for language in LANGUAGES}
        self._spoken_kept: dict[tuple[str, str], tuple[str, ...]] = {}  # by language and key: catalogues never change
        self._fixed_kept: dict[tuple[str, str, bool, bool], str] = {}  # texts without values, for each way of reading

    def render(self, say: Say, homeowner: Homeowner, *, is_short: bool = False) -> Rendered:
        """One message in final words, in the homeowner's language and units; `is_short`: as for SMS."""
        language = self._language(homeowner.language)
        style = self.style_of(homeowner, is_short=is_short)
        choices = tuple(
            RenderedChoice(token=choice.token, label=self._text(choice.label, language, style))
            for choice in say.choices
        )
        if is_short:
            return self._short(say, choices, language, style)
        described = Text(key=f"picture-{say.picture}") if say.picture else say.chart_alt
        return Rendered(
            text=_joined(self._paragraphs(say.parts, language, style)),
            choices=choices,
            several=say.several,
            numbered=say.numbered,
            step=say.step,
            steps=say.steps,
            picture=say.picture,
            picture_alt=self._text(described, language, style) if described else None,
            photos=say.photos,
            metric=homeowner.metric,
            chart=say.chart,
        )

    def _short(self, say: Say, choices: tuple[RenderedChoice, ...], language: str, style: Style) -> Rendered:
        """A message without pictures, whose text holds its progress and its choices."""

        def frame(key: str, **fill: str | int) -> str:
            return self._fill(self._message(key, language).value, dict(fill), key, language)

        parts = without_repeats((*say.parts, say.chart_alt) if say.chart_alt else say.parts)
        labels = [choice.label for choice in choices]
        offered = choices_text(labels, frame, style.locale, several=say.several, numbered=say.numbered)
        told = "\n".join(part for part in (*self._paragraphs(parts, language, style), offered) if part)
        if say.step is not None and say.steps is not None:
            told = f"{frame('sms-progress', step=say.step, steps=say.steps)} {told}"
        return Rendered(
            text=told,
            choices=choices,
            several=say.several,
            numbered=say.numbered,
            step=say.step,
            steps=say.steps,
        )

    def _paragraphs(self, parts: Sequence[Text], language: str, style: Style) -> list[str]:
        paragraphs = (self._text(part, language, style) for part in parts)
        return [paragraph for paragraph in paragraphs if paragraph]

    def text(self, message: Text, *, language: str = "en", metric: bool = False, is_short: bool = False) -> str:
        """One text by itself: for the page's own labels, files and tests."""
        language = self._language(language)
        return self._text(message, language, Style(_locale(LANGUAGES[language]), metric, is_short))

    def spoken(self, language: str, key: str) -> tuple[str, ...]:
        """The words a person may type for a choice: its labels and the `.said` list of its entry."""
        of_key = (self._language(language), key)
        kept = self._spoken_kept.get(of_key)
        if kept is None:
            kept = self._spoken_kept[of_key] = self._spoken(*of_key)
        return kept

    def style_of(self, homeowner: Homeowner, *, is_short: bool = False) -> Style:
        """How this homeowner reads numbers."""
        return Style(_locale(LANGUAGES[self._language(homeowner.language)]), homeowner.metric, is_short)

    def keys(self, language: str) -> frozenset[str]:
        """Every key of a catalogue: for tests."""
        return self._bundles[language].keys()

    def _spoken(self, language: str, key: str) -> tuple[str, ...]:
        message = self._message(key, language)
        told = (message.value, message.attributes.get("said"), message.attributes.get("sms"))
        patterns = [each for each in told if each is not None]
        said = [self._fill(each, {"units": units}, key, language) for each in patterns for units in ("us", "metric")]
        return tuple(dict.fromkeys(word.strip() for each in said for word in each.split("|") if word.strip()))

    def _text(self, message: Text, language: str, style: Style) -> str:
        if message.values:
            return self._worded(message, language, style)
        of_key = (language, message.key, style.metric, style.is_short)
        kept = self._fixed_kept.get(of_key)
        if kept is None:
            kept = self._fixed_kept[of_key] = self._worded(message, language, style)
        return kept

    def _worded(self, message: Text, language: str, style: Style) -> str:
        fill = {name: self._value(value, language, style) for name, value in message.values.items()}
        fill["units"] = "metric" if style.metric else "us"
        return self._filled(message.key, fill, language, style)

    def _value(self, value: Value, language: str, style: Style) -> str | int | float:
        if isinstance(value, Text):
            return self._text(value, language, style)
        if isinstance(value, Sentences):
            return " ".join(self._paragraphs(value.items, language, style))
        shown = phrase_of(value, style)
        if isinstance(shown, Phrase):
            return self._filled(shown.key, shown.fill, language, style)
        if isinstance(shown, tuple):
            return joined([str(self._value(item, language, style)) for item in shown], style)
        return shown

    def _filled(self, key: str, fill: dict[str, Any], language: str, style: Style) -> str:
        entry = self._message(key, language)
        if entry.value is None:
            raise WordsError(f"catalogue entry {key!r} ({language}) has no text")
        pattern = entry.attributes.get("sms", entry.value) if style.is_short else entry.value
        return self._fill(pattern, fill, key, language)

    def _message(self, key: str, language: str) -> Any:
        bundle = self._bundles[language]
        if not bundle.has_message(key):
            raise WordsError(f"no catalogue entry {key!r} in language {language!r}; add it under bot/words/{language}/")
        return bundle.get_message(key)

    def _fill(self, pattern: Any, fill: dict[str, Any], key: str, language: str) -> str:
        filled, errors = self._bundles[language].format_pattern(pattern, fill)
        if errors:
            raise WordsError(f"catalogue entry {key!r} ({language}) cannot be filled: {errors[0]!r}")
        return str(filled)

    def _language(self, wanted: str) -> str:
        return wanted if wanted in self._bundles else "en"

    def _load(self, language: str) -> LazyBundle:
        bundle = LazyBundle([LANGUAGES[language].replace("_", "-")])
        for path in sorted((self._folder / language).glob("*.ftl")):
            bundle.add_text(path.read_text(encoding="utf-8"))
        return bundle


_BULLET = "• "


def _joined(paragraphs: list[str]) -> str:
    """Paragraphs with an empty line between them; the lines of a list stand together."""
    text = ""
    for paragraph in paragraphs:
        in_list = paragraph.startswith(_BULLET) and text.rpartition("\n")[2].startswith(_BULLET)
        text += ("\n" if in_list else "\n\n" if text else "") + paragraph
    return text


@cache
def _locale(name: str) -> Locale:
    return Locale.parse(name)
