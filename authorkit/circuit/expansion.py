"""From a chapter's wiring and a state to a netlist: every wire, contact, ground and device in its place."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping

from authorkit.circuit.devices import EXPANSIONS
from authorkit.circuit.devices.switches import DROP_OUT, PULL_IN
from authorkit.circuit.harness import INNER, circuit_points, with_inner_points_apart
from authorkit.circuit.netlist import (
    BATTERY,
    CHASSIS,
    FAR_SIDE,
    OPEN,
    PART_SIDE,
    Element,
    Gap,
    Netlist,
    Piece,
    joint,
)
from authorkit.circuit.site import Site
from authorkit.circuit.states import AT_REST, Conditions
from authorkit.circuit.wires import EYELET, contact_ohms, wire_ohms
from authorkit.model.point import Point
from authorkit.model.wiring import Connector, Device, Wire, Wiring
from authorkit.units import Quantity

# Common practice for the inside of a 12 V battery with its cables; a regulator inside a module; a feed's contacts.
BATTERY_INSIDE = 0.01  # Ω
_REGULATOR = 0.01  # Ω
_FEED = 2e-3  # Ω
_JUMPER = 0.02  # Ω
_THIN = 0.5e-6  # m², where no wire tells the size of a contact


def expand(wiring: Wiring, state: Conditions) -> Netlist:
    """The circuit of one chapter on one series in one state, sound, at nominal values.

    `wiring` is what `view.circuit_of` gives. Devices that cannot be worked out are left out and listed in `gaps`.
    """
    return _Layout(with_inner_points_apart(wiring), state).netlist()


def device_names(wiring: Wiring) -> list[tuple[str, Device]]:
    """A name for each device that stays the same in every state: 'B5:thermistor', numbered where a part has several."""
    keys = [f"{device.part}:{device.name or device.kind}" for device in wiring.devices]
    counts, seen = Counter(keys), Counter[str]()
    names = []
    for key, device in zip(keys, wiring.devices, strict=True):
        seen[key] += 1
        names.append((f"{key}{seen[key]}" if counts[key] > 1 else key, device))
    return names


def wire_names(wiring: Wiring) -> list[tuple[str, Wire]]:
    """A name for each section of wire: 'wire:K131:M1-A.23:X12.4'."""
    return [(f"wire:{wire.circuit}:{wire.ends[0]}:{wire.ends[1]}", wire) for wire in wiring.wires]


def own_ground(part: str) -> str:
    """The test point that stands for a part's own ground, what its pins are measured against inside: 'M1#ground'."""
    return f"{part}{INNER}ground"


