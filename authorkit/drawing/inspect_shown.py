"""What a circuit declares and no sheet of its finished picture shows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from authorkit.drawing.bundle import pair_note, shield_note
from authorkit.drawing.font import printable
from authorkit.drawing.ink import device_node
from authorkit.drawing.svg_marks import LineMark, Marks
from authorkit.drawing.symbols import lines_of
from authorkit.model.wiring import Device, Shield, TwistedPair, Wiring

# A twist mark and a shield reach beyond the wires that they are drawn around, in mm at the smallest print.
_REACH = 0.5
_WIRES = ("wire", "strong-wire")


def missing(sheets: Sequence[Marks], wiring: Wiring) -> Iterator[str]:
    """A sentence for each part, cavity, end of a wire, name, device, pair and shield that is not on any sheet."""
    yield from _points(sheets, wiring)
    yield from _names(sheets, wiring)
    yield from _devices(sheets, wiring.devices)
    wired = {wire.circuit for wire in wiring.wires if wire.ends[0] != wire.ends[1]}
    for pair in wiring.pairs:
        if wired.issuperset(pair.circuits):
            yield from _pair(sheets, pair)
    for shield in wiring.shields:
        if wired.intersection(shield.circuits):
            yield from _shield(sheets, shield, wired)


def _points(sheets: Sequence[Marks], wiring: Wiring) -> Iterator[str]:
    frames = {frame.node for marks in sheets for frame in marks.of("frame")}
    cells = {text.node for marks in sheets for text in marks.texts if text.node}
    nodes = {mark.node for marks in sheets for mark in marks.rounds if mark.role == "dot"}
    nodes |= {line.node for marks in sheets for line in marks.of("mark")}
    for part in wiring.parts:
        if part.id not in frames:
            yield f"Part {part.id} is not drawn."
    for use in wiring.cavities:
        if str(use.point) not in cells:
            yield f"Cavity {use.point} is not drawn."
    used = {end for wire in wiring.wires if wire.ends[0] != wire.ends[1] for end in wire.ends}
    for end in sorted(used):
        if str(end) not in (cells if end.is_cavity else nodes):
            yield f"{end} is not drawn."


def _names(sheets: Sequence[Marks], wiring: Wiring) -> Iterator[str]:
    """Names that the reader looks for: circuits, splices, grounds, feeds, fuses, signals, parts."""
    printed = {text.text for marks in sheets for text in marks.texts}
    ends = {end.owner for wire in wiring.wires for end in wire.ends if not end.is_cavity}
    wanted = [("circuit name", wire.circuit) for wire in wiring.wires if wire.ends[0] != wire.ends[1]]
    named = (("splice", wiring.splices), ("ground", wiring.grounds), ("feed", wiring.feeds))
    wanted += [(f"name of {word}", record.id) for word, records in named for record in records if record.id in ends]
    wanted += [("name of fuse", " ".join(lines_of(each))) for each in wiring.devices if each.kind == "fuse"]
    wanted += [(f"signal name at {use.point},", use.signal) for use in wiring.cavities]
    for words, name in dict.fromkeys(wanted):
        if not any(printable(name) in text for text in printed):
            yield f"The {words} {name} is not printed."


def _devices(sheets: Sequence[Marks], devices: Iterable[Device]) -> Iterator[str]:
    drawn = {node for marks in sheets for line in marks.lines for node in line.node.split("; ")}
    drawn |= {node for marks in sheets for mark in marks.rounds for node in mark.node.split("; ")}
    for device in devices:
        if device_node(device) not in drawn:
            yield not_drawn(device)


def not_drawn(device: Device) -> str:
    """The sentence about a device that no sheet shows."""
    return f"The {device.kind} inside {device.part} ({', '.join(map(str, device.terminals))}) is not drawn."


def _pair(sheets: Sequence[Marks], pair: TwistedPair) -> Iterator[str]:
    """The mark must wind around both wires, not merely be somewhere."""
    node = " ".join(pair.circuits)
    marks = [(sheet, mark) for sheet in sheets for mark in sheet.of("twist") if mark.node == node]
    if not marks and not _printed(sheets, pair_note(pair)):
        yield f"No mark shows that {pair.circuits[0]} and {pair.circuits[1]} are twisted together."
    for sheet, mark in marks:
        for circuit in pair.circuits:
            if not _around(mark, circuit, sheet):
                yield f"The mark of the twisted pair {node} does not wind around {circuit}."


def _shield(sheets: Sequence[Marks], shield: Shield, wired: set[str]) -> Iterator[str]:
    """A box around every wire of the shield, with its drain wire joined to it."""
    node = " ".join(shield.circuits)
    boxes = [(sheet, box) for sheet in sheets for box in sheet.of("shield") if box.node == node]
    if _printed(sheets, shield_note(shield)):
        return
    if not boxes:
        yield f"No box shows the shield around {node}."
    for circuit in shield.circuits:
        if boxes and circuit in wired and not any(_around(box, circuit, sheet) for sheet, box in boxes):
            yield f"The shield around {node} does not enclose {circuit}."
    if boxes and shield.drain in wired and not any(_drained(box, shield.drain, sheet) for sheet, box in boxes):
        yield f"The drain wire {shield.drain} is not joined to the shield around {node}."


def _printed(sheets: Sequence[Marks], note: str) -> bool:
    """Whether a sheet says in words what it has no room to draw."""
    return any(printable(note) in text.text for sheet in sheets for text in sheet.texts)


def _around(mark: LineMark, circuit: str, sheet: Marks) -> bool:
    """Whether a straight piece of a circuit runs through a mark from side to side, well inside its edges."""
    left, top, right, bottom = mark.box
    return any(
        (abs(y1 - y2) < 1e-3 and top + _REACH < y1 < bottom - _REACH and min(x1, x2) < left and max(x1, x2) > right)
        or (abs(x1 - x2) < 1e-3 and left + _REACH < x1 < right - _REACH and min(y1, y2) < top and max(y1, y2) > bottom)
        for wire in sheet.of(*_WIRES)
        if wire.node == circuit
        for (x1, y1), (x2, y2) in wire.segments
    )


def _drained(box: LineMark, drain: str, sheet: Marks) -> bool:
    """Whether a line leads from the edge of the box to the drain wire."""
    _, top, _, bottom = box.box
    for line in sheet.of("drain"):
        ends = sorted(line.points, key=lambda point: min(abs(point[1] - top), abs(point[1] - bottom)))
        on_edge = min(abs(ends[0][1] - top), abs(ends[0][1] - bottom)) < 0.1
        if line.node == drain and on_edge and _touches(ends[1], drain, sheet):
            return True
    return False


def _touches(point: tuple[float, float], circuit: str, sheet: Marks) -> bool:
    x, y = point
    return any(
        abs(y1 - y) < 0.1 and abs(y2 - y) < 0.1 and min(x1, x2) - 0.1 < x < max(x1, x2) + 0.1
        for wire in sheet.of(*_WIRES)
        if wire.node == circuit
        for (x1, y1), (x2, y2) in wire.segments
    )
