"""Markdown cells become sections."""

from __future__ import annotations

from authorkit.facts.notebook import Notebook, notebook_of
from authorkit.facts.prose import read_prose
from authorkit.model.chapter import SECTIONS


def notebook(*cells: str) -> Notebook:
    made, _ = notebook_of({"nbformat": 4, "cells": [{"cell_type": "markdown", "source": text} for text in cells]}, "x")
    assert made is not None
    return made


def pieces(*cells: str, code: str = "P0118") -> list[tuple[str, str, int, int]]:
    """Section, text, cell and line of every piece of prose."""
    prose, problems = read_prose(notebook(*cells), code)
    assert problems == ()
    return [(each.section, each.text, each.place.cell, each.place.line) for each in prose]


def test_every_section_is_opened_by_its_heading_at_any_of_four_levels() -> None:
    for section, heading in SECTIONS.items():
        for level in range(1, 5):
            assert pieces(f"{'#' * level} {heading.upper()} ##\nText") == [(section, "Text", 1, 2)]


def test_text_before_the_first_heading_is_about_the_meaning() -> None:
    assert pieces("One.", "## Readings\nTwo.") == [("meaning", "One.", 1, 1), ("readings", "Two.", 2, 2)]


def test_a_section_stays_open_until_another_begins() -> None:
    cells = ("## Readings", "\n\nOne.\n", "Two.\n## Procedure\nThree.")
    assert pieces(*cells) == [("readings", "One.", 2, 3), ("readings", "Two.", 3, 1), ("procedure", "Three.", 3, 3)]


def test_the_title_of_the_page_is_left_out_and_lines_keep_their_numbers() -> None:
    assert pieces("One.\n# P0118-17: Coolant\nTwo.") == [("meaning", "One.\n\nTwo.", 1, 1)]
    assert pieces("# Coolant\nOne.") == [("meaning", "# Coolant\nOne.", 1, 1)]
    assert pieces("# P0118\nOne.", code="") == [("meaning", "# P0118\nOne.", 1, 1)]


def test_other_headings_stay_in_the_text() -> None:
    text = "### Procedure of the fleet\n## Why it matters to us\n##### Readings\n#hash"
    assert pieces(text) == [("meaning", text, 1, 1)]


def test_a_heading_inside_a_code_block_is_code() -> None:
    text = "```\n## Readings\n````\n~~~\n## Readings\n```\n~~~\nEnd"
    fenced = "~~~\n## Readings\n```\n~~~"
    assert pieces(fenced) == [("meaning", fenced, 1, 1)]
    assert [piece[0] for piece in pieces(text)] == ["meaning"]


def test_windows_line_ends_count_as_one() -> None:
    assert pieces("One.\r\n## Readings\r\nTwo.\r\n") == [("meaning", "One.", 1, 1), ("readings", "Two.", 1, 3)]
