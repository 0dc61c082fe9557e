"""Slides and single pages in a browser: keys, links, print, and nothing that the policy refuses."""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from pypdf import PdfReader

from authorkit.output.html.lone import lone_html
from authorkit.output.html.slides import slides_html
from tests.output.sample_manual import sample_manual

if TYPE_CHECKING:
    from playwright.sync_api import Page as Tab

pytestmark = pytest.mark.browser

SHOWN = (
    "[...document.querySelectorAll('.slide')].filter(s => getComputedStyle(s).visibility === 'visible').map(s => s.id)"
)
# The part of a slide's matter that sticks out of its slide, in pixels of the slide.
STICKING_OUT = """[...document.querySelectorAll('.slide')].map(slide => {
  const sheet = slide.getBoundingClientRect(), matter = slide.querySelector('.matter').getBoundingClientRect();
  return Math.max(matter.right - sheet.right, matter.bottom - sheet.bottom, 0);
}).filter(out => out > 0.5)"""


@pytest.fixture(scope="module")
def deck(tmp_path_factory: pytest.TempPathFactory) -> Path:
    manual = sample_manual()
    chapters = tuple(page for page in manual.pages if page.kind == "chapter")
    folder = tmp_path_factory.mktemp("slides")
    text, _ = slides_html(replace(manual, pages=chapters), "All chapters")
    (folder / "deck.html").write_text(text, encoding="utf-8")
    text, _ = lone_html(replace(manual, pages=(chapters[1],)))
    (folder / "page.html").write_text(text, encoding="utf-8")
    return folder


@pytest.fixture
def tab(deck: Path, open_tab: Callable[..., Tab]) -> Tab:
    return open_tab(deck, "deck")


def test_keys_turn_the_slides_and_stop_at_both_ends(tab: Tab) -> None:
    last = tab.evaluate("document.querySelectorAll('.slide').length")
    assert tab.evaluate(SHOWN) == ["ui-slide-1"]
    for key, slide in [
        *(("ArrowLeft", 1), ("ArrowRight", 2), ("PageDown", 3), (" ", 4), ("ArrowLeft", 3), ("PageUp", 2)),
        *(("End", last), ("ArrowRight", last), ("Home", 1), ("ArrowDown", 2), ("ArrowUp", 1)),
    ]:
        tab.keyboard.press(key)
        assert tab.evaluate(SHOWN) == [f"ui-slide-{slide}"], key
    tab.click("text=Next")
    assert tab.evaluate(SHOWN) == ["ui-slide-2"]
    assert tab.evaluate("location.hash") == "#ui-slide-2"


def test_an_answer_leads_to_the_slide_of_its_step_and_back_leads_back(tab: Tab) -> None:
    tab.evaluate("location.hash = '#P0117-step-1'")
    first = tab.evaluate(SHOWN)
    tab.click(".slide.shown a[href='#P0117-step-2']")
    tab.wait_for_selector(".slide.shown #P0117-step-2")
    tab.go_back()
    tab.wait_for_selector(".slide.shown #P0117-step-1")
    assert tab.evaluate(SHOWN) == first


@pytest.mark.parametrize("width", [1280, 700])
def test_nothing_sticks_out_of_any_slide(deck: Path, open_tab: Callable[..., Tab], width: int) -> None:
    tab = open_tab(deck, "deck", width=width)
    tab.evaluate("document.fonts.ready")
    assert tab.evaluate(STICKING_OUT) == []
    assert tab.evaluate("[document.documentElement.scrollWidth <= innerWidth, scrollY]") == [True, 0]


def test_print_is_one_sheet_for_each_slide(tab: Tab) -> None:
    printed = PdfReader(io.BytesIO(tab.pdf(prefer_css_page_size=True)))
    assert len(printed.pages) == tab.evaluate("document.querySelectorAll('.slide').length")
    assert [float(side) for side in printed.pages[0].mediabox[2:]] == pytest.approx([960, 540], abs=1)
    text = printed.pages[1].extract_text()
    assert "P0117" in text


def test_without_scripts_all_slides_stand_below_each_other(deck: Path, chromium) -> None:
    context = chromium.new_context(java_script_enabled=False, viewport={"width": 1000, "height": 700})
    page = context.new_page()
    page.goto((deck / "deck.html").as_uri())
    tops = [box["y"] for slide in page.locator(".slide").all() if (box := slide.bounding_box())]
    assert tops == sorted(set(tops))
    context.close()


@pytest.mark.slow
@pytest.mark.parametrize("file", ["deck", "page"])
def test_axe_finds_nothing(deck: Path, open_tab: Callable[..., Tab], require_node_file, file: str) -> None:
    """All rules of axe-core, among them those for WCAG 2.2 A and AA."""
    tab = open_tab(deck, file)
    # A policy of hashes keeps out what tests put in as a script element; the debugger may still evaluate.
    tab.evaluate(require_node_file("axe-core/axe.min.js").read_text(encoding="utf-8"))
    result = tab.evaluate("async () => await axe.run({preload: false})")
    assert [(rule["id"], rule["nodes"][0]["html"]) for rule in result["violations"]] == []
