"""The wires at each cavity of an in-line connector, one for each place they come from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from authorkit.checks.subject import Subject
from authorkit.checks.wiring.sections import far_end
from authorkit.model.point import Point
from authorkit.model.wiring import Wire


def in_line_points(subject: Subject) -> Mapping[Point, Mapping[str, tuple[Wire, ...]]]:
    """For each in-line cavity and series the first mention of each wire there, told apart by its far end.

    A sound cavity has two: one on each side.
    """
    return {
        point: by_series
        for point, wires in subject.harness.wires.items()
        if _is_in_line(point, subject) and (by_series := dict(_by_series(point, wires, subject)))
    }


def _is_in_line(point: Point, subject: Subject) -> bool:
    connector = subject.harness.connector(point.owner) if point.is_cavity else None
    return connector is not None and connector.in_line


def _by_series(point: Point, wires: tuple[Wire, ...], subject: Subject) -> Iterator[tuple[str, tuple[Wire, ...]]]:
    for series in subject.series:
        by_far_end: dict[Point, Wire] = {}
        for wire in wires:
            if series in subject.holds(wire):
                by_far_end.setdefault(far_end(wire, point), wire)
        if by_far_end:
            yield series, tuple(by_far_end.values())
