"""The face of a connector: where its cavities lie, which are used, and which belong to the circuit at hand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from authorkit.drawing.font import text_width
from authorkit.drawing.pen import render
from authorkit.drawing.picture import Picture
from authorkit.drawing.shapes import DESIGN_SIZE, Circle, Path, Scene, Shape, Words, line, moved, rectangle, scaled
from authorkit.model.wire_colour import COLOURS
from authorkit.model.wiring import Connector

TEXT_WIDTH_MM = 170.0

_SIZES = (9.0, 8.5, 8.0, 7.5, 7.0)
_EM = DESIGN_SIZE * 25.4 / 72  # the type size in millimetres
_LINE = 4.4  # from one line of words to the next
_CELL = 6.6
_LARGE = 1.5  # a cavity for a larger terminal, compared with the others
_RIM = 2.4  # from the cavities to the shell
_KEY = (9.0, 2.2)  # length and height of the key's ridge
_LOCK = (6.0, 1.1)  # length and height of the locking tab, drawn black on the shell or on the ridge
_USED = "#d9d9d9"
_SIDES = ("top", "bottom", "left", "right")
_MIRRORED = {"left": "right", "right": "left"}
# A dense connector is broken into several bands rather than printed below the smallest type size.
_MOST_COLUMNS = 32


@dataclass(frozen=True)
class _Layout:
    """What one side of a connector shows: its rows from that side, and where the key and the lock are."""

    rows: tuple[tuple[str, ...], ...]
    view: str
    key: str
    lock: str


def draw_face(
    connector: Connector, used: Mapping[str, str], this_circuit: frozenset[str], *, view: str | None = None
) -> Picture:
    """The connector from `view` ('wire side' or 'terminal side'; the side it was written down from if None).

    `used` gives each used cavity its signal name or circuit; `this_circuit` are the cavities to be marked. The other
    side is the same grid mirrored left to right, so that both views come from one fact.
    """
    layout = _seen_from(connector, view or connector.view)
    scene = _scene(connector, layout, used, this_circuit)
    size = next((size for size in _SIZES if scene.width * size / DESIGN_SIZE <= TEXT_WIDTH_MM), _SIZES[-1])
    scene = scaled(scene, size)
    alt = _alt(connector, layout, used, this_circuit)
    return Picture(render(scene), scene.width, scene.height, alt, type_size=size)


def _seen_from(connector: Connector, view: str) -> _Layout:
    key, lock = _side(connector.key), _side(connector.lock)
    if view == connector.view:
        return _Layout(connector.rows, view, key, lock)
    rows = _even(connector.rows) if connector.shape != "round" else connector.rows
    return _Layout(
        tuple(tuple(reversed(row)) for row in rows), view, _MIRRORED.get(key, key), _MIRRORED.get(lock, lock)
    )


def _side(text: str) -> str:
    """The side that the author's words name; '' if none."""
    return next((side for side in _SIDES if side in text.lower().split()), "")


def _even(rows: tuple[tuple[str, ...], ...]) -> tuple[tuple[str, ...], ...]:
    """Rows of one length: short ones are written flush left, which mirroring must turn into flush right."""
    longest = max((len(row) for row in rows), default=0)
    return tuple((*row, *[""] * (longest - len(row))) for row in rows)


def _scene(connector: Connector, layout: _Layout, used: Mapping[str, str], here: frozenset[str]) -> Scene:
    heading = _heading(connector, layout)
    shapes: list[Shape] = []
    y = 0.0
    for number, text in enumerate(heading):
        y += _LINE
        shapes.append(Words(text, 0.3, y, bold=number == 0))
    y += 2.2
    width = max(text_width(text, _EM, bold=number == 0) for number, text in enumerate(heading)) + 0.6
    for band in _bands(layout.rows):
        body, band_width, band_height = _shell(connector, band, layout, (used, here))
        shapes += [moved(shape, 0.6, y) for shape in body]
        width, y = max(width, band_width + 1.2), y + band_height + 1.6
    for text in _names(used, here):
        y += _LINE
        shapes.append(Words(text, 0.3, y))
        width = max(width, text_width(text, _EM) + 0.6)
    return Scene(tuple(shapes), width, y + 1.6)


def _heading(connector: Connector, layout: _Layout) -> list[str]:
    words = [connector.id, f"seen from the {layout.view}"]
    about = ", ".join(filter(None, (_colour(connector), *_fastened(connector, layout))))
    return [*words, about] if about else words