class _Layout:
    """One expansion while it is being put together."""

    def __init__(self, wiring: Wiring, state: Conditions) -> None:
        self.wiring, self.state = wiring, state
        self.plugs = {connector.id: connector for connector in wiring.connectors}
        self.battery = state.battery or AT_REST
        self.sides: dict[tuple[int, int], str] = dict(_in_line_sides(wiring, self.plugs))
        self.node_of = {point: self._inner(point) for point in sorted(circuit_points(wiring))}
        self.grounds = {part.id: self._ground(part.id) for part in wiring.parts}
        self.coils = dict(self._coils())

    def netlist(self) -> Netlist:
        """Everything together."""
        pieces = [self._piece(name, device) for name, device in device_names(self.wiring)]
        rails = sorted({(node, volts) for piece in pieces for node, volts in piece.rails})
        elements = [
            *self._feeds(),
            *self._wires(),
            *self._contacts(),
            *(joint(f"ground:{ground.id}", (ground.id, CHASSIS), EYELET) for ground in self.wiring.grounds),
            *self._jumpers(),
            *(element for node, volts in rails for element in self._rail(node, volts)),
            *(element for piece in pieces for element in piece.elements),
        ]
        params = {param.name: param for piece in pieces for param in piece.params}
        if self.state.battery:
            params["battery"] = self.battery
        return Netlist(
            tuple(elements),
            tuple(toggle for piece in pieces for toggle in piece.toggles),
            tuple(params[name] for name in sorted(params)),
            self._points(),
            tuple(gap for piece in pieces for gap in piece.gaps if not self._is_away(gap)),
            {name: piece.modes for (name, _), piece in zip(device_names(self.wiring), pieces, strict=True)},
        )

    def _piece(self, name: str, device: Device) -> Piece:
        nodes = tuple(self.node_of[point] for point in device.terminals)
        if len(set(nodes)) < len(nodes):
            return Piece(gaps=(Gap(device.part, device.kind, "two of its terminals are one point", device.place),))
        back = device.values.get("return")
        ground = self.node_of[back] if isinstance(back, Point) else self.grounds.get(device.part, CHASSIS)
        site = Site(device, name, nodes, ground, self.node_of, self.state, self.coils, nominal=self.battery.nominal)
        piece = EXPANSIONS[device.kind](site)
        wrong = _impossible(piece)
        return Piece(gaps=(Gap(device.part, device.kind, wrong, device.place),)) if wrong else piece

    def _inner(self, point: Point) -> str:
        """The node that a device touches at a point: the part's side of a cavity."""
        plug = self.plugs.get(point.owner)
        return f"{point}{PART_SIDE}" if point.is_cavity and plug is not None and plug.part else str(point)

    def _ground(self, part: str) -> str:
        """The node of a part's own ground: where its inner grounds lead, else its cavity named GND, else the body."""
        for device in self.wiring.devices:
            through = device.values.get("through")
            if device.part == part and device.kind == "module-ground" and isinstance(through, Point):
                return self.node_of[through]
        for device in self.wiring.devices:
            to = device.values.get("to")
            if device.part == part and device.kind == "pull-down" and isinstance(to, Point):
                return self.node_of[to]
        wired = {end for wire in self.wiring.wires for end in wire.ends}
        named = [use.point for use in self.wiring.cavities if use.part == part and use.signal.upper().startswith("GND")]
        return next((self.node_of[point] for point in named if point in wired), CHASSIS)

    def _coils(self) -> Iterator[tuple[str, tuple[str, str, float, float]]]:
        for device in self.wiring.devices:
            if device.kind == "coil":
                a, b = (self.node_of[point] for point in device.terminals[:2])
                levels = [device.values.get(key) for key in ("pull-in", "drop-out")]
                pull_in, drop_out = (
                    level.base if isinstance(level, Quantity) else usual
                    for level, usual in zip(levels, (PULL_IN, DROP_OUT), strict=True)
                )
                yield device.name or device.part, (a, b, pull_in, drop_out)

    def _feeds(self) -> Iterator[Element]:
        """The battery behind its resistance, and each feed: live at battery voltage, at its own, or dead."""
        volts = self.battery.nominal
        yield Element("battery:v", "V", "battery:inside", CHASSIS, volts, "battery")
        yield joint("battery:r", ("battery:inside", BATTERY), BATTERY_INSIDE if self.state.battery else OPEN)
        for feed in self.wiring.feeds:
            live = self.state.live(feed.live)
            if feed.volts is None:
                yield joint(f"feed:{feed.id}", (BATTERY, feed.id), _FEED if live else OPEN)
            else:
                inner = f"feed:{feed.id}:inside"
                yield Element(f"feed:{feed.id}:v", "V", inner, CHASSIS, feed.volts.base)
                yield joint(f"feed:{feed.id}", (inner, feed.id), _FEED if live else OPEN)

    def _rail(self, node: str, volts: float) -> Iterator[Element]:
        ground = self.grounds.get(node.partition("#")[0], CHASSIS)
        yield Element(f"{node}:v", "V", f"{node}:inside", ground, volts)
        yield joint(f"{node}:r", (f"{node}:inside", node), _REGULATOR if self.state.awake else OPEN)

    def _wires(self) -> Iterator[Element]:
        for index, (name, wire) in enumerate(wire_names(self.wiring)):
            ends = [self.sides.get((index, end), str(point)) for end, point in enumerate(wire.ends)]
            yield joint(name, (ends[0], ends[1]), wire_ohms(wire))

    def _contacts(self) -> Iterator[Element]:
        """Each mated pair of terminals, open where the connector is unplugged."""
        sizes: dict[Point, float] = defaultdict(lambda: _THIN)
        for wire in self.wiring.wires:
            for end in wire.ends:
                sizes[end] = max(sizes.get(end, 0.0), wire.size.base)
        far = {node for node in self.sides.values() if node.endswith(FAR_SIDE)}
        for point in self.node_of:
            plug = self.plugs.get(point.owner)
            if not point.is_cavity or plug is None:
                continue
            other = f"{point}{PART_SIDE if plug.part else FAR_SIDE}"
            if plug.part or other in far:
                ohms = OPEN if plug.id in self.state.unplugged else contact_ohms(sizes[point])
                yield joint(f"contact:{point}", (str(point), other), ohms)

    def _jumpers(self) -> Iterator[Element]:
        for first, second in self.state.jumpers:
            yield joint(f"jumper:{first}:{second}", (first, second), _JUMPER)

    def _points(self) -> Mapping[str, str]:
        """What an author may point at, each far side under its own name, and the own ground of each part."""
        points: dict[str, str] = {}
        for point, inner in self.node_of.items():
            if "#" in point.owner:
                continue
            points[str(point)] = str(point)
            if inner != str(point):
                points[inner] = inner
        points.update({node: node for node in self.sides.values() if node.endswith(FAR_SIDE)})
        points.update({ground.id: ground.id for ground in self.wiring.grounds})
        points.update({own_ground(part): node for part, node in self.grounds.items()})
        return points

    def _is_away(self, gap: Gap) -> bool:
        """Whether the part stands alone, every plug of it off: what it would be does not matter to the harness."""
        own = [plug.id for plug in self.plugs.values() if plug.part == gap.part]
        return bool(own) and all(name in self.state.unplugged for name in own)


def _impossible(piece: Piece) -> str:
    """Why a device with these values cannot be; '' if it can. Nothing has less than no resistance."""
    limits = {param.name: param.low for param in piece.params}
    for element in piece.elements:
        if element.kind == "R" and not element.value > 0:
            return f"a resistance in it is {element.value:g} Ω and must be above zero"
        if element.kind == "R" and limits.get(element.param, 1.0) <= 0:
            return "the tolerance of its resistance reaches down to zero"
        if not math.isfinite(element.value) and element.kind != "R":
            return "a value in it is no finite number"
    return ""


def _in_line_sides(wiring: Wiring, plugs: Mapping[str, Connector]) -> Iterator[tuple[tuple[int, int], str]]:
    """Which half of an in-line connector a wire ends on: the first wire on the near half, others on the far half."""
    seen: set[Point] = set()
    for index, wire in enumerate(wiring.wires):
        for end, point in enumerate(wire.ends):
            plug = plugs.get(point.owner)
            if not point.is_cavity or plug is None or not plug.in_line:
                continue
            yield (index, end), f"{point}{FAR_SIDE}" if point in seen else str(point)
            seen.add(point)
