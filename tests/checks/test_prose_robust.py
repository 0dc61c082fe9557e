"""The rules about prose take any text: they find something or nothing, and never fail or take for ever."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from authorkit.checks import codes, procedure, prose
from authorkit.checks.subject import subject_of
from authorkit.model.book import Book
from authorkit.model.chapter import Prose
from authorkit.problems import Place

# A cell that no notebook of the small book has.
PROSE_CELL = 9
# What the rules look for, so that random texts come near to it.
NAMES = (
    "{code:",
    "{cavity:M1-A.23}",
    "}",
    "pin 32 of M1-A",
    "M1-A.",
    "X21",
    "5 V",
    " reference ",
    "TODO",
    "ABC",
    "%00",
)
MARKS = (
    "[",
    "](",
    ")",
    "<",
    ">",
    "`",
    "```\n",
    "$",
    "$$",
    "\n",
    "\n\n",
    "# ",
    "- ",
    "!",
    "javascript:",
    "#",
    "..",
    "/",
    "|",
)
PIECES = st.sampled_from((*NAMES, *MARKS))
TEXTS = st.lists(PIECES | st.text(max_size=4), max_size=20).map("".join)


@pytest.fixture
def book(small_book: Callable[..., Any]) -> Book:
    """The small book."""
    _, found, _ = small_book()
    assert isinstance(found, Book)
    return found


def with_prose(book: Book, text: str) -> Book:
    chapter = book.chapters[0]
    piece = Prose("meaning", text, Place(chapter.file, PROSE_CELL, 1, 1))
    return replace(book, chapters=(replace(chapter, prose=(piece,)), *book.chapters[1:]))


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(text=TEXTS)
def test_every_finding_about_any_text_stands_inside_that_text(book: Book, text: str) -> None:
    subject = subject_of(with_prose(book, text))
    lines = text.split("\n")
    for module in (*codes.RULE_MODULES, *procedure.RULE_MODULES, *prose.RULE_MODULES):
        for problem in module.check(subject):
            if problem.place.cell == PROSE_CELL:
                assert 1 <= problem.place.line <= len(lines)
                assert 1 <= problem.place.column <= len(lines[problem.place.line - 1]) + 1


def test_a_finding_names_the_line_and_the_column_of_what_is_wrong(book: Book) -> None:
    text = "The plug is wet.\n\n- See [it](b.md), {part:B9}, <b> and pin 7 of M1-A at X21."
    subject = subject_of(with_prose(book, text))
    found = [problem for module in prose.RULE_MODULES for problem in module.check(subject)]
    columns = {problem.rule: (problem.place.line, problem.place.column) for problem in found}
    line = text.split("\n")[2]
    assert columns == {
        "link-dangling": (3, line.index("b.md") + 1),
        "reference-dangling": (3, line.index("{part") + 1),
        "prose-unsafe": (3, line.index("<b>") + 1),
        "prose-contradicts-cavity": (3, line.index("pin 7") + 1),
        "prose-contradicts-name": (3, line.index("X21") + 1),
    }


@pytest.mark.parametrize("piece", ["<!--", "`", "``` ", "$", "{code:", "[a](", "pin 1, ", "X21 ", ". ", "\n", "<a "])
def test_a_long_text_of_one_piece_takes_no_time(book: Book, piece: str) -> None:
    subject = subject_of(with_prose(book, piece * 20_000))
    start = time.perf_counter()
    for module in prose.RULE_MODULES:
        for _ in module.check(subject):
            pass
    assert time.perf_counter() - start < 5
