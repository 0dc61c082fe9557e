"""The steps of a procedure as a chart: one column, one answer down, every other answer to the right.

No way ever crosses another, because each leads straight down to the next box, or straight to the right to an end or to
a mark with the number of the step where the work goes on. A chart may be cut between any two boxes.
"""

from __future__ import annotations

from collections.abc import Sequence

from authorkit.drawing.ink import LINE
from authorkit.drawing.page import PORTRAIT_MM
from authorkit.drawing.pen import render
from authorkit.drawing.picture import Picture
from authorkit.drawing.shapes import DESIGN_SIZE, Scene, Shape, Words, moved, scaled
from authorkit.drawing.step_order import ChartAnswer, ChartStep, exits_of, runs_of
from authorkit.drawing.step_rows import (
    CUT_HEIGHT,
    Band,
    Columns,
    bands_of,
    continued_above,
    continued_below,
    sheet_notes,
)
from authorkit.drawing.wrapped import wrapped

__all__ = ["ChartAnswer", "ChartStep", "draw_steps"]

# A chart that fits one page at a slightly smaller size stays on one page; a longer one is cut at the full size.
_SIZES = (9.0, 8.5, 8.0)
_LAST_SIZES = (9.0, 8.5, 8.0, 7.5, 7.0)  # for boxes that are too high for a page
_RIM = 0.8
_LEGEND = (
    "Down: yes, or the reading that the step names first. To the right: any other answer. Heavy frame: the procedure "
    "ends. Number in a circle: go on at that step. How each step is done safely stands in the list of steps"
)
_CAUTIONS = "; triangle: read the caution there first"

_Sheet = list[Band]


def draw_steps(steps: Sequence[ChartStep]) -> tuple[Picture, ...]:
    """The chart in as many pictures as it needs; none if there are no steps."""
    if not steps:
        return ()
    size, sheets = _sheets(steps)
    columns = Columns(PORTRAIT_MM[0] * DESIGN_SIZE / size - 2 * _RIM)
    where = {band.number: number for number, sheet in enumerate(sheets, start=1) for band in sheet}
    pictures = []
    for number, sheet in enumerate(sheets):
        name = f"{number + 1} of {len(sheets)}" if len(sheets) > 1 else ""
        scene = _scene(_Cut(sheets, number, where), columns, name)
        scene = scaled(scene, size)
        alt = " ".join(filter(None, (f"Sheet {name}." if name else "", _alt(sheet, steps))))
        pictures.append(Picture(render(scene), scene.width, scene.height, alt, type_size=size, sheet=name))
    return tuple(pictures)


class _Cut:
    """One sheet among all: what comes before and after it, and on which sheet each step stands."""

    def __init__(self, sheets: list[_Sheet], number: int, where: dict[str, int]) -> None:
        self.bands, self.number, self.where = sheets[number], number + 1, where
        self.letter_above = _letter(sheets, number - 1)
        self.letter_below = _letter(sheets, number)


def _letter(sheets: list[_Sheet], number: int) -> str:
    """The letter of the cut below a sheet; '' where no way passes it."""
    if not 0 <= number < len(sheets) - 1 or sheets[number][-1].closes:
        return ""
    cuts = sum(not sheet[-1].closes for sheet in sheets[:number])
    return chr(ord("A") + cuts) if cuts < 26 else f"Z{cuts - 25}"


def _sheets(steps: Sequence[ChartStep]) -> tuple[float, list[_Sheet]]:
    """The type size, and the boxes of each sheet."""
    for size in _SIZES:
        sheets = _filled(steps, size)
        if len(sheets) == 1 and _fits(sheets, size):
            return size, sheets
    return next(
        ((size, sheets) for size in _LAST_SIZES if _fits(sheets := _filled(steps, size), size)),
        (_LAST_SIZES[-1], _filled(steps, _LAST_SIZES[-1])),
    )


def _room(size: float) -> float:
    """The height for boxes on one sheet at the design size, without the legend and the marks of a cut."""
    columns = Columns(PORTRAIT_MM[0] * DESIGN_SIZE / size - 2 * _RIM)
    legend = (len(wrapped(f"Sheet 10 of 10. {_LEGEND}{_CAUTIONS}", columns.width)) + 0.5) * LINE
    return PORTRAIT_MM[1] * DESIGN_SIZE / size - legend - 2 * _RIM - 2 * CUT_HEIGHT


def _fits(sheets: list[_Sheet], size: float) -> bool:
    return all(sum(band.height for band in sheet) <= _room(size) for sheet in sheets)


def _filled(steps: Sequence[ChartStep], size: float) -> list[_Sheet]:
    """Boxes on sheets, each as full as it can be; a run is not begun for its first box alone."""
    columns = Columns(PORTRAIT_MM[0] * DESIGN_SIZE / size - 2 * _RIM)
    room = _room(size)
    sheets: list[_Sheet] = [[]]
    left = room
    for run in runs_of(steps):
        bands = bands_of(run, steps, columns)
        needed = sum(band.height for band in bands[:2])
        if sheets[-1] and needed > left:
            sheets.append([])
            left = room
        for band in bands:
            if sheets[-1] and band.height > left:
                sheets.append([])
                left = room
            sheets[-1].append(band)
            left -= band.height
    return sheets


def _scene(cut: _Cut, columns: Columns, name: str) -> Scene:
    shapes: list[Shape] = []
    y = 0.0
    if cut.letter_above:
        shapes += continued_above(cut.letter_above, cut.number - 1)
        y += CUT_HEIGHT
    for band in cut.bands:
        shapes += [moved(shape, 0.0, y) for shape in (*band.shapes, *sheet_notes(band, cut.number, cut.where))]
        y += band.height
    if cut.letter_below:
        shapes += [moved(shape, 0.0, y) for shape in continued_below(cut.letter_below, cut.number + 1)]
        y += CUT_HEIGHT
    cautions = _CAUTIONS if any(band.caution for band in cut.bands) else ""
    for text in wrapped(f"{f'Sheet {name}. ' if name else ''}{_LEGEND}{cautions}.", columns.width):
        y += LINE
        shapes.append(Words(text, 0.0, y))
    placed = tuple(moved(shape, _RIM, _RIM) for shape in shapes)
    return Scene(placed, columns.width + 2 * _RIM, y + 1.2 + 2 * _RIM)


def _alt(sheet: _Sheet, steps: Sequence[ChartStep]) -> str:
    """The boxes of a sheet in words, in their order."""
    known = {step.number: step for step in steps}
    return " ".join(["Chart of the steps.", *(_said(known[band.number], steps) for band in sheet)])


def _said(step: ChartStep, steps: Sequence[ChartStep]) -> str:
    words = ": ".join(filter(None, (step.caution, step.title)))
    text = "; ".join((words, *step.lines)).rstrip(".")
    text = text if text.endswith("?") else f"{text}."
    if step.is_end:
        return f"Step {step.number}, end: {text}"
    ways = [
        f"{way.words}: {'end ' if way.target and way.target.is_end else 'step '}{way.goto}"
        + (f", {way.target.title}" if way.target and way.target.is_end else "")
        for way in exits_of(step, steps)
    ]
    return f"Step {step.number}: {text} {'. '.join(ways)}."
