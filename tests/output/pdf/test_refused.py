"""What would come out wrong without a word from the typesetter becomes a finding, and no file is written."""

from __future__ import annotations

from pathlib import Path

import pytest

from authorkit.manual.blocks import (
    Answer,
    Block,
    CautionBlock,
    Code,
    CodeBlock,
    Figure,
    Link,
    Paragraph,
    Picture,
    StepBlock,
    Table,
    words,
)
from authorkit.output.pdf import part_sources, typeset, write_pdf
from authorkit.output.pdf import write as pdf
from authorkit.output.tokens import theme_file
from tests.output.pdf.reading import page_texts
from tests.output.pdf.samples import SOURCE, one_chapter, printed, refused
from tests.output.sample_pictures import circuit_svg, formula

START = "Page 'P0123' cannot be printed: "


def the_one(folder: Path, *blocks: Block) -> str:
    problems = refused(folder, *blocks)
    assert [problem.place.file for problem in problems] == [SOURCE]
    assert problems[0].message.startswith(START)
    return problems[0].message.removeprefix(START)


# First silent fault: something wider or taller than the page runs off the paper.


def test_a_step_taller_than_a_page_is_refused(tmp_path: Path) -> None:
    tall = StepBlock("7", "P0123-step-7", words("word " * 4000))
    assert "'7' is" in the_one(tmp_path, tall)
    assert "mm tall, but the page has 244 mm and it cannot be parted." in the_one(tmp_path, tall)


def test_a_safety_message_taller_than_a_page_is_refused(tmp_path: Path) -> None:
    message = the_one(tmp_path, CautionBlock("DANGER", "Hazard.", "It kills.", ("Stay away. " * 900,)))
    assert message.startswith("'DANGER' is")


@pytest.mark.parametrize(
    ("width", "height", "landscape", "room"),
    [(171, 50, False, "170 by 250"), (100, 251, False, "170 by 250"), (251, 90, True, "250 by 170")],
)
def test_a_drawing_larger_than_the_page_is_refused(
    tmp_path: Path, width: int, height: int, landscape: bool, room: str
) -> None:
    figure = Figure("Big", circuit_svg(width, height), "svg", "x", width, height, landscape=landscape)
    assert the_one(tmp_path, figure) == (
        f"the figure 'Big' is {width} by {height} mm, but the page has {room} mm and a drawing is never scaled; "
        "draw it smaller, or in two parts."
    )


@pytest.mark.parametrize("landscape", [False, True])
def test_a_drawing_that_fits_without_its_caption_only_is_refused(tmp_path: Path, landscape: bool) -> None:
    size = (240, 169) if landscape else (100, 249)
    figure = Figure("Big", circuit_svg(*size), "svg", "x", *size, landscape=landscape, number="Figure 8")
    assert the_one(tmp_path, figure).startswith("'Figure 8' is")


