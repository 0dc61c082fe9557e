"""Pages: how large a picture may be, in which type size it fits, and its frame."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from authorkit.drawing.ink import LINE, width_of
from authorkit.drawing.labels import boxes_of
from authorkit.drawing.shapes import DESIGN_SIZE, Scene, Shape, Words, moved

PORTRAIT_MM = (170.0, 215.0)
LANDSCAPE_MM = (240.0, 150.0)
SIZES = (9.0, 8.5, 8.0, 7.5, 7.0)

RIM = 0.8
SIGNATURE = 6.0
"""The room in millimetres for the line of words below a circuit."""

Box = tuple[float, float, float, float]


def fits_somewhere(scene: Scene) -> bool:
    """Whether a scene lies on a page, upright or on its side, in print that can be read."""
    size, landscape = fitting(scene)
    return fits(scene, size, landscape)


def fitting(scene: Scene) -> tuple[float, bool]:
    """The largest type size at which a scene fits a page, upright if it can be."""
    return fitting_all([scene])


def fitting_all(scenes: Sequence[Scene]) -> tuple[float, bool]:
    """The same for several scenes together."""
    for landscape in (False, True):
        for size in SIZES:
            if all(fits(scene, size, landscape) for scene in scenes):
                return size, landscape
    return SIZES[-1], False


def fits(scene: Scene, size: float, landscape: bool) -> bool:
    """Whether a scene lies on a page at a type size."""
    width, height = LANDSCAPE_MM if landscape else PORTRAIT_MM
    factor = size / DESIGN_SIZE
    return scene.width * factor <= width and scene.height * factor <= height


def box_of(shapes: Iterable[Shape]) -> Box:
    """The box around all shapes."""
    boxes = [box for shape in shapes for box in boxes_of(shape)] or [(0.0, 0.0, 0.0, 0.0)]
    left, top = min(box[0] for box in boxes), min(box[1] for box in boxes)
    return left, top, max(box[2] for box in boxes), max(box[3] for box in boxes)


def framed(shapes: Sequence[Shape], frame: Box, notes: int = 0) -> Scene:
    """The scene that a frame cuts out, moved into the page's corner; below, room for a signature and lines of notes."""
    left, top, right, bottom = frame
    moved_shapes = tuple(moved(shape, RIM - left, RIM - top) for shape in shapes)
    return Scene(moved_shapes, right - left + 2 * RIM, bottom - top + 2 * RIM + SIGNATURE + notes * LINE)


def signed(scene: Scene, lines: tuple[str, ...]) -> Scene:
    """With lines below, the last of which says how to read the labels; their room is already part of the scene."""
    last = scene.height - RIM - 0.8
    words = [Words(text, RIM, last - above * LINE) for above, text in enumerate(reversed(lines))]
    widest = max(map(width_of, lines)) + 2 * RIM
    return Scene((*scene.shapes, *words), max(scene.width, widest), scene.height, scene.size)
