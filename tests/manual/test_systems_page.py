"""The page on the systems of the vehicle."""

from __future__ import annotations

from dataclasses import replace

import pytest

from authorkit.drawing.inspect import inspect_print, inspect_texts
from authorkit.manual.blocks import CautionBlock, Figure, Heading, Link, Paragraph
from authorkit.manual.compose import compose
from authorkit.manual.scope import share
from authorkit.manual.systems_page import systems_page
from authorkit.model.wiring import Wiring


@pytest.fixture(scope="module")
def page(demo_book):
    return systems_page(share(demo_book))


def test_the_page_stands_before_the_first_chapter(demo_manual):
    anchors = [page.anchor for page in demo_manual.pages]
    first = next(page.anchor for page in demo_manual.pages if page.kind == "chapter")
    assert anchors.index("systems") == anchors.index(first) - 1


def test_every_drawing_of_the_page_can_be_read(page):
    figures = [block for block in page.blocks if isinstance(block, Figure)]
    assert len(figures) >= 8
    for figure in figures:
        assert inspect_texts(figure.data) == []
        assert inspect_print(figure.data) == []


def test_every_system_with_chapters_has_its_heading_and_leads_to_them(page, demo_book):
    headings = [block.text for block in page.blocks if isinstance(block, Heading)]
    assert [name for name in headings if name in demo_book.vehicle.systems] == list(demo_book.vehicle.systems)
    targets = {
        inline.target
        for block in page.blocks
        if isinstance(block, Paragraph)
        for inline in block.children
        if isinstance(inline, Link)
    }
    assert targets == {str(chapter.code) for chapter in demo_book.chapters}


def test_the_high_voltage_caution_stands_before_its_path(page):
    position = next(n for n, block in enumerate(page.blocks) if isinstance(block, CautionBlock))
    assert page.blocks[position].word == "DANGER"
    assert page.blocks[position + 1].caption.startswith("High-voltage path")


def test_an_edition_of_one_series_has_no_marks_of_difference(demo_book):
    book = replace(demo_book, recipe=replace(demo_book.recipe, series=("B",)))
    page = systems_page(share(book))
    assert not any("▲".encode() in block.data for block in page.blocks if isinstance(block, Figure))


def test_a_book_with_nothing_to_draw_has_no_such_page(demo_book):
    bare = replace(demo_book.vehicle, wiring=Wiring(), high_voltage=())
    book = replace(demo_book, chapters=(), vehicle=bare)
    assert systems_page(share(book)) is None
    assert "systems" not in {page.anchor for page in compose(book)[0].pages}
