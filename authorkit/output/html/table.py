"""Tables as HTML."""

from __future__ import annotations

from authorkit.manual.blocks import Inlines, Table
from authorkit.output.html.addresses import fragment
from authorkit.output.html.inline import View, inline_html
from authorkit.output.html.markup import escape, tag
from authorkit.output.html.style import width_classes

# A table of more columns may be wider than the column of text.
_COLUMNS_WITHIN_TEXT = 5


def table_html(table: Table, view: View) -> str:
    """A table in a region of its own that scrolls sideways where the screen is narrow."""
    caption_id = view.claim(f"d{next(view.numbers)}-caption") if table.caption or table.number else ""
    anchor = view.claim(fragment(table.anchor))
    inner = tag("table", _caption(table, caption_id), _columns(table), _head(table), _body(table, view))
    label = None if caption_id else ", ".join(name for name in table.columns if name)
    return tag(
        "div",
        inner,
        id=anchor,
        class_="table scroll wide" if len(table.columns) > _COLUMNS_WITHIN_TEXT else "table scroll",
        role="group",
        tabindex="0",
        aria_labelledby=caption_id,
        aria_label=label,
    )


def numbered(number: str, caption: str) -> str:
    """A caption with its number before it, as markup."""
    words = [tag("span", escape(number), class_="number")] if number else []
    return " ".join([*words, escape(caption)]) if caption else "".join(words)


def _caption(table: Table, caption_id: str) -> str:
    return tag("caption", numbered(table.number, table.caption), id=caption_id) if caption_id else ""


def _columns(table: Table) -> str:
    if not table.widths:
        return ""
    return tag("colgroup", *(tag("col", class_=name) for name in width_classes(table.widths)))


def _head(table: Table) -> str:
    """The head row; a column without a name gets an empty cell, not an empty heading."""
    if not any(table.columns):
        return ""
    cells = [
        tag("th", escape(name), scope="col", class_=_align(table, index)) if name else tag("td")
        for index, name in enumerate(table.columns)
    ]
    return tag("thead", tag("tr", *cells))


def _body(table: Table, view: View) -> str:
    anchors = table.row_anchors or ("",) * len(table.rows)
    rows = zip(table.rows, anchors, strict=True)
    return tag("tbody", *(_row(table, row, view.claim(fragment(anchor)), view) for row, anchor in rows))


def _row(table: Table, row: tuple[Inlines, ...], id_: str, view: View) -> str:
    return tag("tr", *_cells(table, row, view), id=id_)


def _cells(table: Table, row: tuple[Inlines, ...], view: View) -> list[str]:
    cells = []
    for index, cell in enumerate(row):
        names_row = index == 0 and table.row_heads and bool(cell)
        cells.append(
            tag(
                "th" if names_row else "td",
                inline_html(cell, view),
                scope="row" if names_row else None,
                class_=_align(table, index),
            )
        )
    return cells


def _align(table: Table, index: int) -> str:
    """The class of a column that is not set to the left; '' otherwise."""
    align = table.align[index] if index < len(table.align) else "left"
    return "" if align == "left" else f"to-{align}"
