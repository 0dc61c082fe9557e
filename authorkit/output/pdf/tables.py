"""How the width of a table is shared among its columns."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from math import ceil

from authorkit.manual.blocks import (
    Code,
    Emphasis,
    FactList,
    Inline,
    Inlines,
    LineBreak,
    Link,
    Picture,
    Strong,
    Table,
    Text,
    WebLink,
    words,
)
from authorkit.output.pdf.faces import Face, Faces, Measured, measure
from authorkit.output.pdf.typst_text import plain
from authorkit.output.tokens import design_tokens
from authorkit.output.unparted import LONGEST_UNPARTED, pieces_of

POINTS_PER_MM = 72 / 25.4
_INSET = 1.8 * POINTS_PER_MM  # cell-inset of manual.typ, one side
_INSET_ABOVE = 1.35 * POINTS_PER_MM  # cell-inset of manual.typ, above and below
_KERNING = 1.02  # kerning may widen a word a little
_RAGGED = 1.1  # what lines lose at their ends
_NARROWEST_NAMES, _WIDEST_NAMES = 30 * POINTS_PER_MM, 55 * POINTS_PER_MM


def text_width() -> float:
    """The width of the text in points."""
    return float(design_tokens()["page"]["text-width"]) * POINTS_PER_MM


def text_area(page_size: str) -> tuple[float, float]:
    """Width and height of the text on a page, in millimetres."""
    page = design_tokens()["page"]
    sheet = page[page_size]
    return page["text-width"], sheet["height"] - sheet["top"] - sheet["bottom"]


def column_widths(table: Table, faces: Faces, available: float) -> tuple[float, ...] | None:
    """The width of each column in points, together as wide as the text; None if some word would not fit.

    Columns with relative widths keep them as far as their words allow. Otherwise a column gets what its text needs on
    one line if that is no more than its fair share, and the wide ones share the rest by their need.
    """
    columns = [_column(table, position, faces) for position in range(len(table.columns))]
    narrowest = [column.narrowest for column in columns]
    if sum(narrowest) > available:
        return None
    if table.widths:
        return _share(table.widths, narrowest, available)
    natural = [column.natural for column in columns]
    fixed = _modest(natural, available)
    if len(fixed) == len(natural):
        return _share(natural, narrowest, available)
    weights = [need for position, need in enumerate(natural) if position not in fixed]
    floors = [need for position, need in enumerate(narrowest) if position not in fixed]
    rest = available - sum(natural[position] for position in fixed)
    if sum(floors) > rest:
        return _share(natural, narrowest, available)
    wide = iter(_share(weights, floors, rest))
    return tuple(natural[position] if position in fixed else next(wide) for position in range(len(natural)))


def reckoned_height(table: Table, widths: Sequence[float], faces: Faces) -> float:
    """About how tall a table is, in millimetres: close enough to say whether it may be parted over pages.

    Lines break at words, so a cell takes at most twice the lines reckoned here: a table said to take less than a third
    of a page never fills one.
    """
    size = float(design_tokens()["size"]["table"])
    line = 1.22 * size  # from one line to the next: the height of a capital and the leading of manual.typ
    one = 0.73 * size + 2 * _INSET_ABOVE
    head = [(words(column)) for column in table.columns]
    rows = [max(map(partial(_lines, faces=faces, size=size), row, widths)) for row in (head, *table.rows)]
    return sum(one + (lines - 1) * line for lines in rows) / POINTS_PER_MM


def _lines(cell: Inlines, width: float, *, faces: Faces, size: float) -> float:
    """How many lines a cell takes; a picture counts as the lines it is as high as."""
    room = max(width - 2 * _INSET, 1.0)
    wide = faces.regular.width(plain(cell), size)
    pictures = sum(child.height / size for child in cell if isinstance(child, Picture))
    return max(1.0, ceil(wide / room * _RAGGED) if wide > room else 1.0) + pictures + cell.count(LineBreak())


def name_width(facts: FactList, faces: Faces) -> float:
    """The width of the left column of a list of facts, in points."""
    size = design_tokens()["size"]["table"]
    needs = [measure([(name, faces.bold)], size) for name, _ in facts.rows]
    widest = max((need.natural for need in needs), default=0.0) * _KERNING + 2 * _INSET
    narrowest = max((need.narrowest for need in needs), default=0.0) * _KERNING + 2 * _INSET
    return max(_NARROWEST_NAMES, min(widest, _WIDEST_NAMES), narrowest)


def _modest(natural: Sequence[float], available: float) -> set[int]:
    """The columns that need no more than their fair share of what the others leave."""
    fixed: set[int] = set()
    while True:
        rest = available - sum(natural[position] for position in fixed)
        fair = rest / max(len(natural) - len(fixed), 1)
        more = {position for position, need in enumerate(natural) if position not in fixed and need <= fair}
        if not more:
            return fixed
        fixed |= more


def _share(weights: Sequence[float], narrowest: Sequence[float], available: float) -> tuple[float, ...]:
    """Share a width by weight, but give no column less than its widest word needs."""
    fixed: dict[int, float] = {}
    while True:
        free = [position for position in range(len(weights)) if position not in fixed]
        rest = available - sum(fixed.values())
        total = sum(weights[position] for position in free) or 1.0
        shares = {position: rest * weights[position] / total for position in free}
        short = [position for position in free if shares[position] < narrowest[position]]
        if not short:
            return tuple(fixed.get(position, shares.get(position, 0.0)) for position in range(len(weights)))
        fixed.update({position: narrowest[position] for position in short})


def _column(table: Table, position: int, faces: Faces) -> Measured:
    size = design_tokens()["size"]["table"]
    face = faces.bold if table.row_heads and position == 0 else faces.regular
    cells = [measure([(table.columns[position], faces.bold)], size - 0.5)]
    cells += [measure(runs(row[position], face, faces), size) for row in table.rows]
    return Measured(
        max(cell.natural for cell in cells) * _KERNING + 2 * _INSET,
        max(cell.narrowest for cell in cells) * _KERNING + 2 * _INSET,
    )


def runs(children: Iterable[Inline], face: Face, faces: Faces) -> Iterator[tuple[str, Face]]:
    """A line of text as runs to be measured; what must stay in one piece is joined with no-break spaces."""
    for child in children:
        match child:
            case Text(text):
                yield from ((_joined(piece) if kept else piece, face) for piece, kept in pieces_of(text))
            case Strong(inner):
                yield from runs(inner, faces.bold, faces)
            case Emphasis(inner):
                yield from runs(inner, face, faces)
            case Code(text):
                yield (_joined(text) if len(text) <= LONGEST_UNPARTED else text, faces.code)
            case Link(_, inner, page):
                yield from (*runs(inner, face, faces), (", page\u00a00000" if page else "", face))
            case WebLink(address, inner):
                yield from (*runs(inner, face, faces), (f" ({address})", faces.code))
            case Picture():
                # As many of the widest letter as are as wide as the picture.
                yield ("M" * ceil(child.width / face.width("M", design_tokens()["size"]["table"])), face)
            case LineBreak():
                yield ("\n", face)


def _joined(text: str) -> str:
    return text.replace(" ", "\u00a0")