def test_a_drawing_that_just_fills_the_page_is_measured_and_printed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Under the drawing are 3 mm for the caption; the page has 250 mm."""
    measured = []
    measure = typeset._measured
    monkeypatch.setattr(typeset, "_measured", lambda *told: measured.append(told) or measure(*told))
    for height, asked in ((246.5, 0), (246.995, 1)):
        figure = Figure("", circuit_svg(100, height), "svg", "x", 100, height)
        assert "M1" in page_texts(printed(tmp_path, one_chapter(Paragraph(words("Before.")), figure)))[2]
        assert len(measured) == asked
    assert "'' is 250 mm tall" in the_one(tmp_path, Figure("", circuit_svg(100, 247.1), "svg", "x", 100, 247.1))


def test_a_table_whose_words_do_not_fit_side_by_side_is_refused(tmp_path: Path) -> None:
    table = Table("Long names", ("A", "B"), ((words("M" * 40), words("W" * 40)),))
    assert the_one(tmp_path, table) == (
        "the table 'Long names' is wider than the page: its longest words together do not fit side by side."
    )


def test_a_table_with_a_row_of_other_length_is_refused(tmp_path: Path) -> None:
    table = Table("Odd", ("A", "B"), ((words("1"), words("2")), (words("3"),)))
    assert the_one(tmp_path, table) == "the table 'Odd' has 2 columns, but row 2 has 1 cells."


def test_a_table_with_too_few_anchors_of_rows_is_refused(tmp_path: Path) -> None:
    table = Table("Odd", ("A",), ((words("1"),), (words("2"),)), row_anchors=("only",))
    assert the_one(tmp_path, table) == "the table 'Odd' has 2 rows, but 1 anchors of rows."


@pytest.mark.parametrize("block", [Paragraph(words("M" * 90)), CodeBlock("m" * 120)])
def test_a_word_wider_than_the_page_is_refused(tmp_path: Path, block: Block) -> None:
    assert "wider than the page" in the_one(tmp_path, block)


# Second silent fault: a picture in a line of text vanishes, or the typesetter only warns.


def test_a_picture_in_a_line_is_printed(tmp_path: Path) -> None:
    target = printed(tmp_path, one_chapter(Paragraph((*words("Before "), formula(), *words(" after.")))))
    assert "R1+R2" in page_texts(target)[1]


def test_a_mere_warning_of_the_typesetter_refuses_the_build(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def with_a_warning(name: str) -> bytes:
        more = b'\n#let leaf(..rest, body) = page(text(font: "Nowhere Sans", body))\n'
        return theme_file(name) + (more if name == "manual.typ" else b"")

    monkeypatch.setattr(part_sources, "theme_file", with_a_warning)
    problems = write_pdf(one_chapter(), tmp_path / "manual.pdf", page_size="a4")
    assert "the typesetter says: unknown font family: nowhere sans" in problems[0].message
    assert list(tmp_path.iterdir()) == []


# Third silent fault: a sign without a glyph, a drawing set in another font.


@pytest.mark.parametrize(
    ("sign", "name"),
    [("☃", "'☃' (U+2603, snowman)"), ("\x07", "(U+0007, a control character)"), ("\u202e", "(U+202E, right-to-left")],
)
def test_a_sign_that_the_font_lacks_is_refused_with_the_words_around_it(tmp_path: Path, sign: str, name: str) -> None:
    message = the_one(tmp_path, Paragraph(words(f"Wait for the {sign} to melt.")))
    assert message.startswith(f"Liberation Sans has no sign {name}")
    assert "found in 'Wait for the" in message


def test_a_sign_is_looked_for_in_the_face_it_is_set_in(tmp_path: Path) -> None:
    assert the_one(tmp_path, Paragraph((Code("☃"),))).startswith("Liberation Mono has no sign '☃'")


def test_half_a_surrogate_pair_is_a_finding_not_a_crash(tmp_path: Path) -> None:
    assert "U+D83D" in the_one(tmp_path, Paragraph(words("broken \ud83d emoji")))


def test_what_slips_past_our_own_check_is_refused_by_the_typesetter(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pdf, "print_problems", lambda *_: ())
    problems = refused(tmp_path, Paragraph(words("A ☃ here.")))
    assert "could not be displayed with font" in problems[0].message


def test_a_drawing_that_asks_for_another_font_is_refused(tmp_path: Path) -> None:
    data = circuit_svg(100, 50).replace(b"Liberation Sans", b"Arial, sans-serif")
    assert the_one(tmp_path, Figure("Circuit", data, "svg", "x", 100, 50)) == (
        "the figure 'Circuit' has text that asks for 'Arial'; expected 'Liberation Mono' or 'Liberation Sans'."
    )


def test_a_formula_is_checked_like_a_drawing(tmp_path: Path) -> None:
    picture = Picture(formula().svg.replace(b"Liberation Sans", b"Times"), "U", 10, 10, 0)
    assert the_one(tmp_path, Paragraph((picture,))).startswith("the formula 'U' has text that asks for 'Times'")


def test_a_picture_without_words_is_refused(tmp_path: Path) -> None:
    message = the_one(tmp_path, Figure("Circuit", circuit_svg(100, 50), "svg", " ", 100, 50))
    assert message == "the figure 'Circuit' has no words that say what it shows."


# References and pictures that are broken.


def test_a_reference_to_nowhere_is_refused(tmp_path: Path) -> None:
    dangling = Paragraph((Link("P0999", words("P0999")),))
    assert the_one(tmp_path, dangling) == "it refers to 'P0999', which is nowhere in the manual."
    step = StepBlock("1", "s1", words("Look."), answers=(Answer(words("Yes"), "2", "s2"),))
    assert the_one(tmp_path, step) == "it refers to 's2', which is nowhere in the manual."


def test_an_anchor_used_twice_is_refused(tmp_path: Path) -> None:
    twice = StepBlock("1", "s1", words("Look."))
    assert the_one(tmp_path, twice, twice) == "the anchor 's1' is used 2 times in the manual."


def test_a_damaged_photograph_is_refused_at_its_notebook(tmp_path: Path) -> None:
    damaged = Figure("Photo", b"\x89PNG\r\n\x1a\ncut off", "png", "x", 50, 50)
    assert "failed to decode image" in the_one(tmp_path, damaged)


def test_every_fault_of_a_page_is_told_at_once(tmp_path: Path) -> None:
    blocks = [Paragraph(words("☃")), Figure("F", b"<svg", "svg", "", 50, 50), CautionBlock("LOOK", "a", "b", ("c",))]
    messages = [problem.message.removeprefix(START) for problem in refused(tmp_path, *blocks)]
    assert [message[:35] for message in messages] == [
        "Liberation Sans has no sign '☃' (U+",
        "the figure 'F' has no words that sa",
        "the figure 'F' is not readable as S",
        "'LOOK' is not a signal word; expect",
    ]
