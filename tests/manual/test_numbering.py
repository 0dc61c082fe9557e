"""Numbers are counted within a page; references to figures say them."""

from __future__ import annotations

from authorkit.manual.blocks import BulletList, Figure, Link, Page, Paragraph, Strong, Table, Text, words
from authorkit.manual.numbering import numbered


def _figure(anchor: str) -> Figure:
    return Figure("caption", b"<svg/>", "svg", "alt", 10, 10, anchor)


def _table() -> Table:
    return Table("caption", ("A",), ((words("x"),),))


def test_figures_and_tables_are_counted_apart_and_carry_the_code():
    page = Page("P0118", "t", "chapter", (_figure("a"), _table(), _figure("b")), mark="P0118")
    assert [block.number for block in numbered(page).blocks] == ["Figure P0118-1", "Table P0118-1", "Figure P0118-2"]


def test_a_reference_to_a_figure_says_its_number_wherever_it_stands():
    link = Link("b", (Text("figure"),))
    nested = BulletList(((Paragraph((Strong((link,)),)),),))
    page = Page("P0118", "t", "chapter", (_figure("a"), _figure("b"), nested), mark="P0118")
    (item,) = numbered(page).blocks[2].items[0]
    assert item.children[0].children[0] == Link("b", (Text("Figure P0118-2"),))


def test_other_links_stay_as_they_are():
    link = Link("part-B5", (Text("B5"),))
    page = Page("P0118", "t", "chapter", (_figure("a"), Paragraph((link,))), mark="P0118")
    assert numbered(page).blocks[1] == Paragraph((link,))


def test_pages_without_a_code_are_numbered_without_one():
    assert numbered(Page("x", "Tools", "front", (_table(),))).blocks[0].number == "Table 1"
