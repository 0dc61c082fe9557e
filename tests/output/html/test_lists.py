from __future__ import annotations

import pytest

from authorkit.manual.blocks import BulletList, IndexMark, Manual, Page
from authorkit.output.html.addresses import find_addresses
from authorkit.output.html.inline import View
from authorkit.output.html.lists import contents_html, index_entries, index_html, page_groups, split_title
from tests.output.html.reading import Element, read_html
from tests.output.html.samples import chapter, small_manual

FRONT, CODES = Page("front", "How to read", "front"), Page("codes", "List of codes", "codes")


def book(*pages: Page, systems: tuple[str, ...] = ()) -> Manual:
    return Manual("M", "", "en", "", "", (), pages, systems)


def index_of(key: str, *pages: Page) -> Element:
    manual = small_manual(*pages)
    return read_html(index_html(key, index_entries(manual, key), View(find_addresses(manual), "index.html")))


def test_chapters_stand_by_system_in_the_order_of_the_manual_and_the_rest_around_them() -> None:
    pages = (
        Page("title", "T", "title"),
        FRONT,
        chapter("P0A0D", system="High voltage"),
        chapter("P0117", system="Engine"),
        chapter("B0039", system="Restraints"),
        chapter("P0118", system="Engine"),
        CODES,
    )
    groups = page_groups(book(*pages, systems=("Engine", "High voltage", "Brakes")))
    assert [(group.name, [page.anchor for page in group.pages]) for group in groups] == [
        ("", ["front"]),
        ("Engine", ["P0117", "P0118"]),
        ("High voltage", ["P0A0D"]),
        ("Restraints", ["B0039"]),
        ("", ["codes"]),
    ]


def test_a_manual_without_chapters_has_its_pages_in_one_group() -> None:
    assert [[page.anchor for page in group.pages] for group in page_groups(book(FRONT, CODES))] == [["front", "codes"]]


@pytest.mark.parametrize("title", ["P0118 Sensor high", "P0118: Sensor high", "P0118 – Sensor high", "Sensor high"])
def test_a_chapters_title_does_not_repeat_its_code(title: str) -> None:
    assert split_title(Page("P0118", title, "chapter", mark="P0118")) == ("P0118", "Sensor high")


def test_a_title_that_is_only_the_code_stays() -> None:
    assert split_title(Page("P0118", "P0118", "chapter", mark="P0118")) == ("P0118", "P0118")


def test_the_contents_lead_to_every_page() -> None:
    manual = book(FRONT, chapter("P0118", system="Engine"), CODES)
    view = View(find_addresses(manual), "index.html")
    contents = read_html(contents_html(page_groups(manual), view))
    assert [(link.attributes["href"], link.text) for link in contents.all("a")] == [
        ("front.html", "How to read"),
        ("P0118.html", "P0118 Title of P0118"),
        ("codes.html", "List of codes"),
    ]
    assert [heading.text for heading in contents.all("h3")] == ["Engine"]


def test_an_index_lists_terms_with_their_sub_terms_and_every_page_once() -> None:
    marks = [IndexMark("connector", "M1-A", sub) for sub in ("10", "9", "10")]
    hidden = BulletList(((IndexMark("connector", "B5"),),))
    index = index_of("connector", chapter("P0117", *marks), chapter("P0118", marks[0], hidden))
    top = [item for item in index.one("ul", class_="index").content if not isinstance(item, str)]
    assert [item.text for item in top] == ["B5 P0118", "M1-A9 P011710 P0117, P0118"]
    assert [link.attributes["href"] for link in top[1].all("a")] == ["P0117.html", "P0117.html", "P0118.html"]


def test_codes_are_listed_by_their_signs_for_their_digits_are_hexadecimal() -> None:
    codes = ("P0AA6", "P0117", "P0A0D")
    index = index_of("code", *(chapter(code, IndexMark("code", code, "Title")) for code in codes))
    assert [term.text for term in index.all("span", class_="term")] == ["P0117", "P0A0D", "P0AA6"]


def test_a_page_called_as_its_term_is_linked_by_the_words_instead_of_naming_the_term_twice() -> None:
    index = index_of("code", chapter("P0118", IndexMark("code", "P0118", "Sensor high")))
    assert [(link.text, link.attributes["href"]) for link in index.all("a")] == [("Sensor high", "P0118.html")]


def test_an_index_without_entries_is_nothing() -> None:
    manual = small_manual(chapter("P0118"))
    assert index_html("ground", index_entries(manual, "ground"), View(find_addresses(manual), "x")) == ""
