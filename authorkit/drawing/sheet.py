"""Finished pictures put together on one sheet."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree import ElementTree

from authorkit.drawing.font import MM_PER_POINT
from authorkit.drawing.picture import Picture

GAP_MM = 8.0
_SVG = "{http://www.w3.org/2000/svg}"


def beside(pictures: Sequence[Picture], width_mm: float) -> tuple[Picture, ...]:
    """Pictures in rows side by side, each row at most `width_mm` wide; every row is one picture, none is scaled."""
    rows: list[list[Picture]] = []
    room = 0.0
    for picture in pictures:
        if not rows or picture.width_mm > room:
            rows.append([])
            room = width_mm
        rows[-1].append(picture)
        room -= picture.width_mm + GAP_MM
    return tuple(_side_by_side(row) for row in rows)


def _side_by_side(pictures: Sequence[Picture]) -> Picture:
    """One row, its pictures level at the top."""
    ElementTree.register_namespace("", _SVG.strip("{}"))
    width = sum(picture.width_mm for picture in pictures) + GAP_MM * (len(pictures) - 1)
    height = max(picture.height_mm for picture in pictures)
    root = ElementTree.Element(f"{_SVG}svg")
    root.set("width", f"{width:.2f}mm")
    root.set("height", f"{height:.2f}mm")
    root.set("viewBox", f"0 0 {width / MM_PER_POINT:.2f} {height / MM_PER_POINT:.2f}")
    x = 0.0
    for picture in pictures:
        group = ElementTree.SubElement(root, f"{_SVG}g")
        group.set("transform", f"translate({x / MM_PER_POINT:.3f} 0)")
        group.extend(list(ElementTree.fromstring(picture.svg)))
        x += picture.width_mm + GAP_MM
    alt = " ".join(picture.alt for picture in pictures)
    size = min(picture.type_size for picture in pictures)
    return Picture(ElementTree.tostring(root, encoding="utf-8"), width, height, alt, type_size=size)
