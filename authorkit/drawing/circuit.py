"""The circuit of a page as a picture.

Facts become a netlist, the netlist columns, orders, heights and lanes, and those become shapes; only then does the
pen come in. Nothing is ever scaled down: the largest type size at which the picture fits the page is chosen.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from authorkit.drawing.alternative import describe
from authorkit.drawing.bundle import notes
from authorkit.drawing.columns import arrange
from authorkit.drawing.fold import fold_across, fold_down
from authorkit.drawing.frame import LabelWidths, find_edges
from authorkit.drawing.heights import find_heights
from authorkit.drawing.ink import LINE, width_of
from authorkit.drawing.inside import Inside, plan_inside
from authorkit.drawing.inspect import inspect_joins
from authorkit.drawing.inspect_shown import not_drawn
from authorkit.drawing.labels import boxes_of
from authorkit.drawing.lanes import find_lanes
from authorkit.drawing.measures import STRIP_WIDTH
from authorkit.drawing.middle import Middle, plan_middle
from authorkit.drawing.netlist import Netlist, Unit, incomplete, natural, read_netlist
from authorkit.drawing.order import Order, find_order
from authorkit.drawing.paint import CHANGED_MARK, Emphasis, Placed, label_of, paint
from authorkit.drawing.pen import render
from authorkit.drawing.picture import Picture
from authorkit.drawing.route import find_routes
from authorkit.drawing.series import unreached
from authorkit.drawing.shapes import DESIGN_SIZE, Scene, Shape, Words, moved, scaled
from authorkit.drawing.strands import Board, cut
from authorkit.drawing.taste import taste_of
from authorkit.model.device_kinds import DEVICE_KINDS
from authorkit.model.wiring import Wiring
from authorkit.problems import Problem

PORTRAIT_MM = (170.0, 215.0)
LANDSCAPE_MM = (240.0, 150.0)
SIZES = (9.0, 8.5, 8.0, 7.5, 7.0)

_RIM = 0.8
_SIGNATURE = 6.0  # for the line of words below the circuit
_MOST_CUTS = 40
_MOST_TRIES = 6
_GOOD_SIZE = 8.0  # down to here labels stay in one line; below, two lines are the lesser evil


def draw_circuit(
    wiring: Wiring, *, highlight: frozenset[str] = frozenset(), changed: frozenset[str] = frozenset()
) -> tuple[tuple[Picture, ...], tuple[Problem, ...]]:
    """The circuit in as many pictures as it needs, and what could not be drawn.

    `highlight` are circuit names to be drawn in a heavier line; `changed` are names of circuits, splices and parts that
    differ from another series and get a mark.
    """
    netlist = read_netlist(wiring)
    if not netlist.units and not netlist.chains:
        return (), netlist.problems
    emphasis = Emphasis(highlight, changed)
    whole = lay_out(netlist, emphasis)
    layouts = [whole] if fits_somewhere(whole.scene) else _folded(whole, emphasis)
    problems = [*netlist.problems, *_unreached(netlist)]
    problems += dict.fromkeys(problem for layout in (whole, *layouts) for problem in layout.problems)
    if not whole.scene.shapes:
        return (), tuple(problems)
    pictures = []
    for number, layout in enumerate(layouts, start=1):
        sheet = f"{number} of {len(layouts)}" if len(layouts) > 1 else ""
        pictures.append(_picture(layout, sheet, emphasis))
        if not fits_somewhere(layout.scene):
            problems.append(_too_large(layout, wiring))
    said = set(_said(netlist))
    problems += [problem for problem in _unseen(pictures, wiring) if problem.message not in said]
    return tuple(pictures), tuple(problems)


@dataclass(frozen=True)
class Layout:
    """A laid-out circuit: its scene at the design size, and how it came about."""

    scene: Scene
    placed: Placed
    crowded: int
    problems: tuple[Problem, ...]
    notes: tuple[str, ...] = ()


def _picture(layout: Layout, sheet: str, emphasis: Emphasis) -> Picture:
    heavy = sorted({wire.circuit for wire in layout.placed.netlist.wiring.wires} & emphasis.highlight, key=natural)
    said = (*layout.notes, *((f"Heavy line: {', '.join(heavy)}",) if heavy else ()))
    scene = _signed(layout.scene, (*said, _legend(layout.placed.netlist, sheet)))
    size, landscape = fitting(scene)
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
    """How high a sheet may be at the design size: as many sheets of one height as are needed."""
    page, size = LANDSCAPE_MM[1] - _SIGNATURE, SIZES[-1]
    for upright in SIZES:
        if scene.width * upright / DESIGN_SIZE <= PORTRAIT_MM[0]:
            page, size = PORTRAIT_MM[1] - _SIGNATURE, upright
            break
    full = page * DESIGN_SIZE / size
    sheets = -(-scene.height // full)
    return min(scene.height / sheets + 30.0, full)


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


def fits_somewhere(scene: Scene) -> bool:
    """Whether a scene lies on a page, upright or on its side, in print that can be read."""
    size, landscape = fitting(scene)
    return fits(scene, size, landscape)


def fitting(scene: Scene) -> tuple[float, bool]:
    """The largest type size at which a scene fits a page, upright if it can be."""
    for landscape in (False, True):
        for size in SIZES:
            if fits(scene, size, landscape):
                return size, landscape
    return SIZES[-1], False


def lay_out(netlist: Netlist, emphasis: Emphasis) -> Layout:
    """The whole picture at the design size."""
    columns = arrange(netlist)
    board = cut(netlist, columns)
    order = find_order(board, taste_of(board))
    insides = _insides(board, order)
    titles = {
        unit.id: _title(unit, _heading_room(unit, board, insides), emphasis)
        for unit in netlist.units
        if unit.id in insides
    }
    heights = find_heights(board, order, insides, {name: len(lines) for name, lines in titles.items()})
    candidates = []
    for split, roomy in ((False, False), (True, False), (True, True)):
        labels = replace(_label_widths(board, emphasis, split=split), room_for_splices=roomy)
        lanes = find_lanes(board, order, heights, _links(board, labels))
        edges = find_edges(board, lanes, heights, insides=insides, labels=labels)
        routes = find_routes(board, heights, lanes, edges, labels=labels)
        placed = Placed(netlist, board, order, heights, edges, routes, insides, titles)
        shapes, crowded = paint(placed, emphasis)
        said = notes(netlist.wiring, shapes)
        below = len(said) + any(shape.role == "strong-wire" for shape in shapes)
        scene = _framed(shapes, below)
        size, landscape = fitting(scene)
        candidates.append(Layout(scene, placed, crowded, tuple(board.stray), said))
        if size >= _GOOD_SIZE and not landscape and fits(scene, size, landscape) and not crowded:
            break
    return max(candidates, key=_quality)


def _quality(layout: Layout) -> tuple[bool, int, bool, float]:
    """On the page before anything else, then no text in another's way, then upright, then large."""
    size, landscape = fitting(layout.scene)
    return fits(layout.scene, size, landscape), -layout.crowded, not landscape, size


