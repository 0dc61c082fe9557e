"""Places for the names of grounds and feeds, the mark of a twisted pair, and wires that run in a bundle."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from authorkit.drawing.font import printable
from authorkit.drawing.ink import LINE
from authorkit.drawing.shapes import Path, Shape, Words


def mark_places(
    texts: tuple[str, str], sides: tuple[float, float], y: float, beyond: float
) -> Iterator[tuple[Words, ...]]:
    """The name of a ground or a feed with its location: beside it in one line or more, then beyond it."""
    name, location = (printable(text) for text in texts)
    broken = list(_broken(f"{name} {location}".strip(), name, location))
    for lines in broken:
        # Several lines grow away from the wire: down beside a ground, up beside a feed.
        more = (len(lines) - 1) * LINE
        top = y - min(more, 1.1) if beyond > 0 else y - more
        for shift in (0.0, 1.6, -1.6):
            for x, anchor in ((sides[1], "start"), (sides[0], "end")):
                yield tuple(Words(text, x, top + shift + number * LINE, anchor) for number, text in enumerate(lines))
    middle = (sides[0] + sides[1]) / 2
    for lines in broken:
        top = y + beyond - ((len(lines) - 1) * LINE if beyond < 0 else 0.0)
        yield tuple(Words(text, middle, top + number * LINE, "middle") for number, text in enumerate(lines))


def _broken(whole: str, name: str, location: str) -> Iterator[tuple[str, ...]]:
    yield (whole,)
    if location:
        yield (name, location)
        words = location.split()
        if len(words) > 1:
            half = len(words) // 2
            yield (f"{name} {' '.join(words[:half])}", " ".join(words[half:]))
            yield (name, " ".join(words[:half]), " ".join(words[half:]))


def twist(x: float, heights: tuple[float, float], node: str, *, upright: bool = False) -> Iterator[Shape]:
    """The mark of a twisted pair: two lines that wind around both wires, which lie at these heights.

    For wires that run `upright` the axes are exchanged.
    """
    low, high = heights[0] - 1.1, heights[1] + 1.1
    steps = 16
    for side in (-1, 1):
        points = tuple(
            (x + side * 1.25 * math.sin(2 * math.pi * step / steps), low + (high - low) * step / steps)
            for step in range(steps + 1)
        )
        yield Path(tuple((b, a) for a, b in points) if upright else points, "twist", node=node)


def bundles(stretches: Iterable[tuple[float, float, float]]) -> Iterator[tuple[float, float, list[float]]]:
    """Stretches that run beside each other: common extent, heights."""
    groups: list[tuple[float, float, list[float]]] = []
    for start, end, y in sorted(stretches):
        for number, (low, high, ys) in enumerate(groups):
            if min(end, high) - max(start, low) > 8.0:
                groups[number] = (max(start, low), min(end, high), [*ys, y])
                break
        else:
            groups.append((start, end, [y]))
    yield from (group for group in groups if group[1] - group[0] > 6.0)
