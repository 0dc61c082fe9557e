"""The inside of one part being drawn: shapes placed by how deep they lie behind the pins."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace

from authorkit.drawing.font import text_width
from authorkit.drawing.shapes import DESIGN_SIZE, XY, Circle, Path, Shape, Words
from authorkit.model.point import Point
from authorkit.model.wiring import Device

EM = DESIGN_SIZE * 25.4 / 72  # the type size in millimetres
LINE = 3.7  # from one line of text to the next
LINK_DASH = "2.4,1.7"  # the mechanical link from a coil to its contact, in points

Heights = Callable[[Point], float]


# Shapes that a device consists of. Texts and marks carry the names of cavities and grounds instead.
_OF_DEVICES = ("symbol", "library", "inner")


def device_node(*devices: Device) -> str:
    """The name that the shapes of devices carry: of each its kind and where it is connected."""
    return "; ".join(" ".join((device.kind, *map(str, device.terminals))) for device in devices)


def of_devices(shapes: Iterable[Shape], *devices: Device) -> Iterator[Shape]:
    """The shapes with the name of the devices that they draw, so that a finished picture tells what it shows."""
    node = device_node(*devices)
    for shape in shapes:
        yield replace(shape, node=node) if shape.role in _OF_DEVICES and not shape.node else shape


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

    @contextmanager
    def drawing(self, *devices: Device) -> Iterator[None]:
        """What is drawn within belongs to these devices together, as far as it does not belong to one of them."""
        first = len(self.shapes)
        yield
        self.shapes[first:] = of_devices(self.shapes[first:], *devices)

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