def fits(scene: Scene, size: float, landscape: bool) -> bool:
    """Whether a scene lies on a page at a type size."""
    width, height = LANDSCAPE_MM if landscape else PORTRAIT_MM
    factor = size / DESIGN_SIZE
    return scene.width * factor <= width and scene.height * factor <= height


def _insides(board: Board, order: Order) -> dict[str, Inside | Middle]:
    """Plan the inside of every part for the order of its rows."""
    insides: dict[str, Inside | Middle] = {}
    for blocks in order.columns:
        for block, numbers in blocks:
            if block.unit is None:
                continue
            slots = [board.slots[number] for number in numbers]
            if board.columns.sides[block.unit.id] == "mid":
                insides[block.unit.id] = plan_middle(block.unit, slots, board.netlist, board.columns.faces)
            else:
                rows = tuple(dict.fromkeys(point for slot in slots for point in slot.points))
                insides[block.unit.id] = plan_inside(block.unit, rows, board.netlist)
    return insides


def _heading_room(unit: Unit, board: Board, insides: Mapping[str, Inside | Middle]) -> float:
    """How wide a heading may be without making the picture wider: as the widest part of its column."""
    side = board.columns.sides[unit.id]
    mates = [name for name in insides if board.columns.sides[name] == side] if side != "mid" else [unit.id]
    return max(insides[name].depth for name in mates) + STRIP_WIDTH


