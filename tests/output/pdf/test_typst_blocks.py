"""Blocks as calls: the order of what stands together."""

from __future__ import annotations

from authorkit.drawing.font import font_folder
from authorkit.manual.blocks import Block, BulletList, Figure, Heading, IndexMark, Page, Paragraph, Quote, Table, words
from authorkit.output.pdf.faces import load_faces
from authorkit.output.pdf.typst_blocks import blocks_code
from authorkit.output.pdf.typst_sheet import Mark, Section, Sheet
from tests.output.sample_pictures import circuit_svg, formula

WIDE = Figure("Wide", circuit_svg(200, 90), "svg", "M1 to B5.", 200, 90, landscape=True)


def sheet_of(*blocks: Block) -> tuple[Sheet, str]:
    sheet = Sheet(4, Page("P0123", "Title", "chapter"), load_faces(font_folder()))
    return sheet, blocks_code(blocks, sheet)


def test_headings_before_a_drawing_on_its_side_go_onto_its_page() -> None:
    sheet, code = sheet_of(
        Heading(2, "Above"), Paragraph(words("text")), Heading(2, "Its own"), Heading(3, "Too"), WIDE
    )
    above, beside = code.split("m.sideways(")
    assert '"Above"' in above
    assert '"Its own"' in beside
    assert '"Too"' in beside
    assert sheet.turned == ["turned P0123.0"]


def test_a_heading_at_the_end_is_not_lost() -> None:
    assert '"Last"' in sheet_of(WIDE, Heading(2, "Last"))[1]


def test_marks_go_into_the_block_after_them() -> None:
    sheet, code = sheet_of(IndexMark("code", "P1", "t"), IndexMark("ground", "G1"), Paragraph(words("x")))
    assert sheet.marks == [Mark("code", "P1", "t", "mark P0123.0"), Mark("ground", "G1", "", "mark P0123.1")]
    assert code == 'm.para("", ("mark P0123.0", "mark P0123.1", ), {"x"})'


def test_marks_at_the_end_stand_alone() -> None:
    assert sheet_of(IndexMark("code", "P1"))[1] == 'm.at(("mark P0123.0", ))'


def test_headings_are_noted_for_the_bookmarks_with_a_name_of_their_own_if_they_have_none() -> None:
    sheet, _ = sheet_of(Heading(2, "One", "one"), Heading(3, "Two"))
    assert sheet.sections == [Section(2, "One", "one"), Section(3, "Two", "section P0123.1")]


def test_tables_are_noted_in_the_order_in_which_they_are_written() -> None:
    row = ((words("1"),),)
    inner = Table("", ("A",), row, row_heads=False)
    sheet, _ = sheet_of(Table("", ("A",), row), BulletList(((inner,),)), Quote((Table("", ("A",), row),)))
    assert sheet.row_heads == [True, False, True]


def test_the_same_picture_is_one_file() -> None:
    sheet, _ = sheet_of(Paragraph((formula(), formula())), Paragraph((formula(),)), WIDE)
    assert sorted(path.rpartition(".")[2] for path in sheet.files) == ["svg", "svg"]
    assert all(path.startswith("/pictures/") for path in sheet.files)
