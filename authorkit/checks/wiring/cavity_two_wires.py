"""Two circuits arrive at one cavity, although a terminal takes one wire."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from authorkit.checks.contradiction import contradictions
from authorkit.checks.subject import Subject
from authorkit.checks.wiring.in_line import in_line_points
from authorkit.checks.wiring.sections import wire_words
from authorkit.model.point import Point
from authorkit.model.wiring import Wire
from authorkit.problems import Problem

RULE = "cavity-two-wires"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each further circuit at a cavity of a part, and for a third wire at an in-line cavity."""
    for point, wires in subject.harness.wires.items():
        connector = subject.harness.connector(point.owner)
        if point.is_cavity and connector is not None and connector.part:
            yield from _at_part(point, wires, subject)
    for point, by_series in in_line_points(subject).items():
        yield from _in_line(point, by_series, subject)


def _at_part(point: Point, wires: tuple[Wire, ...], subject: Subject) -> Iterator[Problem]:
    for found in contradictions(((wire.circuit, wire) for wire in wires), subject):
        yield Problem(
            RULE,
            f"Two circuits arrive at {point}: {found.later} here and {found.earlier} in {found.earlier_place}.",
            found.place,
            found=found.later,
            expected=found.earlier,
            suggestion="Correct the cavity, use one circuit name, or join the wires at a splice.",
            also=found.also,
        )


def _in_line(point: Point, by_series: Mapping[str, tuple[Wire, ...]], subject: Subject) -> Iterator[Problem]:
    """An in-line cavity takes one wire from each side; a second circuit on a side is an error unless declared."""
    connector = subject.harness.connector(point.owner)
    declared = set(connector.colour_change) if connector else set()
    for wires in by_series.values():
        circuits = {wire.circuit for wire in wires}
        if len(wires) > 2 and len(circuits) > 1 and not circuits & declared:
            words = ", ".join(wire_words(wire) for wire in wires[:-1])
            yield Problem(
                RULE,
                f"The in-line cavity {point} takes one wire from each side, but here {wire_words(wires[-1])} "
                f"is added to {words}.",
                wires[-1].place,
                found=f"{len(wires)} wires",
                expected="2 wires, one from each side",
                suggestion=f"Correct the cavity, or declare 'colour-change: [{wires[-1].circuit}]' at {point.owner}.",
                also=tuple(dict.fromkeys(wire.place for wire in wires[:-1])),
            )
            return