def _title(unit: Unit, room: float, emphasis: Emphasis) -> tuple[str, ...]:
    """The heading of a part in lines: what follows its reference letters on the first, the rest below."""
    mark = CHANGED_MARK if unit.id in emphasis.changed else ""
    head = width_of(f"{mark}{unit.id} ", bold=True)
    whole = head + width_of(unit.part.name)
    room = max(room, 24.0, 0.58 * whole)
    lines = [""]
    for word in unit.part.name.split():
        longer = f"{lines[-1]} {word}".strip()
        if width_of(longer) + (head if len(lines) == 1 else 0.0) <= room or (not lines[-1] and len(lines) > 1):
            lines[-1] = longer
        else:
            lines.append(word)
    return tuple(lines)


def _label_widths(board: Board, emphasis: Emphasis, *, split: bool) -> LabelWidths:
    """How long a stretch each section needs for its label; less if labels may be broken in two lines."""
    widths = {}
    for number, run in enumerate(board.columns.runs):
        for section, wire in enumerate(run.chain.wires):
            parts = label_of(wire, emphasis)
            whole = width_of(" ".join(parts))
            # A wire that ends at a ground or a feed has the symbol below or above it, so its label stays in one line.
            last = len(run.chain.wires) - 1
            to_mark = (section == 0 and run.ends[0].way == "t") or (section == last and run.ends[1].way == "t")
            broken = split and not to_mark
            widths[number, section] = max(width_of(part) for part in parts) if broken else whole
    return LabelWidths(widths)


def _links(board: Board, labels: LabelWidths) -> dict[tuple[str, str], float]:
    """Splices joined by a wire within one channel: how far apart they must be for its label."""
    links = {}
    for span in board.spans:
        for strand in span.strands:
            if strand.left_splice and strand.right_splice:
                links[strand.left_splice, strand.right_splice] = labels[strand.run, 0] + 4.0
    return links


def _legend(netlist: Netlist, sheet: str) -> str:
    units = {wire.size.unit for wire in netlist.wiring.wires}
    words = "Wire: circuit, colour, size in mm²" if units == {"mm²"} else "Wire: circuit, colour, size"
    more = "; A (2): goes on at A on sheet 2" if sheet else ""
    return f"Sheet {sheet}. {words}{more}" if sheet else words


def _framed(shapes: list[Shape], notes: int) -> Scene:
    """Move everything into the page's corner and set the frame from the shapes themselves; below, room for notes."""
    boxes = [box for shape in shapes for box in boxes_of(shape)] or [(0.0, 0.0, 0.0, 0.0)]
    left, top = min(box[0] for box in boxes), min(box[1] for box in boxes)
    right, bottom = max(box[2] for box in boxes), max(box[3] for box in boxes)
    moved_shapes = tuple(moved(shape, _RIM - left, _RIM - top) for shape in shapes)
    return Scene(moved_shapes, right - left + 2 * _RIM, bottom - top + 2 * _RIM + _SIGNATURE + notes * LINE)


def _signed(scene: Scene, lines: tuple[str, ...]) -> Scene:
    """With lines below, the last of which says how to read the labels; their room is already part of the scene."""
    last = scene.height - _RIM - 0.8
    words = [Words(text, _RIM, last - above * LINE) for above, text in enumerate(reversed(lines))]
    widest = max(map(width_of, lines)) + 2 * _RIM
    return Scene((*scene.shapes, *words), max(scene.width, widest), scene.height, scene.size)
