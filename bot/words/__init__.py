"""All text for people, and how numbers, dates and units are put into it. Catalogues are Fluent files by language."""

from bot.words.catalogue import Words, WordsError

__all__ = ["Words", "WordsError"]
