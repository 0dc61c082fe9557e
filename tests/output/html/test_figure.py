from __future__ import annotations

import hashlib

from authorkit.manual.blocks import Figure, Paragraph, Picture
from authorkit.output.html.figure import figure_problems, photograph_files
from tests.output.html.samples import chapter, rendered, small_manual
from tests.output.sample_pictures import circuit_svg, photograph

DRAWING = Figure(
    "The circuit", circuit_svg(160, 60), "svg", "M1 feeds B5.", 160, 60, "drawing", number="Figure P0118-1"
)
PNG = photograph(4, 2)
PHOTOGRAPH = Figure("The place", PNG, "png", "A box.", 50.8, 25.4, "place")


def test_a_drawing_stands_in_the_page_in_its_true_size_with_words_for_those_who_cannot_see_it() -> None:
    drawing = rendered((DRAWING,)).one("figure", id="drawing").one("svg")
    assert (drawing.attributes["width"], drawing.attributes["height"]) == ("160mm", "60mm")
    assert (drawing.attributes["role"], drawing.attributes["aria-label"]) == ("img", "M1 feeds B5.")
    assert "K131 BU/WH 0.5 mm²" in [text.text for text in drawing.all("text")]


def test_the_caption_names_figure_and_region() -> None:
    figure = rendered((DRAWING,)).one("figure")
    caption = figure.one("figcaption")
    assert caption.text == "Figure P0118-1 The circuit"
    assert figure.one("div").attributes["aria-labelledby"] == caption.attributes["id"]


def test_a_photograph_is_a_file_named_by_its_content_at_the_size_that_css_gives_a_millimetre() -> None:
    """CSS Values and Units 3, 6.2: an inch is 25.4 mm and 96 px."""
    image = rendered((PHOTOGRAPH,)).one("img")
    assert (image.attributes["width"], image.attributes["height"]) == ("192", "96")
    assert image.attributes["alt"] == "A box."
    path = f"assets/figures/{hashlib.sha256(PNG).hexdigest()[:20]}.png"
    assert image.attributes["src"] == path
    assert photograph_files(small_manual(chapter("P0118", PHOTOGRAPH, PHOTOGRAPH))) == {path: PNG}


def test_a_figure_without_a_caption_is_named_by_what_it_shows() -> None:
    figure = rendered((Figure("", DRAWING.data, "svg", "M1 feeds B5.", 10, 10),)).one("figure")
    assert list(figure.all("figcaption")) == []
    assert figure.one("div").attributes["aria-label"] == "M1 feeds B5."


def test_ids_of_two_drawings_on_a_page_do_not_meet() -> None:
    svg = b'<svg xmlns="http://www.w3.org/2000/svg"><clipPath id="c"/><path clip-path="url(#c)"/></svg>'
    figure = Figure("", svg, "svg", "x", 1, 1)
    ids = [element.attributes["id"] for element in rendered((figure, figure)).all("clippath")]
    assert len(set(ids)) == 2


def test_what_a_picture_may_not_hold_is_reported_with_the_figure_and_the_notebook() -> None:
    bad = b'<svg xmlns="http://www.w3.org/2000/svg"><script/></svg>'
    page = chapter(
        "P0118",
        Figure("Circuit", bad, "svg", "x", 1, 1),
        Figure("Place", b"GIF89a", "png", "x", 1, 1),
        Paragraph((Picture(bad, "R/2", 1, 1, 0),)),
        DRAWING,
        PHOTOGRAPH,
    )
    problems = list(figure_problems(small_manual(page)))
    assert [(problem.rule, problem.found) for problem in problems] == [
        ("page-refused", "an element 'script'"),
        ("page-refused", "data that is not a PNG picture"),
        ("page-refused", "an element 'script'"),
    ]
    assert problems[0].message.startswith("The figure 'Circuit' on page 'Title of P0118' holds")
    assert problems[2].message.startswith("The formula 'R/2'")
    assert problems[0].place.file == "chapters/P0118.ipynb"


def test_a_picture_that_is_no_png_is_not_linked() -> None:
    assert list(rendered((Figure("c", b"GIF89a", "png", "x", 1, 1),)).all("img")) == []
