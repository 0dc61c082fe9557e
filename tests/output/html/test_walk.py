from __future__ import annotations

from authorkit.manual.blocks import (
    BulletList,
    CautionBlock,
    Code,
    CodeBlock,
    FactList,
    Figure,
    Heading,
    LineBreak,
    Link,
    Paragraph,
    Picture,
    Quote,
    StepBlock,
    Strong,
    Table,
    Text,
    all_blocks,
    words,
)
from authorkit.output.html.walk import anchors_of, plain, texts_of, without_skips


def test_blocks_inside_lists_and_quotes_are_met_in_reading_order() -> None:
    inner, quoted = Paragraph(words("inner")), Paragraph(words("quoted"))
    nested = BulletList(((inner,),))
    outer = BulletList(((nested,), (Quote((quoted,)),)))
    assert [type(block).__name__ for block in all_blocks((outer,))] == [
        "BulletList",
        "BulletList",
        "Paragraph",
        "Quote",
        "Paragraph",
    ]


def test_plain_text_reaches_into_emphasis_and_links_and_tells_a_formula_in_words() -> None:
    inlines = (
        Strong((Text("Read "), Code("B5.1"))),
        LineBreak(),
        Link("x", words("there")),
        Picture(b"", " R/2", 1, 1, 0),
    )
    assert plain(inlines) == "Read B5.1 there R/2"


def test_every_text_of_a_block_is_met() -> None:
    blocks = (
        Heading(2, "a"),
        CodeBlock("b"),
        Table("c", ("d",), ((words("e"),),), number="f"),
        Figure("g", b"", "svg", "h", 1, 1),
        CautionBlock("NOTICE", "i", "j", ("k",)),
        FactList((("l", words("m")),)),
        StepBlock("1", "", words("n"), (("CAUTION", "o"),), words("p"), words("q"), (), words("r"), words("s")),
        Paragraph(words("t")),
    )
    met = {text for block in blocks for text in texts_of(block)}
    assert set("abcdefghijklmnopqrst") <= met


def test_a_table_has_its_own_anchor_and_those_of_its_rows() -> None:
    table = Table("", ("x",), ((words("1"),), (words("2"),)), "whole", row_anchors=("", "second"))
    assert list(anchors_of(table)) == ["whole", "second"]


def test_no_heading_is_more_than_one_level_below_the_one_before() -> None:
    """WCAG 2.2, success criterion 1.3.1 with technique H42: headings nest."""
    levels = (3, 3, 2, 3, 2)
    blocks = without_skips(Heading(level, "h") for level in levels)
    assert [block.level for block in blocks if isinstance(block, Heading)] == [2, 3, 2, 3, 2]
