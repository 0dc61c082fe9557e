"""The HTML manual as a reader's browser shows it: opened from disk, with keyboard, on small screens, on paper."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import fields, is_dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from authorkit.manual.blocks import CautionBlock, Figure, Heading, Page, Paragraph, Picture, StepBlock, words
from authorkit.output.html import write_html
from tests.output.html_samples import chapter, small_manual
from tests.output.pdf_reading import page_texts
from tests.output.sample_manual import sample_manual
from tests.output.sample_pictures import circuit_svg

if TYPE_CHECKING:
    from playwright.sync_api import Browser
    from playwright.sync_api import Page as Tab

pytestmark = pytest.mark.browser

# One page of each kind; P0118 holds every kind of block.
FILES = ["index", "front", "P0118", "P0AA6", "codes", "page-index"]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample manual, written once, in a folder whose name needs quoting in an address."""
    target = tmp_path_factory.mktemp("html") / "my manual é"
    assert write_html(sample_manual(), target) == ()
    return target


@pytest.fixture
def open_tab(chromium: Browser) -> Iterator[Callable[..., Tab]]:
    """Opens tabs of a given kind; fails at the end if one asked for a file outside the manual or broke its policy."""
    contexts, faults = [], []

    def open_one(folder: Path, file: str, *, width: int = 1280, colours: Any = "light", **settings: Any) -> Tab:
        context = chromium.new_context(
            viewport={"width": width, "height": 800}, color_scheme=colours, reduced_motion="reduce", **settings
        )
        contexts.append(context)
        tab = context.new_page()
        root = folder.as_uri()
        tab.on("request", lambda request: None if request.url.startswith(root) else faults.append(request.url))
        tab.on("requestfailed", lambda request: faults.append(f"failed: {request.url}"))
        tab.on("console", lambda message: faults.append(message.text))
        tab.on("pageerror", lambda error: faults.append(str(error)))
        tab.on("dialog", lambda dialog: faults.append(f"dialog: {dialog.message}"))
        tab.goto(f"{root}/{file}.html")
        return tab

    yield open_one
    for context in contexts:
        context.close()
    assert faults == []


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


# --------------------------------------------------------------------------------------------------------- hostile text

HOSTILE = [
    "<script>document.title = 'owned'; alert(1)</script> </title></style></svg><svg onload=alert(1)>",
    "\"><iframe src='https://example.org/'></iframe> ' onfocus='alert(1)' autofocus=' <img src=x onerror=\"alert(1)\">",
    "</main><base href='https://example.org/'> {{ 7*7 }} {% for x in y %} ${alert(1)} <%= x %> javascript:alert(1)",
    "<!-- --><meta http-equiv=refresh content='0;url=https://example.org/'> --> ]]> &lt;b&gt; &#x3c;i>",
]


def spoilt(item: Any, text: str) -> Any:
    """The same page model with `text` in the place of every text, caption, name and address."""
    if isinstance(item, str):
        return f"{item} {text}"
    if isinstance(item, tuple):
        return tuple(spoilt(part, text) for part in item)
    if not is_dataclass(item) or isinstance(item, type):
        return item
    kept = {
        "anchor",
        "target",
        "kind",
        "media",
        "index",
        "align",
        "system",
        "systems",
        "language",
        "row_anchors",
        "source",
    }
    changed = {f.name: spoilt(getattr(item, f.name), text) for f in fields(item) if f.name not in kept}
    if isinstance(item, Heading | Picture | Figure):
        changed = {name: value for name, value in changed.items() if name not in ("level", "data", "svg")}
    if isinstance(item, CautionBlock):
        changed["word"] = item.word
    return replace(item, **changed)


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_is_shown_and_does_nothing(tmp_path: Path, open_tab: Callable[..., Tab], text: str) -> None:
    assert write_html(spoilt(sample_manual(), text), tmp_path / "manual") == ()
    for file in ("index", "P0118", "page-index"):
        tab = open_tab(tmp_path / "manual", file)
        assert "owned" not in tab.title().replace(text, "")
        assert text in " ".join(tab.inner_text("main").split())
        assert tab.locator("iframe, base, object, embed, main script, main img:not([src^='assets/'])").count() == 0
        assert tab.locator("script").count() == 2
        handlers = tab.evaluate(
            "[...document.querySelectorAll('*')].flatMap(e => [...e.attributes])"
            ".filter(a => /^on|^style$/.test(a.name)).length"
        )
        assert handlers == 0
        schemes = set(tab.evaluate("[...document.querySelectorAll('a')].map(a => a.protocol)"))
        assert schemes <= {"file:", "https:"}


