from __future__ import annotations

from authorkit.manual.blocks import Table, words
from tests.output.html.samples import rendered

TABLE = Table(
    "Readings & limits",
    ("Cavity", "Volts"),
    ((words("M1-A.23"), words("2.4")), (words("M1-A.41"), words("0.0"))),
    "readings",
    align=("left", "right"),
    widths=(3, 1),
    number="Table P0118-1",
    row_anchors=("row-23", ""),
)


def test_the_caption_stands_first_with_its_number() -> None:
    table = rendered((TABLE,)).one("table")
    first = table.content[0]
    assert not isinstance(first, str)
    assert (first.tag, first.text) == ("caption", "Table P0118-1 Readings & limits")


def test_headings_say_whether_they_name_a_column_or_a_row() -> None:
    """WCAG 2.2, technique H63: scope on every heading cell."""
    table = rendered((TABLE,)).one("table")
    assert [(cell.text, cell.attributes["scope"]) for cell in table.all("th")] == [
        ("Cavity", "col"),
        ("Volts", "col"),
        ("M1-A.23", "row"),
        ("M1-A.41", "row"),
    ]


def test_every_cell_has_its_text_in_its_place() -> None:
    body = rendered((TABLE,)).one("tbody")
    rows = [[cell.text for cell in row.content if not isinstance(cell, str)] for row in body.all("tr")]
    assert rows == [["M1-A.23", "2.4"], ["M1-A.41", "0.0"]]


def test_rows_have_the_anchors_that_lists_refer_to() -> None:
    assert [row.attributes.get("id") for row in rendered((TABLE,)).one("tbody").all("tr")] == ["row-23", None]


def test_a_table_scrolls_in_a_region_that_the_keyboard_reaches_and_that_has_a_name() -> None:
    page = rendered((TABLE,))
    region = page.one("div", id="readings")
    assert (region.attributes["tabindex"], region.attributes["role"]) == ("0", "group")
    assert page.one(id=str(region.attributes["aria-labelledby"])).text.startswith("Table P0118-1")


def test_a_region_without_a_caption_is_named_by_its_columns() -> None:
    region = rendered((Table("", ("Cavity", "", "Volts"), ((words("1"), (), words("2")),)),)).one("div", role="group")
    assert region.attributes["aria-label"] == "Cavity, Volts"


def test_a_column_without_a_name_has_no_empty_heading() -> None:
    head = rendered((Table("t", ("A", ""), ((words("1"), words("2")),)),)).one("thead")
    assert [cell.tag for cell in head.one("tr").content if not isinstance(cell, str)] == ["th", "td"]


def test_alignment_and_widths_are_classes() -> None:
    table = rendered((TABLE,)).one("table")
    assert [col.classes for col in table.all("col")] == [["w-75"], ["w-25"]]
    assert [cell.text for cell in table.all(class_="to-right")] == ["Volts", "2.4", "0.0"]
    assert not any("style" in element.attributes for element in table.all())


def test_the_first_cell_is_plain_where_it_names_no_row() -> None:
    table = rendered((Table("t", ("A",), ((words("1"),),), row_heads=False),))
    assert [cell.text for cell in table.all("td")] == ["1"]


def test_more_columns_than_the_text_is_wide_may_be_wider() -> None:
    wide = Table("t", tuple("abcdef"), ((words("x"),) * 6,))
    assert "wide" in rendered((wide,)).one("div", role="group").classes
    assert "wide" not in rendered((TABLE,)).one("div", role="group").classes
