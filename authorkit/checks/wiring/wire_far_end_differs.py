"""A circuit leaves one cavity in two notebooks, but arrives at different ends."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping

from authorkit.checks.subject import Subject
from authorkit.checks.wiring.sections import far_end
from authorkit.model.point import Point
from authorkit.model.wiring import Wire
from authorkit.problems import Problem

RULE = "wire-far-end-differs"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each further far end.

    Two wires of one circuit in one notebook are two wires in one terminal, drawn on purpose; another notebook that
    shows only one of them contradicts nobody. An in-line cavity has two far ends, one on each side.
    """
    for point, wires in subject.harness.wires.items():
        connector = subject.harness.connector(point.owner)
        if not point.is_cavity or connector is None:
            continue
        for mentions in _by_circuit(wires).values():
            ends = _by_far_end(point, mentions)
            yield from _contradictions(point, ends, 2 if connector.in_line else 1, subject)


def _by_circuit(wires: tuple[Wire, ...]) -> Mapping[str, list[Wire]]:
    found: dict[str, list[Wire]] = defaultdict(list)
    for wire in wires:
        found[wire.circuit].append(wire)
    return found


def _by_far_end(point: Point, wires: list[Wire]) -> Mapping[Point, list[Wire]]:
    found: dict[Point, list[Wire]] = defaultdict(list)
    for wire in wires:
        found[far_end(wire, point)].append(wire)
    return found


def _contradictions(point: Point, ends: Mapping[Point, list[Wire]], sides: int, subject: Subject) -> Iterator[Problem]:
    names = list(ends)
    for number, later in enumerate(names):
        rivals = [end for end in names[:number] if not _go_together(ends[end], ends[later])]
        pair = _first_overlap([ends[end] for end in rivals], ends[later], subject)
        if pair is None or number < sides:
            continue
        before, after = pair
        yield Problem(
            RULE,
            f"{after.circuit} goes from {point} to {later} here, but to {far_end(before, point)} in {before.place}.",
            after.place,
            found=str(later),
            expected=str(far_end(before, point)),
            suggestion="Correct one of them, or draw both wires if two share the terminal.",
            also=(before.place,),
        )


def _go_together(first: list[Wire], second: list[Wire]) -> bool:
    """Whether one notebook knows both wires."""
    return not {wire.place.file for wire in first}.isdisjoint(wire.place.file for wire in second)


def _first_overlap(rivals: list[list[Wire]], wires: list[Wire], subject: Subject) -> tuple[Wire, Wire] | None:
    """The first two mentions that hold on a common series."""
    for after in wires:
        for rival in rivals:
            for before in rival:
                if subject.holds(before) & subject.holds(after):
                    return before, after
    return None
