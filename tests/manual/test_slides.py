"""A chapter cut into slides: nothing of the page is lost, and no slide holds more than a class can take in."""

from __future__ import annotations

from dataclasses import replace

import pytest

from authorkit.manual.blocks import (
    Block,
    CautionBlock,
    FactList,
    Figure,
    Heading,
    IndexMark,
    Page,
    Paragraph,
    StepBlock,
    Table,
    words,
)
from authorkit.manual.slides import Slide, slides_of
from tests.output.sample_manual import sample_manual

CHAPTERS = [page for page in sample_manual().pages if page.kind == "chapter"]
LONG = Paragraph(words("word " * 100))
SHORT = Paragraph(words("A few words."))
PICTURE = Figure("A picture", b"", "svg", "A picture", 10, 10)
CAUTION = CautionBlock("WARNING", "The fan can start.", "It can take off fingers.", ("Unplug it.",))


def page(*blocks: Block) -> Page:
    return Page("P0118", "Title", "chapter", blocks, mark="P0118")


def table(rows: int) -> Table:
    names = [(words(str(number)), words("x")) for number in range(rows)]
    anchors = tuple(f"row-{number}" for number in range(rows))
    return Table("Wires", ("No.", "What"), tuple(names), "table", number="Table 1", row_anchors=anchors)


def shown(slides: tuple[Slide, ...]) -> list[tuple[str, list[str]]]:
    return [(slide.section, [type(block).__name__ for block in slide.blocks]) for slide in slides]


@pytest.mark.parametrize("chapter", CHAPTERS, ids=lambda chapter: chapter.anchor)
def test_every_block_of_the_page_is_on_one_slide_in_its_order(chapter: Page) -> None:
    there: list[Block] = []
    for block in (block for slide in slides_of(chapter) for block in slide.blocks):
        if isinstance(block, Table) and there and isinstance(there[-1], Table) and there[-1].number == block.number:
            there[-1] = replace(there[-1], rows=there[-1].rows + block.rows)
        elif not isinstance(block, Heading):
            there.append(block)
    assert there == [block for block in chapter.blocks if not isinstance(block, (Heading, IndexMark))]


@pytest.mark.parametrize("chapter", CHAPTERS, ids=lambda chapter: chapter.anchor)
def test_a_slide_has_one_drawing_table_or_step_at_most(chapter: Page) -> None:
    for slide in slides_of(chapter):
        assert sum(isinstance(block, (FactList, Figure, Table, StepBlock)) for block in slide.blocks) <= 1


def test_a_section_begins_a_slide_and_names_all_its_slides() -> None:
    slides = slides_of(
        page(SHORT, Heading(2, "Circuit", "circuit"), SHORT, PICTURE, PICTURE, Heading(2, "Notes"), SHORT)
    )
    assert shown(slides) == [
        ("", ["Paragraph"]),
        ("Circuit", ["Paragraph"]),
        ("Circuit", ["Figure"]),
        ("Circuit", ["Figure"]),
        ("Notes", ["Paragraph"]),
    ]
    assert [slide.anchors for slide in slides] == [(), ("circuit",), (), (), ()]
    assert [slide.opens for slide in slides] == [True, False, False, False, False]


def test_a_heading_inside_a_section_is_repeated_without_its_anchor() -> None:
    head = Heading(3, "Series A", "series-a")
    slides = slides_of(page(Heading(2, "Circuit"), head, PICTURE, PICTURE))
    assert [slide.blocks[0] for slide in slides] == [head, replace(head, anchor="")]


def test_long_text_goes_on_on_the_next_slide_and_short_text_does_not() -> None:
    assert shown(slides_of(page(LONG, LONG, SHORT))) == [("", ["Paragraph"]), ("", ["Paragraph", "Paragraph"])]
    assert shown(slides_of(page(SHORT, SHORT, SHORT))) == [("", ["Paragraph"] * 3)]


def test_a_safety_message_stays_with_what_follows_it() -> None:
    step = StepBlock("1", "step-1", words("Unplug B5."))
    assert shown(slides_of(page(SHORT, CAUTION, step, CAUTION, LONG, SHORT))) == [
        ("", ["Paragraph"]),
        ("", ["CautionBlock", "StepBlock"]),
        ("", ["CautionBlock", "Paragraph", "Paragraph"]),
    ]


def test_a_remark_stays_with_its_table() -> None:
    note = Paragraph(words("Shop rule."), "note")
    assert shown(slides_of(page(table(3), note, SHORT))) == [("", ["Table", "Paragraph"]), ("", ["Paragraph"])]


def test_a_long_table_goes_on_with_its_head_and_no_anchor_stands_twice() -> None:
    slides = slides_of(page(table(23)))
    parts = [block for slide in slides for block in slide.blocks if isinstance(block, Table)]
    assert [len(part.rows) for part in parts] == [8, 8, 7]
    assert sum((part.rows for part in parts), ()) == table(23).rows
    assert {part.columns for part in parts} == {("No.", "What")}
    assert [part.anchor for part in parts] == ["table", "", ""]
    assert sum((part.row_anchors for part in parts), ()) == table(23).row_anchors
    assert len(slides_of(page(table(12)))) == 1


def test_an_empty_page_is_one_slide() -> None:
    assert shown(slides_of(page())) == [("", [])]