def test_a_hostile_picture_draws_its_shapes_and_nothing_else(tmp_path: Path, open_tab: Callable[..., Tab]) -> None:
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 9 9"'
        ' onload="alert(1)"><style>@import "https://example.org/x.css"; * { fill: url(https://example.org/x) }</style>'
        '<a xlink:href="javascript:alert(1)"><rect width="9" height="9"/></a><image href="https://example.org/x.png"/>'
        '<foreignObject><body xmlns="http://www.w3.org/1999/xhtml"><script>alert(1)</script></body></foreignObject>'
        '<use href="https://example.org/x.svg#a"/><script>alert(1)</script>'
        '<circle r="3"><set attributeName="href" to="javascript:alert(1)"/></circle></svg>'
    )
    page = chapter(
        "P0118",
        Figure("c", svg.encode(), "svg", "what it shows", 50, 50),
        Paragraph((Picture(svg.encode(), "x", 9, 9, 0),)),
    )
    problems = write_html(small_manual(page), tmp_path / "manual")
    assert {problem.rule for problem in problems} == {"page-refused"}
    tab = open_tab(tmp_path / "manual", "P0118")
    assert tab.locator("main svg circle").count() == 2
    assert tab.locator("main svg :is(script, a, image, set, style, foreignObject, [href])").count() == 0


# ------------------------------------------------------------------------------------------------------------- on paper


def printed(tab: Tab, path: Path, size: str = "A4") -> list[str]:
    """The text of each page that the browser prints."""
    tab.pdf(path=path, format=size, prefer_css_page_size=True)
    return page_texts(path)


def test_paper_shows_the_text_and_not_the_ways_around_it(
    folder: Path, tmp_path: Path, open_tab: Callable[..., Tab]
) -> None:
    pages = printed(open_tab(folder, "front", colours="dark"), tmp_path / "front.pdf")
    text = " ".join(pages)
    assert "Reading a chapter" in text
    assert f"1 / {len(pages)}" in pages[0]
    for word in ("Skip to the text", "Dark page", "List of codes", "Previous", "Next", ".html", "file:"):
        assert word not in text
    assert "(https://www.bipm.org/en/publications/si-brochure)" in text  # paper cannot be pressed: it spells it out


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_the_head_of_a_table_is_repeated_on_every_page(
    folder: Path, tmp_path: Path, open_tab: Callable[..., Tab], size: str
) -> None:
    pages = printed(open_tab(folder, "P0118"), tmp_path / "page.pdf", size)
    with_rows = [page for page in pages if " kΩ " in page]
    assert len(with_rows) > 1
    assert all("Temperature Resistance Voltage at M1-A.23" in page for page in with_rows)


def tall_page(lines: int) -> Page:
    """Lines of text, then what must not be parted."""
    step = StepBlock("1", "s1", words("Do begins"), (), words("M"), words("Q"), (), words("V"), words("Repair ends"))
    return chapter(
        "P0118",
        *(Paragraph(words(f"line {number}")) for number in range(lines)),
        Heading(2, "Heading before drawing"),
        Figure("Drawing below heading", circuit_svg(120, 50), "svg", "alt", 120, 50),
        Heading(2, "Heading before caution"),
        CautionBlock("WARNING", "Hazard first", "Consequence", ("Avoid last",)),
        CautionBlock("CAUTION", "Second hazard", "Consequence", ("Avoid second",)),
        step,
    )


# Words that must be printed on the same page as each other.
TOGETHER = [
    ("Heading before drawing", "Drawing below heading"),
    ("Heading before caution", "Hazard first"),
    ("Hazard first", "Avoid last"),
    ("Avoid last", "Second hazard"),
    ("Second hazard", "Avoid second"),
    ("Avoid second", "Do begins"),
    ("Do begins", "Repair ends"),
]


@pytest.mark.slow
def test_nothing_that_belongs_together_is_parted_wherever_the_page_ends(
    tmp_path: Path, open_tab: Callable[..., Tab]
) -> None:
    """The text before is made longer line by line, so that the page ends at every place of what follows."""
    broken, ends = [], set()
    for lines in range(4, 34, 3):
        folder = tmp_path / str(lines)
        write_html(small_manual(tall_page(lines)), folder)
        pages = printed(open_tab(folder, "P0118"), tmp_path / f"{lines}.pdf")
        for first, second in TOGETHER:
            if not any(first in page and second in page for page in pages):
                broken.append((lines, first, second))
        ends.add(" ".join(pages[0].split()[-6:-3]))
    assert broken == []
    assert len(ends) > 4  # the page did end in different places
