"""The last touches to the joined file: named places, links of the indexes, bookmarks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO
from itertools import groupby

import pikepdf

from authorkit.output.pdf.parts import Spot
from authorkit.output.pdf.prepare import link_boxes
from authorkit.output.pdf.typst_sheet import Sheet

_ABOVE = 4.0  # points between a bookmark's place and the top of the window


@dataclass(frozen=True)
class _Leaves:
    """The pages of a file, counted from 1, each with the height of its top; None for one that is read on its side."""

    pages: list[tuple[pikepdf.Object, float | None]]

    def destination(self, spot: Spot) -> pikepdf.Array:
        """What opens a file at a place: a page on its side as a whole, any other a little above the place."""
        page, top = self.pages[spot.page - 1]
        if top is None:
            return pikepdf.Array([page, pikepdf.Name.Fit])
        return pikepdf.Array([page, pikepdf.Name.XYZ, None, round(min(top - spot.below_top + _ABOVE, top), 2), None])


def finish(pdf: pikepdf.Pdf, sheets: Sequence[Sheet], spots: Mapping[str, Spot], anchors: Iterable[str]) -> bytes:
    """The finished file. The same input gives the same bytes."""
    leaves = _Leaves([(page.obj, None if "/Rotate" in page else float(page.mediabox[3])) for page in pdf.pages])
    _name_places(pdf, {anchor: leaves.destination(spots[anchor]) for anchor in anchors})
    marks = {mark.name for sheet in sheets for mark in sheet.marks}
    for link in link_boxes(pdf):
        name = link.get("/Dest")
        if name is not None and str(name) in marks:
            link.Dest = leaves.destination(spots[str(name)])
    _add_bookmarks(pdf, sheets, {name: leaves.destination(spots[name]) for name in _opened(sheets)})
    pdf.Root.PageMode = pikepdf.Name.UseOutlines
    out = BytesIO()
    pdf.save(out, min_version="1.7", object_stream_mode=pikepdf.ObjectStreamMode.generate, deterministic_id=True)
    return out.getvalue()


def _name_places(pdf: pikepdf.Pdf, destinations: Mapping[str, pikepdf.Array]) -> None:
    """Give every anchor a name in the file, so that 'manual.pdf#P0118' opens there."""
    tree = pikepdf.NameTree.new(pdf)
    for anchor, destination in sorted(destinations.items()):
        tree[anchor] = destination
    pdf.Root.Names = pikepdf.Dictionary(Dests=tree.obj)


def _opened(sheets: Sequence[Sheet]) -> Iterator[str]:
    """The names that bookmarks open."""
    for sheet in sheets:
        yield sheet.page.anchor
        yield from (section.anchor for section in sheet.sections)


def _add_bookmarks(pdf: pikepdf.Pdf, sheets: Sequence[Sheet], places: Mapping[str, pikepdf.Array]) -> None:
    """System, then chapter, then its sections; a page without a system stands beside the systems."""
    with pdf.open_outline() as outline:
        outline.root.clear()
        listed = [sheet for sheet in sheets if sheet.page.kind != "title"]
        for system, group in groupby(listed, key=lambda sheet: sheet.page.system):
            items = [_page_bookmark(sheet, places) for sheet in group]
            if system:
                whole = pikepdf.OutlineItem(system, items[0].destination)
                whole.children.extend(items)
                items = [whole]
            outline.root.extend(items)


def _page_bookmark(sheet: Sheet, places: Mapping[str, pikepdf.Array]) -> pikepdf.OutlineItem:
    page = sheet.page
    title = f"{page.mark} {sheet.title}" if page.mark and page.mark != page.title else page.title
    item = pikepdf.OutlineItem(title, places[page.anchor])
    item.is_closed = True
    parent = item
    for section in sheet.sections:
        child = pikepdf.OutlineItem(section.title, places[section.anchor])
        child.is_closed = True
        if section.level == 2:
            item.children.append(child)
            parent = child
        else:
            parent.children.append(child)
    return item
