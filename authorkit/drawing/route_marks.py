"""What lies between the parts: sections of wire, splices, ground and feed symbols, cells of in-line connectors."""

from __future__ import annotations

from dataclasses import dataclass

from authorkit.drawing.lanes import Vertical
from authorkit.drawing.shapes import XY
from authorkit.model.point import Point
from authorkit.model.wiring import Wire


@dataclass(frozen=True)
class Section:
    """One section of wire as a line; `label` widths are looked up by run and number."""

    run: int
    number: int
    wire: Wire
    points: tuple[XY, ...]


@dataclass(frozen=True)
class SpliceMark:
    """A splice: a dot where its branches meet, or a bar with a dot for each branch."""

    name: str
    x: float
    dots: tuple[float, ...]
    bar: tuple[float, float] | None


@dataclass(frozen=True)
class EndMark:
    """A ground symbol or the arrow of a feed, with the x of each wire that ends at it."""

    kind: str
    name: str
    xs: tuple[float, ...]
    y: float


@dataclass(frozen=True)
class Cell:
    """The cell of an in-line cavity: its left and right faces and its height."""

    cavity: Point
    column: int
    left: float
    right: float
    y: float


def splice_mark(vertical: Vertical, x: float, plumb: tuple[float, ...] = ()) -> SpliceMark:
    """A dot if one can be put where at most one branch goes each way; a bar otherwise, so that no branch leaves
    another without a dot. `plumb` are the far ends of wires that hang from the splice or stand on it."""
    heights = sorted({*vertical.left, *vertical.right})
    both = [y for y in heights if y in vertical.left and y in vertical.right]
    heights = [y for y in heights if y not in plumb] or heights
    for y in (*both, *(y for y in heights if y not in both)):
        branches = [*vertical.left, *vertical.right]
        ways = (
            sum(other < y for other in branches),
            sum(other > y for other in branches),
            vertical.left.count(y),
            vertical.right.count(y),
        )
        if max(ways) <= 1:
            return SpliceMark(vertical.name, x, (y,), None)
    return SpliceMark(vertical.name, x, tuple(heights), (heights[0], heights[-1]))
