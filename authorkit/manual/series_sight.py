"""The part of a whole vehicle's wiring on one series that concerns the names of one page."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from authorkit.circuit.harness import device_points
from authorkit.model.wiring import Wiring

# What each kind of record is asked for by.
_ASKED_BY: dict[str, Callable[[Any], Iterable[str]]] = {
    "parts": lambda part: (part.id,),
    "connectors": lambda body: (body.id,),
    "splices": lambda splice: (splice.id,),
    "grounds": lambda ground: (ground.id,),
    "feeds": lambda feed: (feed.id,),
    "networks": lambda network: (network.id,),
    "cavities": lambda use: (use.point.owner,),
    "wires": lambda wire: (wire.circuit,),
    "devices": lambda device: [point.owner for point in device_points(device)],
}


@dataclass(frozen=True)
class SeriesSight:
    """The wiring of a vehicle on one series, ready to be asked."""

    wiring: Wiring

    def of(self, names: Iterable[str], circuits: Iterable[str]) -> Wiring:
        """All records of these parts, plugs and other names, all wires of these circuits, in the order of the book.

        With a wire come the connectors it passes, with a connector or a device its part.
        """
        names = set(names)
        wires = self._found("wires", circuits)
        passed = {end.owner for wire in wires for end in wire.ends}
        bodies, devices = self._found("connectors", names | passed), self._found("devices", names)
        parts = names | {record.part for record in (*bodies, *devices)}
        rest = {field: self._found(field, names) for field in ("splices", "grounds", "feeds", "networks", "cavities")}
        return Wiring(parts=self._found("parts", parts), connectors=bodies, wires=wires, devices=devices, **rest)

    def _found(self, field: str, names: Iterable[str]) -> tuple[Any, ...]:
        known = self._positions[field]
        positions = {at for name in names for at in known.get(name, ())}
        records = getattr(self.wiring, field)
        return tuple(records[at] for at in sorted(positions))

    @cached_property
    def _positions(self) -> Mapping[str, Mapping[str, list[int]]]:
        found: dict[str, dict[str, list[int]]] = {field: defaultdict(list) for field in _ASKED_BY}
        for field, asked_by in _ASKED_BY.items():
            for at, record in enumerate(getattr(self.wiring, field)):
                for name in set(asked_by(record)):
                    found[field][name].append(at)
        return found
