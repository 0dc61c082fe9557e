"""What the tags of a part say beyond what the typesetter can be told: heads of rows, lines of the contents."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from typing import Any

import pikepdf


def children(node: pikepdf.Object) -> Iterator[pikepdf.Object]:
    """The structure elements under one, without marks of content."""
    kids = node.get("/K")
    for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
        if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
            yield kid


def mark_tables(pdf: pikepdf.Pdf, row_heads: Sequence[bool], anchor: str) -> None:
    """Tag the first cell of each row as its head where the table says so; the typesetter can tag heads of columns only.

    The tables of the file stand in the order in which they were written. Cells that name their heads one by one would
    pass over the new ones, so they are left to the scope of the heads (PDF 1.7, 14.8.5.7). Other cells keep the names
    of their heads, made different from those of all other parts.
    """
    prefix = hashlib.sha256(anchor.encode("utf-8", "surrogatepass")).hexdigest()[:12]
    _rename(pdf.Root.StructTreeRoot, prefix)
    tables = list(_tables(pdf.Root.StructTreeRoot))
    for table, wanted in zip(tables, row_heads, strict=True):
        for row in _rows(table):
            if wanted:
                _mark_row(row)
            else:
                _rename_heads(row, prefix)


def _rename(root: pikepdf.Object, prefix: str) -> None:
    """Put a prefix before the names of all tags that have one."""
    if "/IDTree" not in root:
        return
    names = []
    for name, element in sorted(pikepdf.NameTree(root.IDTree).items()):
        element.ID = pikepdf.String(f"{prefix}-{name}")
        names += [element.ID, element]
    root.IDTree = pikepdf.Dictionary(Names=pikepdf.Array(names))


def _rename_heads(row: pikepdf.Object, prefix: str) -> None:
    """Put the prefix before the names of the heads of each cell."""
    for cell in children(row):
        attributes = _table_attributes(cell)
        if "/Headers" in attributes:
            heads = [pikepdf.String(f"{prefix}-{name}") for name in attributes.Headers]
            attributes.Headers = pikepdf.Array(heads)


def _mark_row(row: pikepdf.Object) -> None:
    cells = [kid for kid in children(row) if kid.get("/S") == "/TD"]
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
    for kid in children(node):
        if kid.get("/S") == "/Table":
            yield kid
        yield from _tables(kid)


def _rows(table: pikepdf.Object) -> Iterator[pikepdf.Object]:
    for kid in children(table):
        if kid.get("/S") == "/TR":
            yield kid
        elif kid.get("/S") in ("/TBody", "/THead"):
            yield from _rows(kid)


def mark_contents(pdf: pikepdf.Pdf, count: int) -> None:
    """Tag the last `count` lists of a part as contents: TOC, TOCI and Reference (PDF 1.7, table 333)."""
    document = pdf.Root.StructTreeRoot.K[0]
    lists = [kid for kid in children(document) if kid.get("/S") == "/L"]
    for contents in lists[len(lists) - count :]:
        contents.S = pikepdf.Name.TOC
        del contents["/A"]
        for item in children(contents):
            _mark_contents_line(item)


def _mark_contents_line(item: pikepdf.Object) -> None:
    """A line has no label; what was the body of the item is its reference."""
    item.S = pikepdf.Name.TOCI
    (body,) = (kid for kid in children(item) if kid.get("/S") == "/LBody")
    body.S = pikepdf.Name.Reference
    body.A = pikepdf.Dictionary(O=pikepdf.Name.Layout, Placement=pikepdf.Name.Block)
    item.K = pikepdf.Array([body])
