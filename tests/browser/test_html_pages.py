"""The HTML manual as a reader's browser shows it: opened from disk, with keyboard, on small screens."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from authorkit.manual.blocks import Figure
from tests.output.sample_manual import sample_manual

if TYPE_CHECKING:
    from playwright.sync_api import Page as Tab

pytestmark = pytest.mark.browser

# One page of each kind; P0118 holds every kind of block.
FILES = ["index", "front", "P0118", "P0AA6", "codes", "page-index"]


# ------------------------------------------------------------------------------------------------------ judged by axe


@pytest.mark.slow
@pytest.mark.parametrize(("width", "colours"), [(1280, "light"), (1280, "dark"), (360, "dark")])
def test_axe_finds_nothing_on_any_kind_of_page(
    folder: Path, open_tab: Callable[..., Tab], require_node_file: Callable[[str], Path], width: int, colours: str
) -> None:
    """All rules of axe-core, among them those for WCAG 2.2 A and AA."""
    axe = require_node_file("axe-core/axe.min.js").read_text(encoding="utf-8")
    for file in FILES:
        tab = open_tab(folder, file, width=width, colours=colours)
        tab.evaluate(axe)
        result = tab.evaluate("async () => await axe.run({preload: false})")
        assert [(rule["id"], rule["nodes"][0]["html"]) for rule in result["violations"]] == [], file
        # Nothing is left undecided either, but the contrast of letters in drawings, which axe does not judge.
        undecided = [node["html"] for rule in result["incomplete"] for node in rule["nodes"]]
        assert [html for html in undecided if not html.startswith("<text")] == [], file


def test_letters_in_drawings_are_black_on_white_in_the_dark_too(folder: Path, open_tab: Callable[..., Tab]) -> None:
    tab = open_tab(folder, "P0118", colours="dark")
    fill = tab.eval_on_selector(".drawing svg text", "text => getComputedStyle(text).fill")
    sheet = tab.eval_on_selector(".drawing .sheet", "sheet => getComputedStyle(sheet).backgroundColor")
    assert (fill, sheet) == ("rgb(0, 0, 0)", "rgb(255, 255, 255)")


def test_a_formula_has_the_colour_and_the_size_of_the_words_around_it(
    folder: Path, open_tab: Callable[..., Tab]
) -> None:
    tab = open_tab(folder, "front", colours="dark")
    same = tab.eval_on_selector(
        ".formula text", "text => getComputedStyle(text).fill === getComputedStyle(text.closest('p')).color"
    )
    height = tab.eval_on_selector(".formula", "svg => svg.getBoundingClientRect().height")
    assert same
    assert height == pytest.approx(22 / 10 * 16, abs=0.5)  # 22 pt drawn at 10 pt, in text of 16 px


# ------------------------------------------------------------------------------------------------------- from the disk


def test_the_pages_are_set_in_the_fonts_that_come_with_them(folder: Path, open_tab: Callable[..., Tab]) -> None:
    tab = open_tab(folder, "front")
    tab.evaluate("async () => { await document.fonts.ready; }")
    loaded = tab.evaluate(
        "[...document.fonts].filter(f => f.status === 'loaded').map(f => f.family.replaceAll('\"', ''))"
    )
    assert {"Liberation Sans", "Liberation Mono"} <= set(loaded)


def test_a_drawing_has_its_true_size(folder: Path, open_tab: Callable[..., Tab]) -> None:
    tab = open_tab(folder, "P0AA6", width=360)
    box = tab.eval_on_selector(".drawing svg", "svg => svg.getBoundingClientRect().width")
    wide = next(
        block
        for page in sample_manual().pages
        if page.mark == "P0AA6"
        for block in page.blocks
        if isinstance(block, Figure)
    )
    assert box == pytest.approx(wide.width_mm * 96 / 25.4, abs=0.5)


# --------------------------------------------------------------------------------------------------------- the keyboard


def focused(tab: Tab) -> str:
    """The focused element in short: its id or its class or its tag."""
    text: str = tab.evaluate(
        "(e => e === document.body ? 'BODY' : e.id || e.className || e.tagName)(document.activeElement)"
    )
    return text


def test_the_first_key_leads_past_everything_to_the_text(folder: Path, open_tab: Callable[..., Tab]) -> None:
    tab = open_tab(folder, "P0118")
    tab.keyboard.press("Tab")
    assert focused(tab) == "skip"
    assert tab.eval_on_selector(".skip", "link => link.getBoundingClientRect().top") >= 0
    tab.keyboard.press("Enter")
    assert focused(tab) == "ui-main"
    tab.keyboard.press("Tab")
    assert tab.evaluate("document.querySelector('main').contains(document.activeElement)")


# Of the focused element: whether its focus is marked, and whether it or what holds it lies on top at its corner.
STOP = """() => {
    const element = document.activeElement, box = element.getBoundingClientRect();
    const across = Math.min(Math.max(box.left + 4, 1), innerWidth - 2);
    const down = Math.min(Math.max(box.top + 4, 1), innerHeight - 2);
    const top = document.elementFromPoint(across, down);
    const marked = getComputedStyle(element).outlineStyle !== 'none' || element.matches('main');
    return [marked, element.contains(top) || top?.contains(element)];
}"""


@pytest.mark.parametrize("width", [1280, 360])
def test_every_stop_of_the_tab_key_is_seen_and_none_is_a_trap(
    folder: Path, open_tab: Callable[..., Tab], width: int
) -> None:
    """WCAG 2.2: 2.1.2 no keyboard trap, 2.4.7 focus visible, 2.4.11 focus not obscured."""
    tab = open_tab(folder, "P0118", width=width)
    seen = []
    for _ in range(200):
        tab.keyboard.press("Tab")
        if focused(tab) in ("BODY", "skip") and seen:
            break
        stop = tab.evaluate(STOP)
        seen.append((focused(tab), *stop))
    else:
        pytest.fail("the focus never left the page")
    assert [name for name, outlined, _ in seen if not outlined] == []
    assert [name for name, _, on_top in seen if not on_top] == []
    assert len(seen) > 15


def test_the_search_box_comes_back_into_sight_when_it_takes_the_focus(
    folder: Path, open_tab: Callable[..., Tab]
) -> None:
    """On a narrow screen it scrolls away and leaves the line with the code; WCAG 2.2, 2.4.11."""
    tab = open_tab(folder, "P0118", width=360)
    tab.evaluate("scrollTo(0, 2000)")
    top = "document.querySelector('#ui-query').getBoundingClientRect().top"
    assert tab.evaluate(top) < 0
    assert tab.eval_on_selector(".here", "here => here.getBoundingClientRect().top") >= 0
    tab.focus("#ui-query")
    assert tab.evaluate(top) >= 0


def test_only_regions_with_something_to_scroll_take_the_focus(folder: Path, open_tab: Callable[..., Tab]) -> None:
    count = "document.querySelectorAll('.scroll[tabindex]').length"
    assert open_tab(folder, "P0AA6", width=1600).evaluate(count) == 0
    assert open_tab(folder, "P0AA6", width=360).evaluate(count) > 0


def test_an_answer_leads_to_its_step_below_the_head_of_the_page(folder: Path, open_tab: Callable[..., Tab]) -> None:
    tab = open_tab(folder, "P0118")
    tab.click("#P0118-step-1 .answer:has-text('Below')")
    step = tab.eval_on_selector("#P0118-step-4", "step => step.getBoundingClientRect().top")
    bar = tab.eval_on_selector(".bar", "bar => bar.getBoundingClientRect().bottom")
    assert tab.url.endswith("#P0118-step-4")
    assert bar <= step < 800


# ---------------------------------------------------------------------------------------------------------- the search


def results(tab: Tab, text: str) -> list[str]:
    """What the search box answers, as 'code > section' or 'title > section'."""
    tab.fill("#ui-query", text)
    tab.wait_for_selector("#ui-results:not([hidden])")
    found: list[str] = tab.evaluate(
        """[...document.querySelectorAll('#ui-results a')].map(link =>
            [link.querySelector('.mark') || link.querySelector('.title'), link.querySelector('.section')]
              .map(part => part ? part.textContent : '').join(' > '))"""
    )
    return found


def test_a_code_is_found_first_by_itself(folder: Path, open_tab: Callable[..., Tab]) -> None:
    tab = open_tab(folder, "index")
    assert results(tab, "p0118")[0] == "P0118 > "
    assert results(tab, "P01")[:2] == ["P0117 > ", "P0118 > "]


def test_a_cavity_is_found_in_the_drawing_table_or_step_that_names_it(
    folder: Path, open_tab: Callable[..., Tab]
) -> None:
    found = results(open_tab(folder, "P0117"), "M1-A.41")
    assert found
    assert all(place.startswith("P0118") for place in found)


def test_all_words_must_be_there_and_a_beginning_is_enough(folder: Path, open_tab: Callable[..., Tab]) -> None:
    tab = open_tab(folder, "index")
    assert results(tab, "isolation hybr")[0] == "P0AA6 > "
    assert results(tab, "isolation nonsense") == []
    assert tab.inner_text("#ui-results p") == "Nothing found"


def test_the_result_is_reached_with_the_keyboard_alone(folder: Path, open_tab: Callable[..., Tab]) -> None:
    tab = open_tab(folder, "index")
    results(tab, "P0AA6")
    tab.keyboard.press("ArrowDown")
    assert tab.evaluate("document.activeElement.closest('#ui-results') !== null")
    tab.keyboard.press("Escape")
    assert focused(tab) == "ui-query"
    assert tab.is_hidden("#ui-results")
    results(tab, "P0AA6 ")
    with tab.expect_navigation():
        tab.keyboard.press("Enter")
    assert tab.url.endswith("/P0AA6.html")


def test_what_is_typed_into_the_search_is_only_text(folder: Path, open_tab: Callable[..., Tab]) -> None:
    tab = open_tab(folder, "index")
    for text in ("<img src=x onerror=alert(1)>", "__proto__", "constructor", "\\", "[", "${x}"):
        results(tab, text)
    assert tab.locator("#ui-results img").count() == 0


# ------------------------------------------------------------------------------------------------- colours and screens


def test_the_colours_are_chosen_once_for_all_pages(folder: Path, open_tab: Callable[..., Tab]) -> None:
    tab = open_tab(folder, "index")
    ground = "getComputedStyle(document.body).backgroundColor"
    light = tab.evaluate(ground)
    assert tab.get_attribute("#ui-theme", "aria-pressed") == "false"
    tab.click("#ui-theme")
    dark = tab.evaluate(ground)
    assert dark != light
    tab.goto(f"{folder.as_uri()}/P0118.html")
    assert tab.evaluate(ground) == dark
    assert tab.get_attribute("#ui-theme", "aria-pressed") == "true"


@pytest.mark.parametrize("file", FILES)
def test_a_page_fits_a_screen_of_320_pixels_without_scrolling_sideways(
    folder: Path, open_tab: Callable[..., Tab], file: str
) -> None:
    """WCAG 2.2, 1.4.10 reflow; drawings and tables scroll inside their own region."""
    tab = open_tab(folder, file, width=320)
    assert tab.evaluate("document.documentElement.scrollWidth") <= 320
    outside = tab.evaluate(
        """[...document.querySelectorAll('main *')].filter(e => !e.closest('.scroll, .unseen') &&
            e.getBoundingClientRect().right > 321).map(e => e.outerHTML.slice(0, 80))"""
    )
    assert outside == []


def test_the_navigation_opens_and_closes_on_a_small_screen(folder: Path, open_tab: Callable[..., Tab]) -> None:
    tab = open_tab(folder, "P0118", width=360)
    assert tab.is_hidden("#ui-nav")
    tab.click("#ui-menu")
    assert tab.get_attribute("#ui-menu", "aria-expanded") == "true"
    assert tab.is_visible("#ui-nav")
    tab.keyboard.press("Escape")
    assert tab.is_hidden("#ui-nav")
    assert focused(tab) == "ui-menu"


@pytest.mark.parametrize("width", [1280, 360])
def test_targets_can_be_hit_with_a_finger(folder: Path, open_tab: Callable[..., Tab], width: int) -> None:
    """WCAG 2.2, 2.5.8: 24 by 24 CSS pixels; links in a line of text are excepted."""
    tab = open_tab(folder, "P0118", width=width)
    small = tab.evaluate(
        """[...document.querySelectorAll('a, button, input')]
            .filter(e => e.offsetParent && !e.closest('main p, main li > p, td'))
            .map(e => [e.textContent, e.getBoundingClientRect()])
            .filter(([_, box]) => box.height < 24 || box.width < 24)
            .map(([text]) => text)"""
    )
    assert small == []


def test_without_scripts_everything_can_be_read_and_reached(folder: Path, open_tab: Callable[..., Tab]) -> None:
    tab = open_tab(folder, "P0118", width=360, java_script_enabled=False)
    assert tab.is_visible("#ui-nav a[href='P0117.html']")
    assert tab.is_visible("#P0118-step-1")
    assert tab.is_hidden("#ui-search")
