"""What a verdict may accuse: 'B5', 'K131', 'connector M1-A', 'fuse F4', 'K131 at X12'."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from authorkit.checks.subject import ChapterCircuit
from authorkit.circuit.harness import fuse_id

# Words that may stand before a name, and the kind of name that they introduce.
_KINDS = {
    "part": "part",
    "module": "part",
    "relay": "part",
    "connector": "connector",
    "plug": "connector",
    "cavity": "cavity",
    "terminal": "cavity",
    "wire": "circuit",
    "circuit": "circuit",
    "ground": "ground",
    "fuse": "fuse",
    "splice": "splice",
    "feed": "feed",
}


@dataclass(frozen=True)
class Accusable:
    """Everything that can be at fault in a circuit: names by kind, and for each circuit name the points it touches."""

    by_kind: Mapping[str, frozenset[str]]
    along: Mapping[str, frozenset[str]]

    @property
    def names(self) -> frozenset[str]:
        """Every name that may stand alone."""
        return frozenset[str]().union(*self.by_kind.values())

    def holds(self, text: str) -> bool:
        """Whether a verdict names something of this circuit."""
        thing, at, place = text.partition(" at ")
        if at:
            return self._is_named(thing) and place.strip() in self.along.get(_bare(thing), frozenset())
        return self._is_named(text)

    def _is_named(self, text: str) -> bool:
        kind, bare = _KINDS.get(text.split(" ")[0].lower()), _bare(text)
        if kind is not None and bare != text.strip():
            return bare in self.by_kind[kind]
        return bare in self.names


def accusable(circuit: ChapterCircuit) -> Accusable:
    """Collect the names of a circuit."""
    wiring = circuit.wiring
    along: dict[str, set[str]] = defaultdict(set)
    for wire in wiring.wires:
        for end in wire.ends:
            along[wire.circuit] |= {str(end), end.owner}
    by_kind = {
        "part": {part.id for part in wiring.parts} | {device.name for device in wiring.devices if device.name},
        "circuit": set(along),
        "connector": {connector.id for connector in wiring.connectors},
        "cavity": {str(point) for point in circuit.points if point.is_cavity},
        "ground": {ground.id for ground in wiring.grounds},
        "fuse": {fuse_id(device) for device in wiring.devices if device.kind == "fuse"},
        "splice": {splice.id for splice in wiring.splices},
        "feed": {feed.id for feed in wiring.feeds},
    }
    return Accusable(
        {kind: frozenset(names) for kind, names in by_kind.items()},
        {name: frozenset(points) for name, points in along.items()},
    )


def _bare(text: str) -> str:
    """A name without the word for its kind."""
    word, _, name = text.strip().partition(" ")
    return name.strip() if name and word.lower() in _KINDS else text.strip()
