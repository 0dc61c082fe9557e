from __future__ import annotations

import html

import pytest
from hypothesis import given
from hypothesis import strategies as st

from authorkit.output.html.markup import escape, tag
from tests.output.html.reading import read_html


@given(st.text(st.characters(exclude_categories=("Cc", "Cs", "Cn", "Cf", "Co"))))
def test_escaped_text_reads_back_as_it_was_and_holds_no_markup(text: str) -> None:
    escaped = escape(text)
    assert html.unescape(escaped) == text
    assert not set(escaped) & set("<>\"'")


@given(st.text(st.characters(exclude_categories=("Cc", "Cs", "Cn", "Cf", "Co"))))
def test_text_in_an_attribute_reads_back_as_it_was(text: str) -> None:
    element = read_html(tag("p", "x", title=text)).one("p")
    assert element.attributes.get("title", "") == text


# HTML Living Standard, 13.2.3.5 (control-character, noncharacter and surrogate errors); the direction marks are those
# of Unicode Standard Annex 9, table 4, that turn the text around them.
@pytest.mark.parametrize("code", [0, 8, 0x0B, 0x1F, 0x7F, 0x9F, 0xD800, 0xFDD0, 0xFFFE, 0x1FFFF, 0x202E, 0x2066])
def test_a_code_point_that_html_forbids_or_that_turns_the_text_becomes_the_replacement_mark(code: int) -> None:
    assert escape(f"a{chr(code)}b") == "a\ufffdb"


@pytest.mark.parametrize("letter", "\t\n Ω°µ\u202f\u00a0é漢😀")
def test_letters_of_the_trade_stay(letter: str) -> None:
    assert escape(letter) == letter


def test_an_attribute_without_a_value_is_left_out() -> None:
    assert tag("p", id="", title=None, hidden=False) == "<p></p>"
    assert tag("p", hidden=True) == "<p hidden></p>"


def test_an_element_that_cannot_hold_anything_has_no_end_tag() -> None:
    assert tag("br") == "<br>"
