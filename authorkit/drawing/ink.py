"""The inside of one part being drawn: shapes placed by how deep they lie behind the pins."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from authorkit.drawing.font import text_width
from authorkit.drawing.shapes import DESIGN_SIZE, XY, Circle, Path, Shape, Words
from authorkit.model.point import Point

EM = DESIGN_SIZE * 25.4 / 72  # the type size in millimetres
LINE = 3.7  # from one line of text to the next
LINK_DASH = "2.4,1.7"  # the mechanical link from a coil to its contact, in points

Heights = Callable[[Point], float]


def width_of(text: str, *, bold: bool = False) -> float:
    """The width of a text at the design size."""
    return text_width(text, EM, bold=bold)


@dataclass
class Ink:
    """Shapes of one part; `edge` is where the pins are, `way` +1 if depth grows to the right."""

    edge: float
    way: int
    shapes: list[Shape] = field(default_factory=list)

    def at(self, depth: float, y: float) -> XY:
        """A point on the page."""
        return self.edge + self.way * depth, y

    def add(self, shapes: Iterable[Shape]) -> None:
        """Put shapes on the page."""
        self.shapes.extend(shapes)

    def line(self, *points: XY) -> None:
        """An inner line through points given as depth and height."""
        self.shapes.append(Path(tuple(self.at(*point) for point in points), "inner"))

    def dot(self, depth: float, y: float) -> None:
        """A join inside the part."""
        self.shapes.append(Circle(self.at(depth, y), 0.6, "inner-dot", fill="black"))

    def words(self, text: str, depth: float, y: float) -> None:
        """A text that starts at a depth and runs inwards."""
        x, baseline = self.at(depth, y)
        self.shapes.append(Words(text, x, baseline, "start" if self.way > 0 else "end"))

    def end_words(self, text: str, x: float, y: float) -> None:
        """A text that ends at a point of the page."""
        self.shapes.append(Words(text, x, y, "end"))

    def centred(self, text: str, depth: float, y: float) -> None:
        """A text centred on a depth."""
        x, baseline = self.at(depth, y)
        self.shapes.append(Words(text, x, baseline, "middle"))
