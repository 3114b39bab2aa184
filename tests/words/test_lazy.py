"""Entries parsed one by one are the ones a parser of whole catalogues finds."""

from __future__ import annotations

from pathlib import Path

import pytest
from fluent.syntax import FluentParser, FluentSerializer, ast

from bot.words import catalogue
from bot.words.lazy import LazyBundle

FILES = sorted((Path(catalogue.__file__).parent).glob("*/*.ftl"))


@pytest.mark.parametrize("path", FILES, ids=[path.name for path in FILES])
def test_every_entry_is_found_as_it_stands(path: Path) -> None:
    """The library's parser of whole files is the judge: the same names, the same patterns and attributes."""
    whole = FluentParser().parse(path.read_text(encoding="utf-8"))
    entries = [each for each in whole.body if isinstance(each, ast.Message | ast.Term)]
    assert not [each for each in whole.body if isinstance(each, ast.Junk)]
    bundle = LazyBundle(["en-US"])
    bundle.add_text(path.read_text(encoding="utf-8"))

    assert bundle.keys() == {each.id.name for each in entries if isinstance(each, ast.Message)}
    for each in entries:
        bundle._lookup(each.id.name, term=isinstance(each, ast.Term))
        kept = (bundle._terms if isinstance(each, ast.Term) else bundle._messages)[each.id.name]
        each.comment = None
        assert FluentSerializer().serialize_entry(kept) == FluentSerializer().serialize_entry(each)


def test_entries_that_name_others_find_them() -> None:
    """Whatever order they are asked for in; what is not there is an error that is told."""
    bundle = LazyBundle(["en-US"])
    bundle.add_text("-name = Frost\nfirst = { second } of { -name }\n    .sms = { third }\n# a remark\nsecond = Two\n")
    message = bundle.get_message("first")

    assert bundle.format_pattern(message.value) == ("Two of Frost", [])
    assert bundle.format_pattern(message.attributes["sms"])[1]
    assert not bundle.has_message("third")
    assert bundle.keys() == {"first", "second"}


def test_a_closing_brace_in_the_first_column_ends_no_entry() -> None:
    """Fluent lets the end of a choice stand there."""
    bundle = LazyBundle(["en-US"])
    bundle.add_text("count = { $n ->\n    [one] one spot\n   *[other] { $n } spots\n}\nnext = Next\n")

    assert bundle.format_pattern(bundle.get_message("count").value, {"n": 2}) == ("2 spots", [])
    assert bundle.has_message("next")
