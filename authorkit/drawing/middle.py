"""The inside of a part in the middle of the page: pins on both faces, devices between them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from authorkit.drawing.ink import LINE, LINK_DASH, Heights, Ink, width_of
from authorkit.drawing.item import LEAD
from authorkit.drawing.items import painted
from authorkit.drawing.netlist import Netlist, Unit
from authorkit.drawing.series import Series, series_of
from authorkit.drawing.shapes import Path
from authorkit.drawing.strands import Slot
from authorkit.drawing.symbols import CAP, SYMBOLS, lines_of
from authorkit.model.device_kinds import DEVICE_KINDS
from authorkit.model.point import Point
from authorkit.model.wiring import Device

_WORKED = ("contact", "contactor")


@dataclass(frozen=True)
class Middle:
    """A planned part of the middle; offers what `inside.Inside` offers."""

    depth: float
    above: Mapping[Point, float]
    below: Mapping[Point, float]
    between: tuple[tuple[Point, Point, float], ...]
    names: Mapping[Point, str]
    faces: Mapping[Point, str]
    paths: tuple[Series, ...]
    others: tuple[Device, ...]
    zones: tuple[float, float]
    order: tuple[Point, ...]

    def widened(self, depth: float) -> Middle:
        """The same with its two faces further apart."""
        return replace(self, depth=depth)

    def paint(self, ink: Ink, height: Heights) -> None:
        """Draw the devices, then the dashed link from a coil to the contact that it moves."""
        bodies: dict[str, list[tuple[float, float, Device]]] = {}
        for point in self.order:
            self._paint_name(ink, point, height(point))
        for path in self.paths:
            for device, x, y in self._paint_path(ink, path, height):
                bodies.setdefault(device.kind, []).append((x, y, device))
        for device in self.others:
            with ink.drawing(device):
                if device.kind == "contact" and self._is_changeover(device):
                    bodies.setdefault("contact", []).append(self._paint_changeover(ink, device, height))
                else:
                    self._paint_block(ink, device, height)
        for _, coil_y, coil in bodies.get("coil", []):
            for x, y, contact in (found for kind in _WORKED for found in bodies.get(kind, [])):
                if not contact.values.get("works-by"):
                    self._paint_link(ink, (coil, coil_y), (x, y))

    def _paint_name(self, ink: Ink, point: Point, y: float) -> None:
        name = self.names.get(point, "")
        if not name:
            return
        on_left = self.faces.get(point) == "left"
        x, baseline = ink.at(1.3 if on_left else self.depth - 1.3, y - 0.9)
        if on_left:
            ink.words(name, 1.3, y - 0.9)
        else:
            ink.end_words(name, x, baseline)

    def _edge(self, point: Point) -> float:
        """The depth of the face on which a pin lies; the middle for a spot without a pin."""
        face = self.faces.get(point)
        return 0.0 if face == "left" else self.depth if face == "right" else self._axis

    @property
    def _axis(self) -> float:
        left, right = self.zones
        return left + (self.depth - left - right) / 2

    def _paint_path(self, ink: Ink, path: Series, height: Heights) -> Iterable[tuple[Device, float, float]]:
        first, second = path.ends
        if first in self.names and second in self.names and self.faces.get(first) != self.faces.get(second):
            return self._across(ink, path, height)
        if first in self.names and second in self.names:
            return self._upright(ink, path, height)
        return self._to_mark(ink, path, height)

    def _across(self, ink: Ink, path: Series, height: Heights) -> Iterable[tuple[Device, float, float]]:
        """From a pin on the left face to one on the right: along the row, or along the left one and then up or down."""
        if self.faces.get(path.ends[0]) != "left":
            path = path.reversed()
        left, right = path.ends
        y, far_y = height(left), height(right)
        begin, end = self.zones[0], self.depth - self.zones[1]
        ink.line((0.0, y), (begin, y))
        if y == far_y:
            ink.line((end, y), (self.depth, y))
        else:
            ink.line((end, y), (end, far_y), (self.depth, far_y))
        found = []
        if self._has_upright_coil():
            shifted = end - 9.0 * len(path.devices)
            ink.line((begin, y), (shifted, y))
            begin = shifted
        step = (end - begin) / len(path.devices)
        for number, device in enumerate(path.devices):
            start = begin + number * step
            frame_ends = ink.at(start, y), ink.at(start + step, y)
            ink.add(painted(device, path.turned[number], frame_ends))
            text = " ".join(lines_of(device))
            ink.centred(text, start + step / 2, y - SYMBOLS[device.kind].half - 0.8)
            found.append((device, start + step / 2, y))
        return found

    def _has_upright_coil(self) -> bool:
        """Whether a coil has both its pins on the left face."""
        return any(
            all(self.faces.get(end) == "left" for end in path.ends)
            and any(each.kind == "coil" for each in path.devices)
            for path in self.paths
        )

    def _upright(self, ink: Ink, path: Series, height: Heights) -> Iterable[tuple[Device, float, float]]:
        """Between two pins on one face."""
        first, second = path.ends
        if height(first) > height(second):
            path = path.reversed()
            first, second = path.ends
        half = max(SYMBOLS[device.kind].half for device in path.devices)
        on_left = self.faces.get(first) == "left"
        near = half + _clamp_room(path)  # what clamps a coil stands between it and its pins
        axis = self.zones[0] + near if on_left else self.depth - self.zones[1] - near
        for point in (first, second):
            ink.line((self._edge(point), height(point)), (axis, height(point)))
        found = []
        step = (height(second) - height(first)) / len(path.devices)
        for number, device in enumerate(path.devices):
            y = height(first) + number * step
            ends = (ink.at(axis, y), ink.at(axis, y + step))
            ink.add(painted(device, path.turned[number], ends, side=-1.0 if on_left else 1.0))
            texts = lines_of(device)
            aside, middle = half + 0.8, y + step / 2 + CAP / 2
            if device.kind == "coil":
                # Beside its lead, because the link to the contact sets out from its middle.
                aside, middle = 0.9, y + step / 2 - 2.7 - (len(texts) - 1) * LINE
                if self._has_contact_above(y + step / 2, height):
                    middle = y + step / 2 + 2.7 + CAP
            for row, text in enumerate(texts):
                x, baseline = ink.at(axis - aside, middle + row * LINE)
                if on_left:
                    ink.words(text, axis + aside, baseline)
                else:
                    ink.end_words(text, x, baseline)
            found.append((device, axis, y + step / 2))
        return found

    def _has_contact_above(self, y: float, height: Heights) -> bool:
        """Whether the contact that a coil moves lies above it, so that their link sets out upwards."""
        devices = [*(device for path in self.paths for device in path.devices), *self.others]
        rows = [
            height(terminal)
            for device in devices
            if device.kind in _WORKED
            for terminal in device.terminals
            if terminal in self.names
        ]
        return bool(rows) and sum(rows) / len(rows) < y

    def _to_mark(self, ink: Ink, path: Series, height: Heights) -> Iterable[tuple[Device, float, float]]:
        """From a pin to a feed or a ground that is named inside the part."""
        if path.ends[0] not in self.names:
            path = path.reversed()
        point, far = path.ends
        y, edge = height(point), self._edge(point)
        way = 1.0 if edge == 0.0 else -1.0
        start = edge + way * self.zones[0 if edge == 0.0 else 1]
        end = start + way * 9.0 * len(path.devices)
        ink.line((edge, y), (start, y))
        found = []
        for number, device in enumerate(path.devices):
            here = start + way * 9.0 * number
            ink.add(painted(device, path.turned[number], (ink.at(here, y), ink.at(here + way * 9.0, y))))
            ink.centred(" ".join(lines_of(device)), here + way * 4.5, y - SYMBOLS[device.kind].half - 0.8)
            found.append((device, here + way * 4.5, y))
        ink.centred(str(far), end, y - 0.9)
        return found

    def _is_changeover(self, device: Device) -> bool:
        """Whether a contact has its common point on one face and both others on the opposite one."""
        common, *others = (self.faces.get(terminal, "") for terminal in device.terminals)
        return len(others) == 2 and others[0] == others[1] and {common, others[0]} == {"left", "right"}

    def _paint_changeover(self, ink: Ink, device: Device, height: Heights) -> tuple[float, float, Device]:
        """The arm at the common point, resting on the break contact."""
        common, make, break_ = device.terminals
        on_left = self.faces[common] == "left"
        begin, end = self.zones[0] + 1.0, self.depth - self.zones[1] - 1.0
        pivot, tip = (begin, end) if on_left else (end, begin)
        ink.line((self._edge(common), height(common)), (pivot, height(common)))
        for terminal in (make, break_):
            y = height(terminal)
            ink.line((self._edge(terminal), y), (tip, y))
        back = -1.0 if on_left else 1.0
        ink.add([Path((ink.at(tip, height(make)), ink.at(tip + back * 1.6, height(make))), "symbol")])
        y = height(break_)
        lip = -1.0 if height(common) < y else 1.0
        if height(common) == y:
            lip = 1.0 if height(make) > y else -1.0
        ink.add([Path((ink.at(tip, y), ink.at(tip, y + lip * 1.4)), "symbol")])
        ink.add([Path((ink.at(pivot, height(common)), ink.at(tip - back * 0.6, y + lip * 1.2)), "symbol")])
        return (pivot + tip) / 2, (height(common) + y + lip * 1.2) / 2, device

    def _paint_block(self, ink: Ink, device: Device, height: Heights) -> None:
        """Anything else: a box in the middle with a line to each pin."""
        rows = [terminal for terminal in device.terminals if terminal in self.names]
        if device.kind == "link":
            heights = [height(row) for row in rows]
            ink.line((self._axis, min(heights)), (self._axis, max(heights)))
            for row in rows:
                ink.line((self._edge(row), height(row)), (self._axis, height(row)))
            return
        texts = _block_texts(device)
        width = max(7.0, max(width_of(text) for text in texts) + 2.0)
        left, right = self._axis - width / 2, self._axis + width / 2
        half = _block_half(device)
        top, bottom = min(height(row) for row in rows) - half, max(height(row) for row in rows) + half
        corners = (ink.at(left, top), ink.at(right, top), ink.at(right, bottom), ink.at(left, bottom))
        ink.add([Path(corners, "symbol", closed=True)])
        for row in rows:
            edge = self._edge(row)
            ink.line((edge, height(row)), (left if edge < left else right, height(row)))
        for number, text in enumerate(texts):
            ink.centred(text, self._axis, (top + bottom) / 2 + CAP / 2 + (number - (len(texts) - 1) / 2) * LINE)

    def _paint_link(self, ink: Ink, coil: tuple[Device, float], contact: tuple[float, float]) -> None:
        """Dashed from the coil to the arm of its contact."""
        device, y = coil
        x, contact_y = contact
        down = 1.0 if contact_y > y else -1.0
        path = next(path for path in self.paths if device in path.devices)
        arm = contact_y - 1.1 if down > 0 else contact_y + 1.1
        if self.faces.get(path.ends[0]) != self.faces.get(path.ends[1]):
            half = SYMBOLS["coil"].half
            points = [(x, y + down * half), (x, arm - 0.4)]
        else:
            axis = self.zones[0] + SYMBOLS["coil"].half + _clamp_room(path)
            side = axis + SYMBOLS["coil"].half
            points = [(side, y), (x, y), (x, arm - 0.4)] if side < x - 0.5 else [(x, y + down * 1.8), (x, arm)]
        ink.add([Path(tuple(ink.at(*point) for point in points), "link", dash=LINK_DASH)])


def _block_texts(device: Device) -> tuple[str, ...]:
    """What stands in the box of a device that has no symbol here: its texts, or what it is."""
    return lines_of(device) or tuple(DEVICE_KINDS[device.kind].words.split()[:2])


def _block_half(device: Device) -> float:
    """From a row to the edge of a box: enough for its text if all its pins lie on one row."""
    return max(2.5, len(_block_texts(device)) * LINE / 2 + 0.7)


def _clamp_room(path: Series) -> float:
    return 6.4 if any(device.values.get("clamp") in ("diode", "resistor") for device in path.devices) else 0.0


def plan_middle(unit: Unit, slots: Sequence[Slot], netlist: Netlist, faces: Mapping[Point, str]) -> Middle:
    """Place the devices of a part that stands between others; `slots` are its rows from top to bottom."""
    order = tuple(dict.fromkeys(point for slot in slots for point in slot.points))
    names = {pin.point: pin.signal for pin in unit.pins} | {
        point: "" for point in order if netlist.kinds[point] == "inner"
    }
    paths = [path for path in series_of(unit, order, netlist) if set(order) & set(path.ends)]
    in_series = [device for path in paths for device in path.devices]
    others = tuple(
        device
        for device in unit.devices
        if device not in in_series and device.kind in SYMBOLS and set(order) & set(device.terminals)
    )
    zones = tuple(
        max((width_of(names[point]) for point in order if faces.get(point) == face), default=0.0) + 2.0
        for face in ("left", "right")
    )
    core = 9.0
    between = []
    above: dict[Point, float] = {}
    below: dict[Point, float] = {}
    for path in paths:
        known = [point for point in path.ends if point in order]
        symbols = [SYMBOLS[device.kind] for device in path.devices]
        half = max(symbol.half for symbol in symbols)
        texts = max((len(" ".join(lines_of(device))) for device in path.devices), default=0)
        widest = max((width_of(" ".join(lines_of(device))) for device in path.devices), default=0.0)
        same_face = len(known) == 2 and faces.get(known[0]) == faces.get(known[1])
        if same_face:
            needed = sum(symbol.body + 2 * LEAD for symbol in symbols)
            if any(device.kind == "coil" for device in path.devices):
                needed += 2 * LINE * max(len(lines_of(device)) for device in path.devices)
            upper, lower = sorted(known, key=order.index)
            between.append((upper, lower, needed))
            # The contact stands to the right of the coil, so that the link between them is clear of the coil's lead.
            core = max(core, _clamp_room(path) + 2 * half + 6.0, _clamp_room(path) + half + 0.9 + widest + 1.0)
        else:
            core = max(core, len(symbols) * max(9.0, widest + 1.0) + (7.0 if len(known) < 2 else 0.0))
            for point in known:
                above[point] = max(above.get(point, 0.0), half + (CAP + 1.0 if texts else 0.0))
                below[point] = max(below.get(point, 0.0), half + (4.4 if _clamp_room(path) else 0.0))
    for device in others:
        core = max(core, max(width_of(text) for text in _block_texts(device)) + 8.0)
        for point in device.terminals:
            if point in order:
                above[point] = max(above.get(point, 0.0), _block_half(device) + 0.5)
                below[point] = max(below.get(point, 0.0), _block_half(device) + 0.5)
    depth = zones[0] + core + zones[1]
    return Middle(depth, above, below, tuple(between), names, faces, tuple(paths), others, (zones[0], zones[1]), order)
