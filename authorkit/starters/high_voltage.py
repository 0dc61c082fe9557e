"""The high-voltage side of the book: where to prove that it is dead, with what, and at which module."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from authorkit.model.point import Point
from authorkit.model.vehicle import HighVoltage
from authorkit.model.wiring import applies
from authorkit.starters.error import StarterError
from authorkit.starters.surroundings import Surroundings

_HAS_SIGN = {"plus": ("+",), "minus": ("-", "−")}


@dataclass(frozen=True)
class HighVoltageSide:
    """Two cavities of one connector where both poles can be reached, their part, and the vehicle's entry."""

    part: str
    plus: Point
    minus: Point
    entry: HighVoltage


def high_voltage_side(around: Surroundings, module: str | None) -> HighVoltageSide:
    """The poles at a module, or at the first module (then at any part) that has both. Raises StarterError."""
    entry = _entry(around)
    pairs = list(_pairs(around))
    if module is not None:
        mine = [pair for pair in pairs if pair[0] == module]
        if not mine:
            raise StarterError(_no_poles(module, [part for part, _, _ in pairs]))
        pairs = mine
    if not pairs:
        raise StarterError(
            "No connector of the book has two wired high-voltage cavities whose signal names end in + and -, "
            "so there is no place to prove that the circuit is dead: add them to a module of the vehicle notebook."
        )
    part, plus, minus = pairs[0]
    return HighVoltageSide(part, plus, minus, entry)


def _no_poles(module: str, parts: list[str]) -> str:
    others = ", ".join(dict.fromkeys(parts))
    return (
        f"The module {module} has no connector with two wired high-voltage cavities whose signal names hold + and -"
        f"{f' (found at {others})' if others else ''}: choose another one with --module."
    )


def _entry(around: Surroundings) -> HighVoltage:
    """The entry for the chapter's series; several must name the same disconnect and the same meter."""
    entries = []
    for series in around.series:
        found = next((each for each in around.book.vehicle.high_voltage if applies(each.series, series)), None)
        if found is None:
            on = f" for series {series}" if series else ""
            raise StarterError(
                f"This kind of circuit needs a 'high-voltage' entry in the vehicle notebook{on}: the service "
                "disconnect, and the waiting time that the vehicle maker states."
            )
        entries.append(found)
    if len({(entry.disconnect, entry.tool) for entry in entries}) > 1:
        raise StarterError(
            "The series of this chapter have different service disconnects or meters for high voltage: "
            "make a chapter for each with --series."
        )
    return entries[0]


def _pairs(around: Surroundings) -> Iterator[tuple[str, Point, Point]]:
    """Part and poles: modules before other parts, connectors with 'HV' in both signal names before others."""
    modules = list(around.parts_of_kind("module"))
    others = [part for part in around.harness.parts if part not in modules and around.has_part(part)]
    found = [
        pair
        for part in (*modules, *others)
        for plug in around.connectors_of(part)
        for pair in _poles(around, part, plug)
    ]
    named = [pair for pair in found if all("HV" in around.signal_at(point) for point in pair[1:])]
    yield from named
    yield from (pair for pair in found if pair not in named)


def _poles(around: Surroundings, part: str, plug: str) -> Iterator[tuple[str, Point, Point]]:
    """The first wired class B cavity with a plus and the first with a minus in its signal name."""
    cavities = (Point(plug, cavity) for cavity in around.harness.whole_connectors[plug].cavities)
    live = (point for point in cavities if point in around.class_b)
    wired = [point for point in live if around.covered(around.harness.wires.get(point, ()))]
    poles = [
        next((point for point in wired if any(sign in around.signal_at(point) for sign in signs)), None)
        for signs in _HAS_SIGN.values()
    ]
    if poles[0] is not None and poles[1] is not None:
        yield part, poles[0], poles[1]
