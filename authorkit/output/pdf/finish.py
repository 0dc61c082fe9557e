"""The last touches to the typeset file: bookmarks, named places, row heads, pages that are read on their side."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO
from itertools import groupby
from typing import Any

import pikepdf

from authorkit.output.pdf.typst_sheet import Sheet

_ABOVE = 4.0  # points between a bookmark's place and the top of the window


@dataclass(frozen=True)
class Spot:
    """Where an anchor came to stand: its page, counted from 1, and how far below the page's top, in points."""

    page: int
    below_top: float


def finish(raw: bytes, sheets: Sequence[Sheet], spots: Mapping[str, Spot], anchors: Iterable[str]) -> bytes:
    """The finished file. The same input gives the same bytes."""
    with pikepdf.open(BytesIO(raw)) as pdf:
        for name in (name for sheet in sheets for name in sheet.turned):
            pdf.pages[spots[name].page - 1].rotate(90, relative=False)
        _name_places(pdf, {anchor: spots[anchor] for anchor in anchors})
        _add_bookmarks(pdf, sheets, spots)
        _mark_row_heads(pdf, [flag for sheet in sheets for flag in sheet.row_heads])
        pdf.Root.PageMode = pikepdf.Name.UseOutlines
        out = BytesIO()
        pdf.save(out, object_stream_mode=pikepdf.ObjectStreamMode.generate, deterministic_id=True)
    return out.getvalue()


def _destination(pdf: pikepdf.Pdf, spot: Spot) -> pikepdf.Array:
    page = pdf.pages[spot.page - 1]
    if "/Rotate" in page:
        return pikepdf.Array([page.obj, pikepdf.Name.Fit])
    top = float(page.mediabox[3]) - spot.below_top + _ABOVE
    return pikepdf.Array([page.obj, pikepdf.Name.XYZ, None, round(min(top, float(page.mediabox[3])), 2), None])


def _name_places(pdf: pikepdf.Pdf, spots: Mapping[str, Spot]) -> None:
    """Give every anchor a name in the file, so that 'manual.pdf#P0118' opens there."""
    names = pdf.Root.get("/Names")
    if names is None:
        names = pdf.Root.Names = pikepdf.Dictionary()
    tree = pikepdf.NameTree(names.Dests) if "/Dests" in names else pikepdf.NameTree.new(pdf)
    for anchor, spot in sorted(spots.items()):
        tree[anchor] = _destination(pdf, spot)
    names.Dests = tree.obj


def _add_bookmarks(pdf: pikepdf.Pdf, sheets: Sequence[Sheet], spots: Mapping[str, Spot]) -> None:
    """System, then chapter, then its sections; a page without a system stands beside the systems."""
    with pdf.open_outline() as outline:
        outline.root.clear()
        listed = [sheet for sheet in sheets if sheet.page.kind != "title"]
        for system, group in groupby(listed, key=lambda sheet: sheet.page.system):
            items = [_page_bookmark(pdf, sheet, spots) for sheet in group]
            if system:
                whole = pikepdf.OutlineItem(system, items[0].destination)
                whole.children.extend(items)
                items = [whole]
            outline.root.extend(items)


def _page_bookmark(pdf: pikepdf.Pdf, sheet: Sheet, spots: Mapping[str, Spot]) -> pikepdf.OutlineItem:
    page = sheet.page
    title = f"{page.mark} {sheet.title}" if page.mark and page.mark != page.title else page.title
    item = pikepdf.OutlineItem(title, _destination(pdf, spots[page.anchor]))
    item.is_closed = True
    parent = item
    for section in sheet.sections:
        child = pikepdf.OutlineItem(section.title, _destination(pdf, spots[section.anchor]))
        child.is_closed = True
        if section.level == 2:
            item.children.append(child)
            parent = child
        else:
            parent.children.append(child)
    return item


def _mark_row_heads(pdf: pikepdf.Pdf, row_heads: Sequence[bool]) -> None:
    """Tag the first cell of each row as its head where the table says so; the typesetter can tag heads of columns only.

    The tables of the file stand in the order in which they were written. Cells that name their heads one by one would
    pass over the new ones, so they are left to the scope of the heads (PDF 1.7, 14.8.5.7).
    """
    tables = list(_tables(pdf.Root.StructTreeRoot))
    for table, wanted in zip(tables, row_heads, strict=True):
        if wanted:
            for row in _rows(table):
                _mark_row(row)


def _mark_row(row: pikepdf.Object) -> None:
    cells = [kid for kid in _kids(row) if kid.get("/S") == "/TD"]
    for position, cell in enumerate(cells):
        if position == 0:
            cell.S = pikepdf.Name.TH
        attributes = _table_attributes(cell)
        if "/Headers" in attributes:
            del attributes["/Headers"]
        if position == 0:
            attributes.Scope = pikepdf.Name.Row


def _table_attributes(cell: pikepdf.Object) -> Any:
    """The attributes of a cell that concern tables; added if there are none."""
    found = cell.get("/A")
    listed = list(found) if isinstance(found, pikepdf.Array) else [found] if found is not None else []
    for attributes in listed:
        if attributes.get("/O") == "/Table":
            return attributes
    attributes = pikepdf.Dictionary(O=pikepdf.Name.Table)
    cell.A = pikepdf.Array([*listed, attributes])
    return cell.A[len(listed)]


def _tables(node: pikepdf.Object) -> Iterator[pikepdf.Object]:
    for kid in _kids(node):
        if kid.get("/S") == "/Table":
            yield kid
        yield from _tables(kid)


def _rows(table: pikepdf.Object) -> Iterator[pikepdf.Object]:
    for kid in _kids(table):
        if kid.get("/S") == "/TR":
            yield kid
        elif kid.get("/S") in ("/TBody", "/THead"):
            yield from _rows(kid)


def _kids(node: pikepdf.Object) -> Iterator[pikepdf.Object]:
    """The structure elements under one, without marks of content."""
    kids = node.get("/K")
    for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
        if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
            yield kid
