"""A finished drawing, ready for a page."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Picture:
    """A drawing of its true size: never scaled afterwards.

    `alt` says in words everything that the drawing shows. `landscape` asks for a page on its side. `type_size` is the
    smallest print in points. `sheet` is '' or names the sheet of a drawing that needs several ('1 of 2').
    """

    svg: bytes
    width_mm: float
    height_mm: float
    alt: str
    landscape: bool = False
    type_size: float = 9.0
    sheet: str = ""
