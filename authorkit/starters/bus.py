"""A bus of two wires: one that chapters draw already is drawn again, a new one is drawn from end to end."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from authorkit.model.point import Point
from authorkit.model.wiring import Device, Network
from authorkit.starters.additions import Additions
from authorkit.starters.cavities import take_cavities
from authorkit.starters.error import StarterError
from authorkit.starters.paths import net_of, restate
from authorkit.starters.surroundings import Surroundings
from authorkit.starters.template import scalar
from authorkit.units import Quantity, as_typed, parse_quantity

_KIND = "two-wire bus"
# What closes each end: the characteristic impedance of the cable (ISO 11898-2, from memory).
_END_OHMS = 120.0
# Colour and size of the H and the L wire of a new bus.
_WIRES = ("GN/WH 0.35 mm2", "GN/BK 0.35 mm2")

Pair = tuple[Point, Point]


@dataclass
class Bus:
    """A bus in the making: the H and L cavities of each module, the end resistors in ohms, the wires of both lines."""

    nodes: dict[str, Pair] = field(default_factory=dict)
    ends: dict[str, float] = field(default_factory=dict)
    wires: list[tuple[str, Pair]] = field(default_factory=list)
    bit_time: str = "2 µs"

    @property
    def circuits(self) -> tuple[str, ...]:
        """Every circuit name of the bus, in the order of drawing."""
        return tuple(dict.fromkeys(circuit for circuit, _ in self.wires))

    def stub(self, module: str) -> tuple[str, str]:
        """The circuit names of the H and the L wire at a module."""
        high, low = (next(circuit for circuit, ends in self.wires if node in ends) for node in self.nodes[module])
        return high, low


def draw_bus(around: Surroundings, additions: Additions, module: str) -> Bus:
    """Add the whole bus of a module to the chapter. Raises StarterError."""
    network = _network_of(around, module)
    bus = Bus(bit_time=_bit_time(network))
    drawn = _drawn(around, network)
    if not drawn:
        _draw_new(around, additions, bus, [name for name in network.members if around.has_part(name)])
        return bus
    if all(device.part != module for device in drawn):
        modules = ", ".join(dict.fromkeys(device.part for device in drawn))
        raise StarterError(
            f"The chapters that draw {network.id} leave out {module}: add its stub there first, or choose one of "
            f"{modules} with --module."
        )
    _draw_again(around, additions, bus, drawn)
    return bus


def _bit_time(network: Network) -> str:
    """One bit at the data rate of a network; at 500 kbit/s where none is stated."""
    rate = parse_quantity(network.speed, "data rate").base if network.speed else 500e3
    return f"{1e6 / rate:g} µs"


def _network_of(around: Surroundings, module: str) -> Network:
    """The first two-wire bus that has the module and another one as members."""
    networks = [each for each in around.book.vehicle.wiring.networks if each.kind == _KIND and around.holds(each)]
    for network in networks:
        if module in network.members and any(other != module and around.has_part(other) for other in network.members):
            return network
    others = "; ".join(f"{network.id} has {', '.join(network.members)}" for network in networks)
    raise StarterError(
        f"The module {module} is on no two-wire bus with another module"
        f"{f' ({others})' if others else ''}: name it under 'members' of one in 'networks' of the vehicle notebook."
    )


def _drawn(around: Surroundings, network: Network) -> list[Device]:
    """The bus drivers that wires join into this network, and into no other one."""
    drivers = [
        device
        for wiring in around.book.wirings
        for device in wiring.devices
        if device.kind == "transceiver" and around.series_of(device)
    ]
    for driver in drivers:
        net, _ = net_of(around, driver.terminals[0])
        joined = [device for device in drivers if device.terminals[0] in net]
        modules = {device.part for device in joined}
        if len(modules) > 1 and modules <= set(network.members):
            return joined
    return []


def _draw_again(around: Surroundings, additions: Additions, bus: Bus, drivers: list[Device]) -> None:
    """Draw what the other chapters draw."""
    if not all(around.holds(driver) for driver in drivers):
        raise StarterError("This bus differs between the series: make a chapter for each with --series.")
    for driver in drivers:
        high, low = driver.terminals[:2]
        bus.nodes.setdefault(driver.part, (high, low))
        additions.use(driver.part, high, around.signal_at(high) or "BUS H")
        additions.use(driver.part, low, around.signal_at(low) or "BUS L")
        _add_device(additions, driver.part, f"{{transceiver: [{high}, {low}]{_label(driver)}}}")
    for device in _terminators(around, bus.nodes.values()):
        ohms = device.values.get("r")
        high, low = device.terminals[:2]
        bus.ends[device.part] = ohms.base if isinstance(ohms, Quantity) else _END_OHMS
        r = f", r: {as_typed(ohms)}" if isinstance(ohms, Quantity) else ""
        _add_device(additions, device.part, f"{{terminator: [{high}, {low}]{r}}}")
    wires = [wire for node in next(iter(bus.nodes.values())) for wire in net_of(around, node)[1]]
    bus.wires = [(wire.circuit, wire.ends) for wire in wires]
    restate(around, additions, wires)
    additions.pairs += _pairs_among(around, set(bus.circuits))


def _label(driver: Device) -> str:
    label = driver.values.get("label")
    return f", label: {scalar(label)}" if isinstance(label, str) else ""


def _add_device(additions: Additions, part: str, text: str) -> None:
    """Several chapters may draw the same device."""
    if text not in additions.inside[part]:
        additions.inside[part].append(text)


def _terminators(around: Surroundings, nodes: Iterable[Pair]) -> list[Device]:
    touching = (device for pair in nodes for node in pair for device in around.harness.devices.get(node, ()))
    found = {id(device): device for device in touching if device.kind == "terminator" and around.series_of(device)}
    return list(found.values())


def _pairs_among(around: Surroundings, circuits: set[str]) -> list[tuple[str, str]]:
    pairs = (pair.circuits for wiring in around.book.wirings for pair in wiring.pairs)
    return [pair for pair in dict.fromkeys(pairs) if set(pair) <= circuits]


def _draw_new(around: Surroundings, additions: Additions, bus: Bus, modules: list[str]) -> None:
    """From the first module to the last, which close the ends; each one between them hangs on two splices."""
    for module in modules:
        high, low = take_cavities(around, additions, module, count=2)
        bus.nodes[module] = (high, low)
        additions.use(module, high, "BUS H")
        additions.use(module, low, "BUS L")
        additions.inside[module].append(f"{{transceiver: [{high}, {low}], label: bus}}")
    for module in (modules[0], modules[-1]):
        high, low = bus.nodes[module]
        bus.ends[module] = _END_OHMS
        additions.inside[module].append(f"{{terminator: [{high}, {low}], r: {_END_OHMS:g} Ω ± 1 %}}")
    here = bus.nodes[modules[0]]
    for module in modules[1:-1]:
        splices = _splices(around, additions, module)
        _section(around, additions, bus, (here, splices))
        _section(around, additions, bus, (splices, bus.nodes[module]))
        here = splices
    _section(around, additions, bus, (here, bus.nodes[modules[-1]]))


def _splices(around: Surroundings, additions: Additions, module: str) -> Pair:
    names = [around.names.numbered("S") for _ in range(2)]
    for name, line in zip(names, "HL", strict=True):
        additions.splices[name] = f"TODO where the {line} wire to {module} is joined"
    return Point(names[0]), Point(names[1])


def _section(around: Surroundings, additions: Additions, bus: Bus, ends: tuple[Pair, Pair]) -> None:
    """One section of both wires, twisted together."""
    circuits = [around.names.circuit("D") for _ in range(2)]
    for line, (circuit, looks) in enumerate(zip(circuits, _WIRES, strict=True)):
        start, end = ends[0][line], ends[1][line]
        bus.wires.append((circuit, (start, end)))
        additions.wires.append(f"[{start}, {circuit} {looks}, {end}]")
    additions.pairs.append((circuits[0], circuits[1]))