def _fastened(connector: Connector, layout: _Layout) -> Iterator[str]:
    """Where key and lock are, seen from this side; in the author's words where they name no side."""
    for word, side, said in (("key", layout.key, connector.key), ("lock", layout.lock, connector.lock)):
        if side or said:
            yield f"{word} at the {side}" if side else f"{word}: {said}"


def _colour(connector: Connector) -> str:
    """The colour of the shell in words where it is one of the codes, as written otherwise."""
    known = COLOURS.get(connector.colour)
    return known.name if known else connector.colour


def _names(used: Mapping[str, str], here: frozenset[str]) -> list[str]:
    """The names of this circuit's cavities, one line each."""
    return [f"{cavity}  {used[cavity]}" for cavity in sorted(here, key=_natural) if used.get(cavity)]


def _natural(cavity: str) -> tuple[int, str]:
    return (int(cavity), "") if cavity.isdecimal() else (10_000, cavity)


def _bands(rows: tuple[tuple[str, ...], ...]) -> Iterator[tuple[tuple[str, ...], ...]]:
    """The grid, or pieces of it that fit the page side by side."""
    longest = max((len(row) for row in rows), default=0)
    pieces = -(-longest // _MOST_COLUMNS) or 1
    step = -(-longest // pieces)
    for start in range(0, longest, step or 1):
        yield tuple(row[start : start + step] for row in rows)


@dataclass(frozen=True)
class _Grid:
    """Where columns and rows of a band begin, and where the last ones end; `pitch` is that of small cavities."""

    pitch: float
    columns: tuple[float, ...]
    rows: tuple[float, ...]

    @property
    def size(self) -> tuple[float, float]:
        """Width and height."""
        return self.columns[-1], self.rows[-1]


def _grid(rows: tuple[tuple[str, ...], ...], large: frozenset[str]) -> _Grid:
    """Columns and rows that hold a larger cavity are larger."""
    names = [cavity for row in rows for cavity in row]
    pitch = max(_CELL, max((text_width(name, _EM, bold=True) for name in names), default=0.0) + 2.2)
    longest = max((len(row) for row in rows), default=0)
    columns, lines = [0.0], [0.0]
    for column in range(longest):
        has_large = any(column < len(row) and row[column] in large for row in rows)
        columns.append(columns[-1] + pitch * (_LARGE if has_large else 1.0))
    for row in rows:
        lines.append(lines[-1] + _CELL * (_LARGE if large.intersection(row) else 1.0))
    return _Grid(pitch, tuple(columns), tuple(lines))


def _shell(
    connector: Connector,
    rows: tuple[tuple[str, ...], ...],
    layout: _Layout,
    uses: tuple[Mapping[str, str], frozenset[str]],
) -> tuple[list[Shape], float, float]:
    """The cavities in their shell, with the size that it takes."""
    large = frozenset(connector.large)
    grid = _grid(rows, large)
    is_round = connector.shape == "round"
    across = (grid.size[0] ** 2 + grid.size[1] ** 2) ** 0.5
    inner = (across, across) if is_round else grid.size
    room = _KEY[1] + (_LOCK[1] if layout.lock else 0.0)  # on every side, so that faces side by side line up
    left, top = room + _RIM, room + _RIM
    width, height = inner[0] + 2 * _RIM, inner[1] + 2 * _RIM
    shapes: list[Shape] = [*_outline(is_round, (room, room), (width, height), layout)]
    for number, row in enumerate(rows):
        # In a round shell each row is centred.
        filled = grid.columns[len(row)] if is_round else grid.size[0]
        start = left + (inner[0] - filled) / 2
        y = top + (inner[1] - grid.size[1]) / 2 + (grid.rows[number] + grid.rows[number + 1]) / 2
        for column, cavity in enumerate(row):
            if cavity:
                x = start + (grid.columns[column] + grid.columns[column + 1]) / 2
                scale = _LARGE if cavity in large else 1.0
                shapes += _cavity(cavity, (x, y), (grid.pitch * scale, _CELL * scale), uses)
    return shapes, width + 2 * room, height + 2 * room


def _cavity(
    name: str,
    centre: tuple[float, float],
    size: tuple[float, float],
    uses: tuple[Mapping[str, str], frozenset[str]],
) -> Iterator[Shape]:
    """Used: grey. Empty: white with a slash. Of this circuit: a bold frame and a bold name."""
    used, here = uses
    gap = 0.55
    (x, y), (width, height), bold = centre, size, name in here
    first, last = (x - width / 2 + gap, y - height / 2 + gap), (x + width / 2 - gap, y + height / 2 - gap)
    role = "this-cavity" if bold else "cavity"
    is_used = bold or name in used
    yield rectangle(first, last, role, fill=_USED if is_used else "white", node=name)
    if not is_used:
        yield line((first[0], last[1]), (first[0] + 1.25, last[1] - 1.25), "slash")
        yield line((last[0] - 1.25, first[1] + 1.25), (last[0], first[1]), "slash")
    yield Words(name, x, y + 0.345 * _EM, "middle", bold=bold)


def _outline(
    is_round: bool, corner: tuple[float, float], size: tuple[float, float], layout: _Layout
) -> Iterator[Shape]:
    """The shell with the ridge of its key and the black tab of its lock."""
    (left, top), (width, height) = corner, size
    if is_round:
        yield Circle((left + width / 2, top + height / 2), width / 2, "face")
    else:
        yield rectangle((left, top), (left + width, top + height), "face")
    if layout.key:
        yield Path(_ridge(is_round, corner, size, layout.key), "face")
    if layout.lock:
        length = min(_LOCK[0], 0.6 * min(size))
        out = _KEY[1] if layout.lock == layout.key else 0.0
        first, last = _beyond(corner, size, layout.lock, (length, out, out + _LOCK[1]))
        yield rectangle(first, last, "lock", fill="black")


def _ridge(
    is_round: bool, corner: tuple[float, float], size: tuple[float, float], side: str
) -> tuple[tuple[float, float], ...]:
    """Up, along and down again. On a round shell its feet reach in by the height of the arc above the chord."""
    length, depth = min(_KEY[0], size[0] * (0.4 if is_round else 0.6)), _KEY[1]
    radius = size[0] / 2
    dip = radius - (radius**2 - (length / 2) ** 2) ** 0.5 if is_round else 0.0
    (x1, y1), (x2, y2) = _beyond(corner, size, side, (length, -dip, depth))
    if side in ("top", "bottom"):
        return (x1, y1), (x1, y2), (x2, y2), (x2, y1)
    return (x1, y1), (x2, y1), (x2, y2), (x1, y2)


def _beyond(
    corner: tuple[float, float], size: tuple[float, float], side: str, extent: tuple[float, float, float]
) -> tuple[tuple[float, float], tuple[float, float]]:
    """A rectangle at the middle of a side: its length along the edge, and from where to where it stands out of it.

    The first corner is the one nearer to the shell.
    """
    (left, top), (width, height), (length, near, far) = corner, size, extent
    along = (left + width / 2) if side in ("top", "bottom") else (top + height / 2)
    edge, out = {"top": (top, -1), "bottom": (top + height, 1), "left": (left, -1), "right": (left + width, 1)}[side]
    one, other = (along - length / 2, edge + out * near), (along + length / 2, edge + out * far)
    return (one, other) if side in ("top", "bottom") else ((one[1], one[0]), (other[1], other[0]))


def _alt(connector: Connector, layout: _Layout, used: Mapping[str, str], here: frozenset[str]) -> str:
    """The face in words, row by row."""
    shape = "Round connector" if connector.shape == "round" else "Connector"
    colour = f", {_colour(connector)}" if connector.colour else ""
    fastened = "".join(f", {words}" for words in _fastened(connector, layout))
    rows = [
        f"Row {number} from left to right: {', '.join(name or 'no cavity' for name in row)}."
        for number, row in enumerate(layout.rows, start=1)
    ]
    marked = [f"{name} ({used[name]})" if used.get(name) else name for name in sorted(here, key=_natural)]
    names = [cavity for row in layout.rows for cavity in row if cavity]
    also = [name for name in names if name in used and name not in here]
    lists = (("Of this circuit", marked), ("Also used", also))
    said = [f"{title}: {', '.join(items)}." for title, items in lists if items]
    big = [name for name in names if name in connector.large]
    if big:
        said.append(f"For larger terminals: {', '.join(big)}.")
    if any(name not in used and name not in here for name in names):
        said.append("The others are empty.")
    return " ".join([f"{shape} {connector.id} seen from the {layout.view}{colour}{fastened}.", *rows, *said])
