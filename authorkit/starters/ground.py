"""The way from a module to a ground point."""

from __future__ import annotations

from dataclasses import dataclass

from authorkit.model.point import Point
from authorkit.starters.additions import Additions
from authorkit.starters.cavities import take_cavities
from authorkit.starters.paths import end_of, path_to, restate
from authorkit.starters.surroundings import Surroundings
from authorkit.starters.template import scalar

_GROUND = "GND"


@dataclass(frozen=True)
class Grounding:
    """The module's ground cavity, the circuit name of the wire there, and the ground point that it leads to."""

    cavity: Point
    wire: str
    ground: str


@dataclass(frozen=True)
class ModuleCavities:
    """Cavities for a module's signals, all in one connector, and its way to ground."""

    signals: tuple[Point, ...]
    grounding: Grounding


def module_cavities(around: Surroundings, additions: Additions, module: str, *, count: int) -> ModuleCavities:
    """Free cavities for `count` signals, and the module's ground: its own, or one more free cavity wired to a bolt."""
    found = existing_ground(around, additions, module)
    if found is not None:
        signals = take_cavities(around, additions, module, count=count) if count else ()
        return ModuleCavities(signals, found)
    taken = take_cavities(around, additions, module, count=count + 1)
    return ModuleCavities(taken[:-1], _new_ground(around, additions, module, taken[-1]))


def existing_ground(around: Surroundings, additions: Additions, module: str) -> Grounding | None:
    """The module's shortest way to a ground point, first in the vehicle notebook, then in the chapters."""
    for only_shared in (True, False):
        ways = [
            (point, way)
            for point in _cavities(around, module)
            if (way := path_to(around, point, lambda end: _is_ground(around, end), only_shared=only_shared))
        ]
        if ways:
            cavity, way = min(ways, key=lambda found: len(found[1]))
            additions.use(module, cavity, around.signal_at(cavity) or _GROUND)
            restate(around, additions, way)
            return Grounding(cavity, way[0].circuit, end_of(way, cavity).owner)
    return None


def ground_point(around: Surroundings, additions: Additions) -> str:
    """The first ground point of the book that all vehicles of the chapter have, or a new one."""
    for name, records in around.harness.grounds.items():
        if around.covered(records):
            if not any(around.is_shared(record) for record in records):
                additions.grounds[name] = scalar(records[0].location)
            return name
    name = around.names.numbered("G")
    additions.grounds[name] = "TODO where this ground point is"
    return name


def _new_ground(around: Surroundings, additions: Additions, module: str, cavity: Point) -> Grounding:
    ground = ground_point(around, additions)
    additions.use(module, cavity, _GROUND)
    wire = around.names.circuit("Z")
    additions.wires.append(f"[{cavity}, {wire} BN 1.5 mm2, {ground}]")
    return Grounding(cavity, wire, ground)


def _cavities(around: Surroundings, module: str) -> list[Point]:
    """The wired cavities of a module outside of the high-voltage circuit, in the order of the book."""
    plugs = set(around.connectors_of(module))
    points = (point for point in around.harness.wires if point.is_cavity and point.owner in plugs)
    return [point for point in points if point not in around.class_b]


def _is_ground(around: Surroundings, point: Point) -> bool:
    return not point.is_cavity and point.owner in around.harness.grounds
