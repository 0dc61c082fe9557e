from __future__ import annotations

import json
import re
from typing import Any

import pytest

from authorkit.manual.blocks import Figure, Heading, IndexMark, Manual, Page, Paragraph, words
from authorkit.output.html import search as html_search
from authorkit.output.html.addresses import find_addresses
from authorkit.output.html.search import search_script, words_of
from authorkit.output.tokens import theme_file
from tests.output.html.samples import chapter, small_manual
from tests.output.sample_pictures import circuit_svg


def index_of(manual: Manual) -> dict[str, Any]:
    script = search_script(manual, find_addresses(manual))
    match = re.fullmatch(r"window\.manualIndex = (.*);\n", script)
    assert match
    index: dict[str, Any] = json.loads(match.group(1))
    return index


def found(index: dict[str, Any], word: str) -> list[tuple[str, str]]:
    """File and heading of each section that holds a word."""
    numbers = index["found"][index["words"].index(word)] if word in index["words"] else []
    sections = [index["sections"][number] for number in numbers]
    return [(index["pages"][page][0], heading) for page, _, heading in sections]


PAGE = chapter(
    "P0118",
    IndexMark("connector", "M1-A", "23"),
    Paragraph(words("Before all headings")),
    Heading(2, "Circuit", "P0118-circuit"),
    Figure("Drawing", circuit_svg(160, 60), "svg", "M1 feeds B5", 160, 60),
    Heading(2, "No anchor"),
    Paragraph(words("tagalong")),
)


def test_a_word_leads_to_the_section_it_stands_in() -> None:
    index = index_of(small_manual(PAGE))
    assert found(index, "headings") == [("P0118.html", "")]
    assert found(index, "tagalong") == [("P0118.html", "Circuit")]
    assert index["sections"][1] == [0, "P0118-circuit", "Circuit"]


def test_a_code_a_title_and_a_cavity_of_the_index_are_found_at_the_top_of_the_page() -> None:
    index = index_of(small_manual(PAGE))
    for word in ("p0118", "title", "m1-a.23", "m1-a"):
        assert found(index, word) == [("P0118.html", "")]


def test_what_is_written_in_a_drawing_is_found() -> None:
    assert found(index_of(small_manual(PAGE)), "bu/wh") == [("P0118.html", "Circuit")]


def test_lists_made_of_links_are_not_searched() -> None:
    pages = (Page("contents", "Contents", "contents"), Page("index", "Indexes", "index"), PAGE)
    assert [page[0] for page in index_of(small_manual(*pages))["pages"]] == ["P0118.html"]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Read M1-A.23.", ["read", "m1-a.23"]),
        ("(high-voltage)", ["high-voltage", "high", "voltage"]),
        ("K131 BU/WH", ["k131", "bu/wh"]),
        ("4.9 V; B+?", ["4.9", "v", "b+"]),
        ("  \n", []),
        ("x" * 90, ["x" * 40]),
    ],
)
def test_names_with_dots_and_dashes_stay_whole(text: str, expected: list[str]) -> None:
    assert list(words_of(text)) == expected


def test_words_stand_in_the_order_in_which_a_browser_compares_text() -> None:
    """ECMAScript compares strings by UTF-16 code units (ECMA-262, IsLessThan), where U+1F600 is before U+FF5E."""
    words_in_order = index_of(small_manual(chapter("P0118", Paragraph(words("\uff5ea \U0001f600a")))))["words"]
    assert words_in_order.index("\U0001f600a") < words_in_order.index("\uff5ea")


def test_the_script_is_plain_letters_whatever_the_text_holds() -> None:
    page = chapter("P0118", Paragraph(words("</script> \u2028 __proto__ ${x} `y`")))
    manual = small_manual(page)
    script = search_script(manual, find_addresses(manual))
    assert script.isascii()
    assert "__proto__" in index_of(manual)["words"]


def test_a_drawing_that_cannot_be_read_does_not_stop_the_index() -> None:
    page = chapter("P0118", Figure("c", b"<svg", "svg", "broken", 1, 1))
    assert found(index_of(small_manual(page)), "broken") == [("P0118.html", "")]


def test_page_and_index_part_words_at_the_same_signs() -> None:
    """The expression stands twice, in Python and in the script of the search box."""
    in_script = re.search(r"BETWEEN_WORDS = /(.*)/;", theme_file("html/search.js").decode())
    assert in_script
    assert in_script.group(1) == html_search._BETWEEN_WORDS.pattern
