"""Which indexes a page shows, and the order of their terms."""

from __future__ import annotations

from authorkit.manual.blocks import INDEXES, Page
from authorkit.output.index_pages import in_order, indexes_on
from authorkit.output.pdf.index import IndexEntry, index_entries
from authorkit.output.pdf.typst_sheet import Mark


def test_a_page_with_the_title_of_an_index_shows_that_one() -> None:
    assert indexes_on(Page("x", "Index of grounds", "index")) == ("ground",)


def test_a_page_with_another_title_shows_all() -> None:
    assert indexes_on(Page("x", "Indexes", "index")) == tuple(INDEXES)


def test_numbers_in_terms_count_as_numbers() -> None:
    assert in_order("connector", ["M1-A.10", "b5", "M1-A.9", "B12", "X2"]) == ["b5", "B12", "M1-A.9", "M1-A.10", "X2"]


def test_codes_go_by_their_signs_for_they_are_hexadecimal() -> None:
    assert in_order("code", ["P0AA6", "P0117", "P0A0D", "U0100"]) == ["P0117", "P0A0D", "P0AA6", "U0100"]


def test_marks_are_gathered_by_term_and_sub_term_in_the_order_of_the_manual() -> None:
    marks = [
        Mark("connector", "M1-A", "cavity 23", "m1"),
        Mark("ground", "G1", "", "m2"),
        Mark("connector", "M1-A", "cavity 3", "m3"),
        Mark("connector", "M1-A", "", "m4"),
        Mark("connector", "B5", "", "m5"),
        Mark("connector", "M1-A", "cavity 23", "m6"),
    ]
    assert index_entries("connector", marks) == (
        IndexEntry("B5", ("m5",), ()),
        IndexEntry("M1-A", ("m4",), (("cavity 3", ("m3",)), ("cavity 23", ("m1", "m6")))),
    )
