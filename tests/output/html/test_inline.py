from __future__ import annotations

import pytest

from authorkit.manual.blocks import Code, Emphasis, Inline, LineBreak, Link, Picture, Strong, Text, WebLink, words
from authorkit.output.html.inline import inline_html
from tests.output.html.reading import Element, read_html
from tests.output.html.samples import view_of

FORMULA = b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 30 20"><path d="M0 0H9"/></svg>'


def written(*inlines: Inline) -> str:
    return inline_html(inlines, view_of("there"))


def read(*inlines: Inline) -> Element:
    return read_html(written(*inlines))


def test_emphasis_and_typed_values_become_their_elements() -> None:
    assert written(Strong((Text("a"), Emphasis(words("b")))), LineBreak(), Code("B5.1 <x>")) == (
        "<strong>a<em>b</em></strong><br><code>B5.1 &lt;x&gt;</code>"
    )


def test_a_link_into_the_manual_has_its_address_and_no_page_number() -> None:
    assert written(Link("there", words("see"), page=True)) == '<a href="P0117.html#there">see</a>'


def test_a_link_that_leads_nowhere_leaves_its_words() -> None:
    assert written(Link("gone", words("see"))) == "see"


def test_a_link_inside_a_link_leaves_its_words() -> None:
    element = read(
        WebLink("https://example.org/", (Link("there", words("in")), WebLink("https://example.com", words("out"))))
    )
    assert element.text == "inout"
    assert [link.attributes["href"] for link in element.all("a")] == ["https://example.org/"]


@pytest.mark.parametrize("address", ["https://example.org/a?b=1&c=2", "HTTP://example.org", "mailto:desk@example.org"])
def test_an_address_outside_is_linked_without_telling_where_from(address: str) -> None:
    link = read(WebLink(address, words("x"))).one("a")
    assert (link.attributes["href"], link.attributes["rel"]) == (address, "noopener noreferrer")


@pytest.mark.parametrize(
    "address",
    [
        "javascript:alert(1)",
        " javascript:alert(1)",
        "java\nscript:alert(1)",
        "data:text/html,x",
        "vbscript:x",
        "file:///etc/passwd",
        "//example.org",
        "https://example.org/\nx",
        "",
    ],
)
def test_an_address_that_could_do_something_leaves_only_the_words(address: str) -> None:
    assert written(WebLink(address, words("x"))) == "x"


def test_a_formula_is_a_picture_with_its_source_as_words_and_hangs_below_the_line() -> None:
    """Sizes are in the size of the text around: a formula is drawn at 10 pt."""
    picture = read(Picture(FORMULA, "R_1 / 2", 30, 20, 7.5)).one("svg")
    assert picture.attributes["width"] == "3.000em"
    assert picture.attributes["height"] == "2.000em"
    assert picture.classes == ["formula", "deep-15"]  # 15 steps of 0.05 em
    assert (picture.attributes["role"], picture.attributes["aria-label"]) == ("img", "R_1 / 2")
    assert "style" not in picture.attributes


def test_values_and_codes_are_not_parted_and_the_text_is_unchanged() -> None:
    element = read(Text("Read 4.9 V at M1-A.23 (BU/WH) now"))
    assert element.text == "Read 4.9 V at M1-A.23 (BU/WH) now"
    assert [span.text for span in element.all("span", class_="keep")][:2] == ["4.9 V", "M1-A.23"]


def test_an_id_is_given_once_on_a_page() -> None:
    view = view_of()
    assert [view.claim(name) for name in ("a", "a", "", "b")] == ["a", "", "", "b"]
