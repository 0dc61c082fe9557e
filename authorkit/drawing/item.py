"""One device inside a part, or several in series, before the heights of rows are known."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from authorkit.drawing.ink import Heights, Ink
from authorkit.drawing.shapes import XY
from authorkit.model.point import Point
from authorkit.model.wiring import Device

LEAD = 1.2  # the least length of line on either side of a symbol


@dataclass(frozen=True)
class Item:
    """One device, or several in series, with the rows it touches and the room it needs.

    `taps` says how far behind the item's own start each row must reach. `paint` gets the ink, the depth of the
    start and the heights of rows. `spot` gives the middle of the symbol, as depth and height, where there is one.
    """

    rows: tuple[Point, ...]
    width: float
    taps: Mapping[Point, float]
    paint: Callable[[Ink, float, Heights], None]
    above: float = 0.0
    below: float = 0.0
    between: float = 0.0
    category: int = 2
    devices: tuple[Device, ...] = ()
    spot: Callable[[float, Heights], XY] | None = None
