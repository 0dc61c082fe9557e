from __future__ import annotations

import pytest

from authorkit.manual.blocks import Answer, Heading, Link, Page, Paragraph, StepBlock, Table, words
from authorkit.output.html.addresses import address_problems, find_addresses
from authorkit.problems import Place
from tests.output.html.samples import chapter, small_manual


def files_of(*anchors: str) -> list[str]:
    pages = [Page(anchor, anchor, "front") for anchor in anchors]
    return list(find_addresses(small_manual(*pages)).files.values())


@pytest.mark.parametrize(
    ("anchor", "file"),
    [
        ("P0118", "P0118.html"),
        ("P0118-17", "P0118-17.html"),
        ("../../etc/passwd", "-..-etc-passwd.html"),
        ("a/b c?d#e%", "a-b-c-d-e-.html"),
        ("", "page.html"),
        ("...", "page.html"),
        ("index", "page-index.html"),  # the start page has that name
        ("CON", "page-CON.html"),  # device names of Windows
        ("lpt1", "page-lpt1.html"),
    ],
)
def test_a_page_is_named_by_its_anchor_in_letters_that_every_file_system_takes(anchor: str, file: str) -> None:
    assert files_of(anchor) == [file]


def test_names_that_differ_in_the_case_of_a_letter_are_kept_apart() -> None:
    assert files_of("Pump", "pump", "PUMP") == ["Pump.html", "pump-2.html", "PUMP-3.html"]


def test_title_and_contents_are_the_start_page() -> None:
    pages = (Page("title", "T", "title"), Page("contents", "C", "contents"), chapter("P0118"))
    addresses = find_addresses(small_manual(*pages))
    assert addresses.href("title", "P0118.html") == "index.html"
    assert addresses.href("contents", "P0118.html") == "index.html"


def test_an_address_names_the_file_only_where_it_is_another() -> None:
    table = Table("t", ("a",), ((words("x"),),), "my-table", row_anchors=("my-row",))
    addresses = find_addresses(small_manual(chapter("P0117", Heading(2, "H", "there")), chapter("P0118", table)))
    assert addresses.href("there", "P0117.html") == "#there"
    assert addresses.href("there", "P0118.html") == "P0117.html#there"
    assert addresses.href("my-row", "P0117.html") == "P0118.html#my-row"
    assert addresses.href("P0117", "P0117.html") == "#ui-main"
    assert addresses.href("nowhere", "P0117.html") is None


def test_a_link_that_leads_nowhere_is_found_wherever_it_stands() -> None:
    link = Link("gone", words("there"))
    step = StepBlock(
        "1", "s", words("do"), answers=(Answer(words("Yes"), "2", "gone-too"), Answer(words("No"), "3", ""))
    )
    page = chapter("P0118", Paragraph((link,)), step, Table("t", ("a",), (((link,),),)))
    manual = small_manual(page)
    problems = list(address_problems(manual, find_addresses(manual)))
    assert [(problem.rule, problem.found) for problem in problems] == [
        ("link-dangling", "gone"),
        ("link-dangling", "gone-too"),
        ("link-dangling", "gone"),
    ]
    assert problems[0].place == Place("chapters/P0118.ipynb")


def test_an_anchor_that_stands_twice_is_found_and_the_first_is_meant() -> None:
    manual = small_manual(chapter("P0117", Heading(2, "A", "same")), chapter("P0118", Heading(2, "B", "same")))
    addresses = find_addresses(manual)
    assert [(problem.rule, problem.found) for problem in address_problems(manual, addresses)] == [
        ("anchor-twice", "same")
    ]
    assert addresses.href("same", "x.html") == "P0117.html#same"
