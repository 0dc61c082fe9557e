"""What code cells showed, as figures of the page."""

from __future__ import annotations

import struct
from xml.etree import ElementTree

import pytest

from authorkit.drawing.store import PictureStore
from authorkit.facts.cell_runs import Shown, keep_shown, seen_by_cells
from authorkit.facts.notebook import read_notebook
from authorkit.facts.read_book import read_book
from authorkit.manual.blocks import FactList, Figure, Paragraph
from authorkit.manual.compose import compose_chapters
from authorkit.manual.sections.cell_figures import svg_size
from authorkit.store import KeptFiles
from tests.desk.manuals import add_cells, small_manual

SVG = b'<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="20mm" viewBox="0 0 60 20"/>'
HEAD = "#| figure: trace\n#| caption: A trace\n#| alt: A wave\n"


@pytest.fixture
def page(tmp_path):
    """A function from what the figure cell showed to the figure's block, and the findings."""
    folder = small_manual(tmp_path)
    cells = (("markdown", "## Waveforms\n\nBefore."), ("code", HEAD + "plot()"), ("markdown", "After {figure:trace}."))
    add_cells(folder, "P0118", *cells)
    kept = KeptFiles(tmp_path / "kept")

    def compose(*shown: Shown):
        notebook, _ = read_notebook(folder, "chapters/P0118.ipynb")
        (number,) = [cell.number for cell in notebook.cells if cell.source.startswith("#|")]
        keep_shown(kept, notebook, seen_by_cells(folder), dict(zip([number], shown, strict=False)))
        book, reading = read_book(folder)
        assert [problem for problem in reading if problem.severity == "error"] == []
        manual, problems = compose_chapters(book, [book.chapter("P0118")], PictureStore(kept))
        blocks = manual.pages[0].blocks
        (at,) = [at for at, block in enumerate(blocks) if getattr(block, "anchor", "") == "P0118-figure-trace"]
        assert isinstance(blocks[at - 1], Paragraph), "the text above stands above"
        assert isinstance(blocks[at + 1], Paragraph), "the text below stands below"
        return blocks[at], problems

    return compose


def test_a_drawing_has_the_size_that_it_says(page) -> None:
    block, problems = page(Shown("svg", SVG))
    assert problems == ()
    assert isinstance(block, Figure)
    assert (block.caption, block.alt, block.media, block.data) == ("A trace", "A wave", "svg", SVG)
    assert (block.width_mm, block.height_mm) == (60, 20)
    assert block.number.startswith("Figure P0118-")


def test_a_png_is_a_figure(page) -> None:
    png = b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR" + struct.pack(">II", 400, 200)
    block, problems = page(Shown("png", png))
    assert problems == ()
    assert isinstance(block, Figure)
    assert block.width_mm == pytest.approx(2 * block.height_mm)


def test_a_text_is_set_as_typed(page) -> None:
    block, problems = page(Shown("text", b"2.50 V\n2.61 V"))
    assert problems == ()
    assert isinstance(block, FactList)


@pytest.mark.parametrize("data", [b"no picture", b"<svg/>", b"<svg width='x' height='y'/>", b""])
def test_a_damaged_picture_leaves_a_line_and_a_finding(page, data: bytes) -> None:
    block, (problem,) = page(Shown("svg", data))
    assert isinstance(block, FactList)
    assert problem.rule == "cell-failed"
    assert problem.place.file == "chapters/P0118.ipynb"
    assert problem.place.line == 1


def test_a_cell_that_shows_nothing_is_a_finding(page) -> None:
    _, (problem,) = page()
    assert problem.rule == "cell-failed"
    assert "shows nothing" in problem.message


@pytest.mark.parametrize(
    ("root", "size"),
    [
        ('width="2in" height="1in"', (50.8, 25.4)),
        ('width="72pt" height="36pt"', (25.4, 12.7)),
        ('width="96" height="96px"', (25.4, 25.4)),
        ('viewBox="0 0 96 48"', (25.4, 12.7)),
        ('width="100%" height="100%" viewBox="0,0,96,48"', (25.4, 12.7)),
    ],
)
def test_lengths_of_svg_in_millimetres(root: str, size: tuple[float, float]) -> None:
    """CSS Values and Units 3, 6.2: 1in = 2.54cm = 72pt = 96px."""
    assert svg_size(f"<svg {root}/>".encode()) == pytest.approx(size)


def test_what_is_no_xml_has_no_size() -> None:
    with pytest.raises(ElementTree.ParseError):
        svg_size(b"<svg")
