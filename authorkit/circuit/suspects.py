"""Which of the computed faults an author means by a suspect: 'open K131 at X12', 'blown F3', 'stuck SW5'."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from authorkit.circuit.expansion import device_names, wire_names
from authorkit.circuit.faults import Fault
from authorkit.circuit.harness import fuse_id
from authorkit.circuit.netlist import FAR_SIDE, PART_SIDE
from authorkit.model.point import parse_point
from authorkit.model.wiring import Wiring

# What can be wrong, as a suspect begins, and the words of the devices' own failures that it stands for; None: any.
SUSPICIONS: dict[str, tuple[str, ...] | None] = {
    "open": ("open", "stuck-open", "lost"),
    "short to ground": ("shorted", "internal"),
    "short to battery": (),
    "short to NAME": (),
    "added resistance": ("high", "worn"),
    "shorted": ("shorted",),
    "out of tolerance": ("high", "low"),
    "stuck": ("stuck", "stuck-open", "stuck-closed", "stalled"),
    "lost": ("lost",),
    "blown": ("blown",),
    "internal": None,
}
_WIRED = ("open", "short to ground", "short to battery", "added resistance")
SUSPECT = re.compile(
    r"(?P<what>open|short to ground|short to battery|short to (?P<other>\S+)|added resistance|shorted|out of tolerance"
    r"|stuck|lost|blown|internal)\s+(?P<thing>.+?)(?:\s+at\s+(?P<point>\S+))?"
)


@dataclass(frozen=True)
class _Things:
    """The names by which an author may mean the target of a fault."""

    devices: dict[str, frozenset[str]]
    ending: dict[str, frozenset[str]]

    def of(self, fault: Fault) -> frozenset[str]:
        """A circuit, part, device, ground, feed, cavity or connector."""
        if fault.kind == "device":
            return self.devices.get(fault.target, frozenset())
        kind, _, rest = fault.target.partition(":")
        if kind == "wire":
            return frozenset({rest.partition(":")[0]})
        if kind == "contact":
            return self._touching(rest)
        if fault.kind == "lost":
            return frozenset({rest})
        ends = self._touching(fault.target) | self._touching(fault.other)
        return ends | {fault.accused} if fault.accused else ends

    def _touching(self, node: str) -> frozenset[str]:
        point = node.rpartition("|")[2].removesuffix(PART_SIDE).removesuffix(FAR_SIDE)
        return self.ending.get(point, frozenset()) | {point, parse_point(point).owner} if point else frozenset()


def meant(suspect: str, wiring: Wiring, faults: Iterable[Fault]) -> tuple[Fault, ...]:
    """The faults of a circuit that a suspect names; nothing where it names none of them."""
    found = SUSPECT.fullmatch(suspect.strip())
    if found is None:
        return ()
    names, point, other = set(found["thing"].split()), found["point"], found["other"]
    what = "short to NAME" if other and other not in ("ground", "battery") else found["what"]
    things = _things(wiring)
    return tuple(
        fault
        for fault in faults
        if _is_kind(fault, what)
        and names & things.of(fault)
        and (point is None or _is_at(fault, point))
        and (what != "short to NAME" or other in things.of(fault))
    )


def _is_kind(fault: Fault, what: str) -> bool:
    if fault.kind == "device":
        words = SUSPICIONS[what]
        return words is None or fault.at in words
    if what == "short to NAME":
        return fault.kind == "short"
    return fault.kind == what and (what in _WIRED or what == "lost")


def _is_at(fault: Fault, point: str) -> bool:
    """Whether a fault sits at a cavity, or at any cavity of a connector; what is open is open at one end only."""
    places = {fault.at} if fault.kind == "open" else {fault.at, *fault.target.split(":")[1:]}
    return any(point in (place, parse_point(place).owner) for place in places if place)


def _things(wiring: Wiring) -> _Things:
    devices = {}
    for name, device in device_names(wiring):
        own = {device.part, device.name, fuse_id(device) if device.kind == "fuse" else ""}
        devices[name] = frozenset(own - {""})
    ending: dict[str, set[str]] = {}
    for _, wire in wire_names(wiring):
        for end in wire.ends:
            ending.setdefault(str(end), set()).add(wire.circuit)
    return _Things(devices, {point: frozenset(names) for point, names in ending.items()})
