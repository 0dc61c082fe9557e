"""A thin wire is fed from the battery or another supply without a fuse in between."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.checks.wiring.sections import Section, section_of, wire_words
from authorkit.checks.wiring.supply_paths import paths_of, wires_from
from authorkit.circuit.harness import with_inner_points_apart
from authorkit.model.point import Point
from authorkit.model.voltage_limits import is_class_b
from authorkit.model.wiring import Feed, Wire, Wiring
from authorkit.problems import Problem
from authorkit.units import as_typed

RULE = "feed-without-fuse"

# Battery, starter and fuse box cables are thick and often have no fuse: common practice, from memory. In m².
BATTERY_CABLE = 10e-6

# A feed below this is the supply of a module's own electronics for sensors, which limits its current itself. In V.
_LEAST_FEED = 9.0


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each wire thinner than a battery cable that a supply reaches past every fuse.

    High-voltage feeds and packs are left out: they are fused inside the battery, at the service disconnect.
    """
    reported: set[Section] = set()
    for series, whole in subject.wholes.items():
        wiring = with_inner_points_apart(whole)
        paths = paths_of(wiring)
        for start in _starts(wiring):
            for wire in wires_from([start], paths, stops_at=BATTERY_CABLE):
                if wire.size.base < BATTERY_CABLE and section_of(wire) not in reported:
                    reported.add(section_of(wire))
                    yield _problem(wire, start, series, subject)


def _starts(wiring: Wiring) -> Iterator[Point]:
    """Feeds at battery voltage and the positive terminals of batteries."""
    yield from (Point(feed.id) for feed in wiring.feeds if _is_strong(feed))
    yield from (device.terminals[0] for device in wiring.devices if device.kind == "battery")


def _is_strong(feed: Feed) -> bool:
    if feed.volts is None:
        return True
    volts = feed.volts.high
    is_high = is_class_b(None, volts) if feed.current == "a.c." else is_class_b(volts, None)
    return volts >= _LEAST_FEED and not is_high


def _problem(wire: Wire, start: Point, series: str, subject: Subject) -> Problem:
    return Problem(
        RULE,
        f"The wire {wire_words(wire)} ({as_typed(wire.size)}) is fed from {start} without a fuse"
        f"{_only(wire, series, subject)}.",
        wire.place,
        found=f"no fuse between {start} and {wire.circuit}",
        expected="a fuse, or a battery cable of 10 mm² or more",
        suggestion="Put a fuse device with its rating between the supply and the wire.",
    )


def _only(wire: Wire, series: str, subject: Subject) -> str:
    return "" if len(subject.holds(wire)) == len(subject.series) else subject.on_series({series})
