"""Plain shapes in millimetres: what a drawing consists of before any pen touches it.

The y axis points down, as on the page. A shape has a role; the role decides how it is drawn and what the checkers make
of it. All sizes are those of 9 point type; `scaled` gives the same drawing at a smaller type size.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

XY = tuple[float, float]

DESIGN_SIZE = 9.0
"""The type size in points at which every length of a layout is given."""

ROLES: dict[str, float] = {
    # Beneath everything: the colours of a wire show as thin lines on both sides of it, apart by a white gap.
    "wire-colour": 2.6,
    "wire-stripe": 2.6,
    "wire-gap": 1.7,
    "frame": 1.0,  # the box of a part
    "changed": 0.75,  # a second frame around what differs between series
    "strip": 0.75,  # the row of cavities of a connector
    "join": 0.5,  # dots that join the pieces of one connector
    "shield": 0.6,
    "link": 0.5,  # the mechanical link from a coil to its contact
    "inner": 0.75,  # lines inside a part
    "symbol": 0.75,
    "library": 0.75,  # a symbol of the drawing library
    "twist": 0.5,
    "wire": 1.1,
    "strong-wire": 2.0,
    "drain": 0.75,  # from the shield to its drain wire
    "bar": 2.8,  # a splice that is drawn as a bar
    "dot": 0.5,  # a wire that joins a splice
    "inner-dot": 0.5,
    "mark": 0.75,  # a ground or a feed
    "face": 1.0,
    "lock": 0.5,
    "cavity": 0.5,
    "this-cavity": 1.8,
    "slash": 0.4,
    "graticule": 0.35,
    "trace": 1.6,
    "second-trace": 0.9,
    "step": 0.9,  # the box of a step
    "end": 2.2,  # the box where a procedure ends
    "block": 0.75,  # a component of a block drawing
    "module": 1.6,
    "absent": 0.75,  # where another series has something
    "way": 1.1,
    "strong-way": 2.6,  # high voltage
    "rail": 1.6,  # a data bus
    "arrow": 0.4,
    "tap": 0.4,  # where a module joins a bus
}
"""Line weight in points by role, in the order in which they are laid on the page."""


@dataclass(frozen=True)
class Path:
    """Straight lines from point to point; `fill` and `colour` are '' or a colour. `node` names what it belongs to."""

    points: tuple[XY, ...]
    role: str
    dash: str = ""
    closed: bool = False
    fill: str = ""
    node: str = ""
    colour: str = ""


@dataclass(frozen=True)
class Circle:
    """A circle; a dot is a filled one."""

    centre: XY
    radius: float
    role: str
    fill: str = ""
    node: str = ""


@dataclass(frozen=True)
class Arc:
    """A part of an ellipse between two angles in degrees, counted anticlockwise from the right."""

    centre: XY
    width: float
    height: float
    angles: tuple[float, float]
    role: str
    node: str = ""


@dataclass(frozen=True)
class Words:
    """One line of text; `y` is its baseline, `anchor` 'start', 'middle' or 'end'."""

    text: str
    x: float
    y: float
    anchor: str = "start"
    bold: bool = False
    role: str = "words"
    node: str = ""


@dataclass(frozen=True)
class Library:
    """A two-terminal symbol of the drawing library between two points; `scale` is its size in millimetres a unit."""

    name: str
    start: XY
    end: XY
    scale: float
    role: str = "library"
    node: str = ""


Shape = Path | Circle | Arc | Words | Library


@dataclass(frozen=True)
class Scene:
    """A finished layout: its shapes, its size in millimetres, and the type size in points."""

    shapes: tuple[Shape, ...]
    width: float
    height: float
    size: float = DESIGN_SIZE


def rectangle(corner: XY, opposite: XY, role: str, **more: str) -> Path:
    """A closed rectangle from two opposite corners."""
    (left, top), (right, bottom) = corner, opposite
    points = ((left, top), (right, top), (right, bottom), (left, bottom))
    return Path(points, role, closed=True, **more)


def line(start: XY, end: XY, role: str) -> Path:
    """One straight line."""
    return Path((start, end), role)


def moved(shape: Shape, dx: float, dy: float) -> Shape:
    """The same shape elsewhere."""
    return _mapped(shape, 1.0, dx, dy)


def scaled(scene: Scene, size: float) -> Scene:
    """The same layout at another type size. Lines keep their weight."""
    factor = size / scene.size
    shapes = tuple(_mapped(shape, factor, 0.0, 0.0) for shape in scene.shapes)
    return Scene(shapes, scene.width * factor, scene.height * factor, size)


def _mapped(shape: Shape, factor: float, dx: float, dy: float) -> Shape:
    def at(point: XY) -> XY:
        return point[0] * factor + dx, point[1] * factor + dy

    if isinstance(shape, Path):
        return replace(shape, points=tuple(at(point) for point in shape.points))
    if isinstance(shape, Circle):
        return replace(shape, centre=at(shape.centre), radius=shape.radius * factor)
    if isinstance(shape, Arc):
        return replace(shape, centre=at(shape.centre), width=shape.width * factor, height=shape.height * factor)
    if isinstance(shape, Words):
        x, y = at((shape.x, shape.y))
        return replace(shape, x=x, y=y)
    return replace(shape, start=at(shape.start), end=at(shape.end), scale=shape.scale * factor)
