"""Which names of a verdict are right for a fault: 'K131', 'connector B5', 'G2', 'F3', 'M1'."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from authorkit.circuit.expansion import device_names, wire_names
from authorkit.circuit.faults import Fault
from authorkit.circuit.harness import fuse_id
from authorkit.circuit.netlist import FAR_SIDE, PART_SIDE
from authorkit.model.point import Point, parse_point
from authorkit.model.wiring import Wiring

# Words that may stand before a name in a verdict. A plug often carries the name of the part that it sits on ('B5'):
# only these words tell that the plug is meant.
PLUG_WORDS = ("connector", "plug")
_OTHER_WORDS = ("part", "module", "relay", "cavity", "terminal", "wire", "circuit", "ground", "fuse", "splice", "feed")


def plain_name(text: str) -> str:
    """A name of a verdict in one form: 'wire K131' is 'K131', 'plug B5' is 'connector B5'."""
    word, _, name = text.strip().partition(" ")
    if name and word.lower() in PLUG_WORDS:
        return f"connector {name.strip()}"
    return name.strip() if name and word.lower() in _OTHER_WORDS else text.strip()


def is_right(verdict: Iterable[str], blamed: frozenset[str]) -> bool:
    """Whether some name of a verdict accuses a fault."""
    return any(plain_name(name) in blamed for name in verdict)


@dataclass(frozen=True)
class Blame:
    """What touches what in one circuit, for telling which names accuse a fault."""

    circuits: Mapping[str, frozenset[str]]  # by point: the circuit names of the wires that end there
    fuses: Mapping[str, str]  # by the name of a device in the netlist
    parts: frozenset[str]
    plugged: frozenset[str]  # connectors that sit on a part

    def of(self, fault: Fault) -> frozenset[str]:
        """Every name that a verdict may give for this fault, as `plain_name` writes them."""
        return frozenset(self._names(fault))

    def _names(self, fault: Fault) -> Iterator[str]:
        if fault.accused:
            yield fault.accused
        if fault.kind == "device" and fault.target in self.fuses:
            yield self.fuses[fault.target]
        kind, _, rest = fault.target.partition(":")
        if kind == "wire" and fault.kind == "open":
            yield from self._end(fault.at, rest.partition(":")[0])
        if kind == "contact" or fault.kind in ("short", "swapped"):
            for node in (fault.at or fault.target, fault.other):
                yield from self._contact(node.rpartition("|")[2])

    def _end(self, point: str, circuit: str) -> Iterator[str]:
        """The end of a wire: its terminal belongs to the wire as well as to what it is fixed to."""
        at = parse_point(point)
        yield from (f"{circuit} at {point}", f"{circuit} at {at.owner}")
        yield from self._place(at)

    def _contact(self, node: str) -> Iterator[str]:
        point = node.removesuffix(PART_SIDE).removesuffix(FAR_SIDE)
        for circuit in self.circuits.get(point, ()):
            yield circuit
            yield from self._end(point, circuit)
        if point:
            yield from self._place(parse_point(point))

    def _place(self, at: Point) -> Iterator[str]:
        """A point by its own name: a cavity with its plug, a splice, a ground."""
        yield str(at)
        if at.is_cavity:
            yield f"connector {at.owner}"
        if at.is_cavity and at.owner not in self.plugged:
            yield at.owner


def blame_of(wiring: Wiring) -> Blame:
    """Prepare a circuit."""
    circuits: dict[str, set[str]] = defaultdict(set)
    for _, wire in wire_names(wiring):
        for end in wire.ends:
            circuits[str(end)].add(wire.circuit)
    return Blame(
        {point: frozenset(names) for point, names in circuits.items()},
        {name: fuse_id(device) for name, device in device_names(wiring) if device.kind == "fuse"},
        frozenset(part.id for part in wiring.parts),
        frozenset(connector.id for connector in wiring.connectors if connector.part),
    )
