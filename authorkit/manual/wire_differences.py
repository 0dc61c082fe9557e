"""How the wires of a circuit differ between series: colour, size, length, way."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Iterator, Sequence

from authorkit.model.point import Point
from authorkit.model.wiring import Wire, Wiring
from authorkit.units import show

FITTED, NOT_FITTED = "fitted", "not fitted"


def circuit_differences(wirings: Sequence[Wiring]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Each circuit that differs, with what differs about it in words for each series."""
    common = in_all({connector.id for connector in wiring.connectors} for wiring in wirings)
    circuits = [_by_circuit(wiring) for wiring in wirings]
    for name in dict.fromkeys(name for each in circuits for name in each):
        said = [_attributes(each[name], common) if name in each else None for each in circuits]
        known = [each for each in said if each is not None]
        differing = [n for n, values in enumerate(zip(*known, strict=True)) if len(set(values)) > 1]
        if len(known) < len(said) or differing:
            yield name, tuple(_said(each, differing) for each in said)


def _said(attributes: tuple[str, ...] | None, differing: Sequence[int]) -> str:
    if attributes is None:
        return NOT_FITTED
    return ", ".join(attributes[n] for n in differing) or FITTED


def in_all(names: Iterable[set[str]]) -> set[str]:
    """The names that every set holds."""
    first, *others = names
    return first.intersection(*others)


def _by_circuit(wiring: Wiring) -> dict[str, list[Wire]]:
    found: dict[str, list[Wire]] = {}
    for wire in wiring.wires:
        found.setdefault(wire.circuit, []).append(wire)
    return found


def _attributes(wires: Sequence[Wire], common: set[str]) -> tuple[str, ...]:
    """Colour, size, length, ends and way of a circuit, each as words."""
    colours = " and ".join(dict.fromkeys(str(wire.colour) for wire in wires))
    sizes = " and ".join(dict.fromkeys(show(wire.size) for wire in wires))
    ends = [end for wire in wires for end in wire.ends]
    passed = list(dict.fromkeys(end for end in ends if ends.count(end) > 1))
    last = sorted({_place(end, common) for end in ends if ends.count(end) == 1})
    return colours, sizes, _length(wires), " to ".join(last), _way(passed, common)


def _length(wires: Sequence[Wire]) -> str:
    """The length of all sections together, if each has one in the same unit."""
    lengths = [wire.length for wire in wires]
    units = {length.unit for length in lengths if length is not None}
    if None in lengths or len(units) != 1:
        return "length not stated"
    total = sum(float(length.value) for length in lengths if length is not None)
    return f"{total:.3f}".rstrip("0").rstrip(".") + f"\u202f{units.pop()}"


def _way(passed: Sequence[Point], common: set[str]) -> str:
    """What a circuit passes on its way."""
    through = dict.fromkeys(_place(end, common) for end in passed)
    return f"through {', '.join(through)}" if through else "direct"


def _place(end: Point, common: set[str]) -> str:
    """A cavity; of a connector that not every series has only the connector, so that alike differences look alike."""
    return end.owner if end.is_cavity and end.owner not in common else str(end)


_COUNTED = re.compile(r"^(.*?)(\d+)$")


def listed_names(names: Sequence[str]) -> str:
    """Names in a row, three or more that count up as a range: 'K211, Q401 to Q407'."""
    pieces: list[str] = []
    for run in _runs(names):
        pieces += [f"{run[0]} to {run[-1]}"] if len(run) > 2 else run
    return ", ".join(pieces)


def _runs(names: Sequence[str]) -> Iterator[list[str]]:
    run: list[str] = []
    for before, name in itertools.pairwise(("", *names)):
        if run and not _follows(before, name):
            yield run
            run = []
        run.append(name)
    if run:
        yield run


def _follows(before: str, name: str) -> bool:
    first, second = _COUNTED.match(before), _COUNTED.match(name)
    if not first or not second or first.group(1) != second.group(1):
        return False
    return int(second.group(2)) == int(first.group(2)) + 1
