from __future__ import annotations

from authorkit.manual.blocks import (
    BulletList,
    CodeBlock,
    FactList,
    Heading,
    IndexMark,
    Paragraph,
    Quote,
    StepBlock,
    words,
)
from authorkit.output.html.blocks import blocks_html
from tests.output.html.samples import rendered, view_of


def test_headings_paragraphs_and_quotes() -> None:
    blocks = (
        Heading(2, "A & B", "the-heading"),
        Paragraph(words("one"), role="lead"),
        Quote((Paragraph(words("two")),)),
    )
    assert blocks_html(blocks, view_of()) == (
        '<h2 id="the-heading">A &amp; B</h2>\n<p class="lead">one</p>\n<blockquote><p>two</p></blockquote>'
    )


def test_lists_nest_and_keep_their_kind() -> None:
    inner = BulletList(((Paragraph(words("b")),),), ordered=True)
    element = rendered((BulletList(((Paragraph(words("a")), inner),)),))
    assert element.one("ul").one("ol").one("li").text == "b"


def test_typed_lines_keep_their_spaces_and_take_the_focus_for_scrolling() -> None:
    block = rendered((CodeBlock("a  <b>\n  c"),)).one("pre")
    assert block.text == "a  <b>\n  c"
    assert block.attributes["tabindex"] == "0"


def test_facts_are_pairs_of_name_and_value() -> None:
    element = rendered((FactList((("Series", words("A, B")), ("Lamp", words("on"))), "facts"),)).one("dl", id="facts")
    pairs = [(pair.one("dt").text, pair.one("dd").text) for pair in element.all("div")]
    assert pairs == [("Series", "A, B"), ("Lamp", "on")]


def test_a_mark_for_the_index_is_not_seen() -> None:
    assert blocks_html((IndexMark("code", "P0118"),), view_of()) == ""


def test_an_anchor_that_stands_twice_on_a_page_is_written_once() -> None:
    element = rendered((Heading(2, "a", "same"), Heading(2, "b", "same")))
    assert [heading.attributes.get("id") for heading in element.all("h2")] == ["same", None]


def test_steps_that_follow_each_other_share_a_list_and_others_do_not() -> None:
    steps = [StepBlock(str(number), f"s{number}", words("do")) for number in (1, 2, 3)]
    element = rendered((steps[0], steps[1], Paragraph(words("between")), steps[2]))
    assert [[item.attributes["id"] for item in group.all("li")] for group in element.all("ol")] == [
        ["s1", "s2"],
        ["s3"],
    ]
