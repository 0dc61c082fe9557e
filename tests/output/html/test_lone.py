"""A page as one file: the same page, nothing fetched, nothing obeyed but what it carries."""

from __future__ import annotations

import base64
import hashlib
import io
import re
from dataclasses import replace

import pytest
from fontTools.ttLib import TTFont

from authorkit.manual.blocks import Manual
from authorkit.output.html.addresses import find_addresses
from authorkit.output.html.frame import make_site, text_page
from authorkit.output.html.lone import embedded_fonts, lone_html
from authorkit.output.html.slides import slides_html
from authorkit.output.html.style import style_sheet
from tests.output.html.reading import Element, read_html
from tests.output.sample_manual import sample_manual

WHOLE = sample_manual()


def only(code: str) -> Manual:
    return replace(WHOLE, pages=tuple(page for page in WHOLE.pages if page.anchor == code))


def of_page() -> str:
    text, problems = lone_html(only("P0118"))
    assert problems == ()
    return text


def of_slides() -> str:
    chapters = tuple(page for page in WHOLE.pages if page.kind == "chapter")
    text, problems = slides_html(replace(WHOLE, pages=chapters), "All chapters")
    assert problems == ()
    return text


BOTH = pytest.mark.parametrize("make", [of_page, of_slides])


def main_text(page: Element) -> str:
    return page.one("main").text


def test_it_says_word_for_word_what_the_page_of_the_manual_says() -> None:
    page = next(page for page in WHOLE.pages if page.anchor == "P0118")
    in_the_manual = text_page(page, make_site(WHOLE, find_addresses(WHOLE)))
    assert main_text(read_html(of_page())) == main_text(read_html(in_the_manual))


@BOTH
def test_no_address_leads_to_another_file(make) -> None:
    page = read_html(make())
    for element in page.all():
        for name in ("href", "src", "srcset", "action"):
            value = element.attributes.get(name) or ""
            assert value.startswith(("#", "data:", "https://www.bipm.org/")) or not value, (element.tag, value)
    assert all(address.startswith("data:") for address in re.findall(r'url\("?([^#)"]+)', make()))


@BOTH
def test_every_link_inside_leads_to_an_id_that_stands_once(make) -> None:
    page = read_html(make())
    ids = [element.attributes["id"] for element in page.all() if element.attributes.get("id")]
    assert len(set(ids)) == len(ids)
    targets = {a.attributes["href"][1:] for a in page.all("a") if (a.attributes.get("href") or "").startswith("#")}
    assert targets <= set(ids)


@BOTH
def test_the_policy_allows_exactly_the_style_and_the_script_that_are_there(make) -> None:
    """Hashes computed here as the standard says: base64 of SHA-256 of the element's text (CSP Level 3, 2.3.1)."""
    page = read_html(make())
    (policy,) = [meta.attributes["content"] for meta in page.all("meta", http_equiv="Content-Security-Policy")]
    for tag, kind in (("style", "style-src"), ("script", "script-src")):
        digest = hashlib.sha256(page.one(tag).text.encode()).digest()
        assert f"{kind} 'sha256-{base64.b64encode(digest).decode()}';" in policy
    assert "unsafe" not in policy
    assert policy.startswith("default-src 'none';")


@BOTH
def test_the_same_manual_gives_the_same_bytes(make) -> None:
    assert make() == make()


def test_the_fonts_inside_hold_the_signs_of_the_text_and_are_small() -> None:
    sheet = embedded_fonts(style_sheet(), "Ω→")
    fonts = [base64.b64decode(data) for data in re.findall(r"data:font/ttf;base64,([A-Za-z0-9+/=]+)", sheet)]
    assert len(fonts) == 6
    for data in fonts:
        with TTFont(io.BytesIO(data)) as font:
            assert set(font.getBestCmap()) == {ord("Ω"), ord("→")}
        assert len(data) < 20_000


def test_slides_show_every_chapter_and_lead_to_its_first_slide() -> None:
    page = read_html(of_slides())
    cover = page.one("section", id="ui-slide-1")
    assert [a.attributes["href"] for a in cover.all("a")] == ["#P0117", "#P0118", "#P0AA6"]
    assert all(warning in cover.text for warning in WHOLE.warnings)
    sections = list(page.all("section"))
    assert [section.one(class_="count").text for section in sections[1:]] == [
        f"{number} / {len(sections)}" for number in range(2, len(sections) + 1)
    ]


def test_a_step_on_a_slide_leads_to_the_slide_of_the_next_step() -> None:
    page = read_html(of_slides())
    targets = [a.attributes["href"] for a in page.all("a", class_="answer")]
    assert "#P0117-step-2" in targets
    steps = [section for section in page.all("section") if any(section.all("li", id="P0117-step-2"))]
    assert len(steps) == 1
