"""The circuit of a page as a picture.

Facts become a netlist, the netlist columns, orders, heights and lanes, and those become shapes; only then does the
pen come in. Nothing is ever scaled down: the largest type size at which the picture fits the page is chosen.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from authorkit.drawing.alternative import describe
from authorkit.drawing.fold import fold_across, fold_down
from authorkit.drawing.inspect import inspect_joins
from authorkit.drawing.inspect_shown import not_drawn
from authorkit.drawing.layout import Layout, lay_out
from authorkit.drawing.netlist import CUT, Netlist, incomplete, natural, read_netlist
from authorkit.drawing.page import (
    LANDSCAPE_MM,
    PORTRAIT_MM,
    RIM,
    SIGNATURE,
    SIZES,
    Box,
    fits_somewhere,
    fitting_all,
    framed,
    signed,
)
from authorkit.drawing.paint import Emphasis
from authorkit.drawing.pen import render
from authorkit.drawing.picture import Picture
from authorkit.drawing.series import unreached
from authorkit.drawing.shapes import DESIGN_SIZE, Scene, moved, scaled
from authorkit.model.device_kinds import DEVICE_KINDS
from authorkit.model.wiring import Wiring
from authorkit.problems import Problem

_MOST_CUTS = 40
_MOST_TRIES = 6
_THRIFTY_SIZE = 7.5  # down to here smaller print is the lesser evil than one more sheet


def draw_circuit(
    wiring: Wiring,
    *,
    highlight: frozenset[str] = frozenset(),
    changed: frozenset[str] = frozenset(),
    coloured: bool = False,
) -> tuple[tuple[Picture, ...], tuple[Problem, ...]]:
    """The circuit in as many pictures as it needs, and what could not be drawn.

    `highlight` are circuit names to be drawn in a heavier line; `changed` are names of circuits, splices and parts that
    differ from another series and get a mark. `coloured` shows the colours of the wires beside them; the letters stay.
    """
    netlist = read_netlist(wiring)
    if not netlist.units and not netlist.chains:
        return (), netlist.problems
    emphasis = Emphasis(highlight, changed, coloured)
    whole = lay_out(netlist, emphasis)
    layouts = [whole] if fits_somewhere(whole.scene) else _folded(whole, emphasis)
    return _finished(whole, layouts, wiring, fitting_all)


def draw_layouts(
    layouts: Sequence[Layout], wirings: Sequence[Wiring]
) -> tuple[tuple[tuple[Picture, ...], tuple[Problem, ...]], ...]:
    """Finished layouts of several series, each on one sheet, all at the one type size at which every one fits."""
    frame = _around([layout.box for layout in layouts])
    framed_alike = [_reframed(layout, frame) for layout in layouts]
    return tuple(
        _finished(layout, [layout], wiring, lambda _: fitting_all([each.scene for each in framed_alike]))
        for layout, wiring in zip(framed_alike, wirings, strict=True)
    )


def _around(boxes: Sequence[Box]) -> Box:
    return (
        min(box[0] for box in boxes),
        min(box[1] for box in boxes),
        max(box[2] for box in boxes),
        max(box[3] for box in boxes),
    )


def _reframed(layout: Layout, frame: Box) -> Layout:
    """The same layout with another piece cut out of it."""
    back = [moved(shape, layout.box[0] - RIM, layout.box[1] - RIM) for shape in layout.scene.shapes]
    return replace(layout, scene=framed(back, frame, len(layout.notes)), box=frame)


def _finished(
    whole: Layout, layouts: Sequence[Layout], wiring: Wiring, fit: Callable[[Sequence[Scene]], tuple[float, bool]]
) -> tuple[tuple[Picture, ...], tuple[Problem, ...]]:
    """The pictures of one circuit with every finding about it."""
    netlist = whole.placed.netlist
    problems = [*netlist.problems, *_unreached(netlist)]
    problems += dict.fromkeys(problem for layout in (whole, *layouts) for problem in layout.problems)
    if not whole.scene.shapes:
        return (), tuple(problems)
    pictures = []
    for number, layout in enumerate(layouts, start=1):
        sheet = f"{number} of {len(layouts)}" if len(layouts) > 1 else ""
        pictures.append(_picture(layout, sheet, fit([layout.scene])))
        if not fits_somewhere(layout.scene):
            problems.append(_too_large(layout, wiring))
    said = set(_said(netlist))
    problems += [problem for problem in _unseen(pictures, wiring) if problem.message not in said]
    return tuple(pictures), tuple(problems)


def _picture(layout: Layout, sheet: str, fit: tuple[float, bool]) -> Picture:
    wires = layout.placed.netlist.wiring.wires
    heavy = sorted({wire.circuit for wire in wires} & layout.emphasis.highlight, key=natural)
    said = (*layout.notes, *((f"Heavy line: {', '.join(heavy)}",) if heavy else ()))
    scene = signed(layout.scene, (*said, _legend(layout.placed.netlist, sheet)))
    size, landscape = fit
    scene = scaled(scene, size)
    alt = describe(layout.placed.netlist)
    if heavy:
        alt = f"In a heavy line: {', '.join(heavy)}. {alt}"
    if sheet:
        alt = f"Sheet {sheet}. {alt}"
    return Picture(render(scene), scene.width, scene.height, alt, landscape, size, sheet)


def _folded(whole: Layout, emphasis: Emphasis) -> list[Layout]:
    """Cut into sheets until each fits: across if it is too wide even on its side, else downwards."""
    queue, done = [whole], []
    for _ in range(_MOST_CUTS):
        if not queue:
            break
        layout = queue.pop(0)
        if fits_somewhere(layout.scene):
            done.append(layout)
            continue
        sheets = _cut(layout)
        if len(sheets) < 2:
            done.append(layout)
            continue
        queue = [lay_out(read_netlist(sheet), emphasis) for sheet in sheets] + queue
    return [*done, *queue]


def _cut(layout: Layout) -> tuple[Wiring, ...]:
    """One step of folding; a single sheet if nothing can be cut."""
    least = SIZES[-1] / DESIGN_SIZE
    if layout.scene.width * least > LANDSCAPE_MM[0]:
        return fold_across(layout.placed)
    capacity = _capacity(layout.scene)
    for _ in range(_MOST_TRIES):
        sheets = fold_down(layout.placed, capacity)
        if len(sheets) > 1:
            return sheets
        capacity *= 0.8
    return ()


def _capacity(scene: Scene) -> float:
    """How high a sheet may be at the design size: as few sheets as good print allows, all of one height."""
    upright = [size for size in SIZES if scene.width * size / DESIGN_SIZE <= PORTRAIT_MM[0]]
    heights = [(PORTRAIT_MM[1] - SIGNATURE) * DESIGN_SIZE / size for size in upright if size >= _THRIFTY_SIZE]
    if not heights:
        page, size = (PORTRAIT_MM[1], upright[0]) if upright else (LANDSCAPE_MM[1], SIZES[-1])
        heights = [(page - SIGNATURE) * DESIGN_SIZE / size]
    fewest = min(-(-scene.height // full) for full in heights)
    full = next(full for full in heights if -(-scene.height // full) == fewest)
    return min(scene.height / fewest + 30.0, full)


def _too_large(layout: Layout, wiring: Wiring) -> Problem:
    width, height = (round(each * SIZES[-1] / DESIGN_SIZE) for each in (layout.scene.width, layout.scene.height))
    place = wiring.wires[0].place if wiring.wires else wiring.parts[0].place
    return Problem(
        "drawing-too-large",
        f"The circuit takes {width} by {height} mm at {SIZES[-1]:g} pt and cannot be cut any further.",
        place,
        suggestion="Name only the cavities and wires that this code is about.",
    )


def _unreached(netlist: Netlist) -> Iterator[Problem]:
    for unit in netlist.units:
        for device in unreached(unit, netlist):
            message = f"The {device.kind} inside {unit.id} is not drawn: no cavity of {unit.id} leads to it."
            yield incomplete(message, device.place, "Name the cavity that leads to it.")


def _said(netlist: Netlist) -> Iterator[str]:
    """What the finished pictures cannot show, and was found, with its reason, before they were drawn."""
    yield from (f"Part {unit.id} is not drawn." for unit in netlist.units if not unit.pins)
    devices = [device for unit in netlist.units for device in unreached(unit, netlist)]
    devices += [device for device in netlist.wiring.devices if device.kind not in DEVICE_KINDS]
    yield from map(not_drawn, devices)


def _unseen(pictures: Sequence[Picture], wiring: Wiring) -> Iterator[Problem]:
    """What the finished pictures do not show as the facts say, read back from the pictures themselves."""
    place = wiring.wires[0].place if wiring.wires else wiring.parts[0].place
    for sentence in inspect_joins([picture.svg for picture in pictures], wiring):
        yield incomplete(sentence, place)


def _legend(netlist: Netlist, sheet: str) -> str:
    units = {wire.size.unit for wire in netlist.wiring.wires}
    words = "Wire: circuit, colour, size in mm²" if units == {"mm²"} else "Wire: circuit, colour, size"
    is_cut = any(end.owner.startswith(CUT) for wire in netlist.wiring.wires for end in wire.ends)
    more = "; A (2): goes on at A on sheet 2" if is_cut else ""
    return f"Sheet {sheet}. {words}{more}" if sheet else words
