"""Words as Typst code: held against Typst itself, which must give back what was put in."""

from __future__ import annotations

import json

import typst
from hypothesis import given, settings
from hypothesis import strategies as st

from authorkit.manual.blocks import Code, Emphasis, LineBreak, Link, Picture, Strong, Text, WebLink, words
from authorkit.output.pdf.typst_text import array, braced, image, inlines, literal, optional


def read_back(expression: str) -> object:
    """What Typst understands by an expression."""
    source = f"#metadata({expression})<it>".encode()
    return json.loads(typst.Compiler(source).query("<it>", field="value", one=True))


# Any text but lone surrogates (no UTF-8) and the signs without a width that are dropped on purpose.
TEXT = st.text(
    st.characters(
        exclude_categories=["Cs"], exclude_characters="\u00ad\u2060" + "".join(map(chr, range(0xFE00, 0xFE10)))
    )
)


@settings(deadline=None, max_examples=60)
@given(TEXT)
def test_typst_reads_a_literal_as_the_text_it_was_made_from(text: str) -> None:
    assert read_back(literal(text)) == text


def test_quotes_backslashes_and_line_ends_cannot_end_a_literal() -> None:
    assert literal('a"b\\c\nd\te') == '"a\\"b\\\\c\\nd\\te"'


def test_signs_without_a_width_are_dropped_so_that_a_search_finds_the_word() -> None:
    assert literal("ther\u00admo\u2060stat\ufe0f") == '"thermostat"'


def test_no_text_is_none_where_it_may_be_missing() -> None:
    assert (optional(""), optional("x")) == ("none", '"x"')


def test_an_array_of_one_is_still_an_array() -> None:
    assert read_back(array(['"one"'])) == ["one"]
    assert read_back(array([])) == []


def test_an_empty_line_is_an_empty_text() -> None:
    assert braced([]) == '""'


def test_inlines_become_calls_with_literals() -> None:
    line = (
        *words("Read 4.9 V, "),
        Strong(words("now")),
        Emphasis(words("here")),
        Code("M1-A.23"),
        Link("P0118", words("P0118"), page=True),
        LineBreak(),
    )
    assert inlines(line, {}) == (
        '{"Read "; m.keep("4.9 V"); ", "; strong({"now"}); emph({"here"}); m.keep(raw("M1-A.23")); '
        'm.see("manual-place:P0118?P0118", "P0118", page: true, {"P0118"}); linebreak()}'
    )


def test_a_long_code_may_be_broken_a_short_one_not() -> None:
    assert inlines((Code("x" * 25),), {}) == '{raw("' + "x" * 25 + '")}'


def test_an_address_is_said_once() -> None:
    assert "print-address: false" in inlines((WebLink("https://a.example", words("https://a.example")),), {})
    assert "print-address: true" in inlines((WebLink("https://a.example", (Text("there"),)),), {})


def test_a_picture_is_called_by_its_file_with_its_size_and_depth() -> None:
    picture = Picture(b"<svg/>", "U", 60, 20, 7.5)
    assert inlines((picture,), {b"<svg/>": "/pictures/a.svg"}) == (
        '{m.picture(7.500, image("/pictures/a.svg", width: 60.000pt, height: 20.000pt, alt: "U"))}'
    )
    assert image("/p.png", "width: 1mm", 'say "x"') == 'image("/p.png", width: 1mm, alt: "say \\"x\\"")'
