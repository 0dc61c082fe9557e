"""The page of a chapter shown in a notebook: the very page of the manual, from disk or from facts in memory."""

from __future__ import annotations

import html
from dataclasses import replace
from pathlib import Path

import pytest

from authorkit.commands import CLEAN, main
from authorkit.desk.page_view import NoPageError, saved_chapters, view_page, view_saved
from tests.desk.manuals import edit, small_manual
from tests.output.html.reading import Element, read_html


def framed(view) -> Element:
    """The page inside the frame."""
    frame = read_html(view._repr_html_()).one("iframe")
    assert frame.attributes["sandbox"] == "allow-scripts"
    return read_html(frame.attributes["srcdoc"])


def test_the_frame_shows_word_for_word_the_page_that_a_build_makes(tmp_path: Path) -> None:
    folder = small_manual(tmp_path)
    assert main(["build", "--html", "--manual", str(folder)]) == CLEAN
    built = read_html((folder / "build" / "out" / "html" / "P0118.html").read_text(encoding="utf-8"))
    view = view_saved("P0118", folder)
    assert view.problems == ()
    assert framed(view).one("main").text == built.one("main").text
    assert repr(view) == "<the page of P0118>"


def test_facts_that_are_not_saved_are_shown_as_they_are(tmp_path: Path) -> None:
    book, (chapter,), _ = saved_chapters(["chapters/P0118.ipynb"], small_manual(tmp_path))
    view = view_page(book, replace(chapter, title="A title typed just now"))
    assert "A title typed just now" in framed(view).one("main").text


def test_printed_pages_come_as_pictures_that_say_which_page_they_are(tmp_path: Path) -> None:
    view = view_saved("P0118", small_manual(tmp_path), pdf=True)
    assert view.problems == ()
    pictures = list(read_html(view._repr_html_()).all("img"))
    assert len(pictures) > 1
    assert pictures[0].attributes["alt"] == f"Page 1 of {len(pictures)}, as printed"
    assert all(picture.attributes["src"].startswith("data:image/png;base64,") for picture in pictures)


def test_a_page_with_faults_is_shown_with_its_problems(tmp_path: Path) -> None:
    folder = small_manual(tmp_path)
    edit(folder, "P0118", "## What the code means", "## What the code means\n\n<script>alert(1)</script>")
    view = view_saved("P0118", folder)
    assert [problem.rule for problem in view.problems] == ["prose-unsafe"]
    assert "<script>alert" not in html.unescape(view.markup)


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("P018", "There is no chapter 'P018'. Did you mean 'P0118'?"),
        ("chapters/vehicle.ipynb", "The notebook 'chapters/vehicle.ipynb' is no chapter of the manual."),
    ],
)
def test_what_is_no_chapter_is_named(tmp_path: Path, name: str, says: str) -> None:
    with pytest.raises(NoPageError) as told:
        view_saved(name, small_manual(tmp_path))
    assert str(told.value) == says


def test_a_chapter_that_cannot_be_read_says_why(tmp_path: Path) -> None:
    folder = small_manual(tmp_path)
    edit(folder, "P0118", "code: P0118", "code: P0Q18")
    with pytest.raises(NoPageError, match=r"chapters/P0118.ipynb, cell \d+, line 2, .*P0Q18"):
        view_saved("chapters/P0118.ipynb", folder)
