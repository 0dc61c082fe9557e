"""The circuit in words, for readers who do not see the picture."""

from __future__ import annotations

from authorkit.drawing.netlist import CUT, Chain, Netlist
from authorkit.drawing.symbols import lines_of
from authorkit.model.device_kinds import DEVICE_KINDS
from authorkit.model.point import Point
from authorkit.model.wiring import Device, Wire
from authorkit.units import show


def describe(netlist: Netlist) -> str:
    """A sentence for the parts, one for each run of wire, one for what lies inside each part."""
    names = [f"{unit.id} {unit.part.name}".strip() for unit in netlist.units]
    sentences = [f"Circuit diagram of {_listed(names)}."] if names else []
    sentences += [_chain(chain, netlist) for chain in netlist.chains]
    for unit in netlist.units:
        inside = [_device(device) for device in unit.devices if device.kind in DEVICE_KINDS]
        if inside:
            sentences.append(f"Inside {unit.id}: {'; '.join(inside)}.")
    for pair in netlist.wiring.pairs:
        sentences.append(f"{pair.circuits[0]} and {pair.circuits[1]} are twisted together.")
    for shield in netlist.wiring.shields:
        drain = f" with drain wire {shield.drain}" if shield.drain else ""
        sentences.append(f"{_listed(list(shield.circuits))} are shielded{drain}.")
    return " ".join(sentences)


def _chain(chain: Chain, netlist: Netlist) -> str:
    """One run of wire as a finger follows it."""
    words = [_point(chain.ends[0], netlist)]
    for number, wire in enumerate(chain.wires):
        same = number and _same(wire, chain.wires[number - 1])
        words.append("" if same else f" by wire {_wire(wire)}")
        if number < len(chain.cavities):
            words.append(f" through {_point(chain.cavities[number], netlist)}")
    return f"{''.join(words)} to {_point(chain.ends[1], netlist)}."


def _same(first: Wire, second: Wire) -> bool:
    return (first.circuit, first.colour, first.size) == (second.circuit, second.colour, second.size)


def _wire(wire: Wire) -> str:
    return f"{wire.circuit} {wire.colour.words} {show(wire.size)}"


def _point(point: Point, netlist: Netlist) -> str:
    kind = netlist.kinds[point]
    if kind in ("pin", "in-line"):
        signal = next((use.signal for use in netlist.wiring.cavities if use.point == point), "")
        return f"{point.owner} cavity {point.cavity}" + (f" ({signal})" if signal else "")
    if kind == "ground":
        location = netlist.location(point.owner)
        return f"ground {point.owner}" + (f" ({location})" if location else "")
    if kind == "feed":
        name = next((feed.name for feed in netlist.wiring.feeds if feed.id == point.owner), "")
        return f"feed {point.owner}" + (f" ({name})" if name else "")
    if kind == "sheet":
        letter, _, sheet = point.owner.removeprefix(CUT).partition(" ")
        return f"mark {letter} on sheet {sheet}"
    return f"splice {point.owner}"


def _device(device: Device) -> str:
    """'thermistor between B5.1 and B5.2', 'pull-up resistor at M1-A.23, 2.49 kΩ'."""
    kind = DEVICE_KINDS[device.kind]
    word = {1: "at", 2: "between"}.get(len(device.terminals), "at")
    said = ", ".join(dict.fromkeys(lines_of(device)))
    where = _listed([str(terminal) for terminal in device.terminals])
    return f"{kind.words} {word} {where}" + (f" ({said})" if said else "")


def _listed(names: list[str]) -> str:
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"
