"""Reads the Fluent catalogues and renders messages. A key that is missing is an error, never an empty message."""

from __future__ import annotations

import logging
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from babel import Locale
from fluent.runtime import FluentBundle, FluentResource

from bot.errors import AfterfrostError
from bot.talk.case import Homeowner
from bot.talk.effects import Say
from bot.talk.messages import Sentences, Text, Value
from bot.talk.ports import Rendered, RenderedChoice
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

    def render(self, say: Say, homeowner: Homeowner) -> Rendered:
        """One message in final words, in the homeowner's language and units."""
        style = self.style_of(homeowner)
        language = self._language(homeowner.language)
        paragraphs = [self._text(part, language, style) for part in say.parts]
        described = Text(key=f"picture-{say.picture}") if say.picture else say.chart_alt
        alt = self._text(described, language, style) if described else None
        return Rendered(
            text=_joined([paragraph for paragraph in paragraphs if paragraph]),
            choices=tuple(
                RenderedChoice(token=choice.token, label=self._text(choice.label, language, style))
                for choice in say.choices
            ),
            several=say.several,
            numbered=say.numbered,
            step=say.step,
            steps=say.steps,
            picture=say.picture,
            picture_alt=alt,
            photos=say.photos,
            chart=say.chart,
        )

    def text(self, message: Text, *, language: str = "en", metric: bool = False) -> str:
        """One text by itself: for the page's own labels, files and tests."""
        language = self._language(language)
        return self._text(message, language, Style(Locale.parse(LANGUAGES[language]), metric))

    def spoken(self, language: str, key: str) -> tuple[str, ...]:
        """The words a person may type for a choice: its label and the `.said` list of its entry."""
        return self._spoken(self._language(language), key)

    def style_of(self, homeowner: Homeowner) -> Style:
        """How this homeowner reads numbers."""
        return Style(_locale(LANGUAGES[self._language(homeowner.language)]), homeowner.metric)

    def keys(self, language: str) -> frozenset[str]:
        """Every key of a catalogue: for tests."""
        return frozenset(self._bundles[language]._messages)

    def _spoken(self, language: str, key: str) -> tuple[str, ...]:
        message = self._message(key, language)
        patterns = [each for each in (message.value, message.attributes.get("said")) if each is not None]
        said = [self._fill(each, {"units": units}, key, language) for each in patterns for units in ("us", "metric")]
        return tuple(dict.fromkeys(word.strip() for each in said for word in each.split("|") if word.strip()))

    def _text(self, message: Text, language: str, style: Style) -> str:
        fill = {name: self._value(value, language, style) for name, value in message.values.items()}
        fill["units"] = "metric" if style.metric else "us"
        entry = self._message(message.key, language)
        if entry.value is None:
            raise WordsError(f"catalogue entry {message.key!r} ({language}) has no text")
        return self._fill(entry.value, fill, message.key, language)

    def _value(self, value: Value, language: str, style: Style) -> str | int | float:
        if isinstance(value, Text):
            return self._text(value, language, style)
        if isinstance(value, Sentences):
            return " ".join(self._text(item, language, style) for item in value.items)
        shown = phrase_of(value, style)
        if isinstance(shown, Phrase):
            return self._fill(self._message(shown.key, language).value, shown.fill, shown.key, language)
        if isinstance(shown, tuple):
            return joined([str(self._value(item, language, style)) for item in shown], style)
        return shown

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

    def _load(self, language: str) -> FluentBundle:
        bundle = FluentBundle([LANGUAGES[language].replace("_", "-")], use_isolating=False)
        for path in sorted((self._folder / language).glob("*.ftl")):
            bundle.add_resource(FluentResource(path.read_text(encoding="utf-8")))
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
