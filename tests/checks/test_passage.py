"""Passages: what counts as words, where each character stands, where sentences end."""

from __future__ import annotations

import pytest

from authorkit.checks.passage import Passage
from authorkit.problems import Place

START = Place("chapters/P0118.ipynb", 3, 5, 1)


def prose(text: str) -> Passage:
    return Passage(text, START)


@pytest.mark.parametrize(
    ("text", "offset_of", "line", "column"),
    [
        ("The sensor is cold.", "The", 5, 1),
        ("The sensor is cold.", "cold", 5, 15),
        ("The sensor\nis cold.", "is", 6, 1),
        ("The sensor\n\nis {part:B5}.", "{", 7, 4),
    ],
)
def test_a_character_of_prose_has_its_line_and_column_in_the_cell(
    text: str, offset_of: str, line: int, column: int
) -> None:
    assert prose(text).at(text.index(offset_of)) == Place(START.file, START.cell, line, column)


def test_a_character_of_a_fact_has_the_place_of_the_fact() -> None:
    assert Passage("Unplug B5.", START, "procedure.1.do").at(7) == START


@pytest.mark.parametrize(
    "hidden",
    [
        "`X21`",
        "``X21 ` X21``",
        "{connector:X21}",
        "https://example.org/X21",
        "<https://example.org/X21>",
        "$X21 + 1$",
        "$$\nX21\n$$",
        "<!-- X21 -->",
        "<!-- X21",
    ],
)
def test_code_references_addresses_formulas_and_comments_are_no_words(hidden: str) -> None:
    text = f"Look at {hidden}"
    words = prose(text).words
    assert "X21" not in words
    assert len(words) == len(text)
    assert words.count("\n") == text.count("\n")
    assert words.startswith("Look at ")


def test_a_code_block_is_no_words_up_to_its_end() -> None:
    assert prose("One\n\n```text\nX21\n```\n\nX22").words.split() == ["One", "X22"]


def test_the_text_of_a_link_is_words_and_its_address_is_not() -> None:
    assert prose('See [the plug](../figures/X21.png "X21").').words.split() == ["See", "[the", "plug]", "."]


def test_prices_are_no_formula() -> None:
    assert prose("It costs $5, not $6.").words == "It costs $5, not $6."


def test_code_counts_where_names_are_looked_for() -> None:
    assert "X21" in prose("Look at `X21`.").names
    assert "X21" not in prose("Look at {connector:X21}.").names


def test_references_in_code_are_not_live() -> None:
    text = "`{part:B5}` and {part:B6}"
    assert prose(text).without_code.split() == ["and", "{part:B6}"]


def test_back_quotes_in_a_fact_hide_no_reference() -> None:
    assert Passage("`{part:B5}`", START, "procedure.1.do").without_code == "`{part:B5}`"


def test_sentences_end_before_capitals_items_and_empty_lines() -> None:
    text = "It gives approx. 5 V. The\nsensor is cold!\n\n- One\n- Two (etc.) and so on\n# Head\nLast"
    pieces = [text[start:end].strip() for start, end in prose(text).sentences()]
    assert [piece for piece in pieces if piece] == [
        "It gives approx. 5 V.",
        "The\nsensor is cold!",
        "- One",
        "- Two (etc.) and so on",
        "# Head\nLast",
    ]


def test_sentences_leave_nothing_out() -> None:
    text = "One. Two! Three?\n\n* four\n"
    spans = list(prose(text).sentences())
    assert "".join(text[start:end] for start, end in spans) == text
