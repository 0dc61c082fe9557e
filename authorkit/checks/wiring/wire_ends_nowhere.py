"""A wire ends at a name that nothing declares: no connector, splice, ground point or feed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from authorkit.checks.nearest import nearest
from authorkit.checks.subject import Limited, Subject
from authorkit.model.point import Point
from authorkit.model.wiring import Wire
from authorkit.problems import Problem

RULE = "wire-ends-nowhere"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each unknown end in each notebook. A missing cavity is cavity-not-in-connector."""
    for wiring in subject.book.wirings:
        lost: dict[Point, list[Wire]] = defaultdict(list)
        for wire in wiring.wires:
            for point in dict.fromkeys(wire.ends):
                if subject.holds(wire) - _declared(point, subject):
                    lost[point].append(wire)
        for point, wires in lost.items():
            yield _problem(point, wires, subject)


def _records(point: Point, subject: Subject) -> tuple[Limited, ...]:
    harness = subject.harness
    if point.is_cavity:
        return harness.connectors.get(point.owner, ())
    owner = point.owner
    return (*harness.splices.get(owner, ()), *harness.grounds.get(owner, ()), *harness.feeds.get(owner, ()))


def _declared(point: Point, subject: Subject) -> frozenset[str]:
    """The series on which somebody declares the connector, splice, ground point or feed."""
    return frozenset(name for record in _records(point, subject) for name in subject.holds(record))


def _problem(point: Point, wires: list[Wire], subject: Subject) -> Problem:
    wire = wires[0]
    missing = subject.holds(wire) - _declared(point, subject)
    where = subject.on_series(missing) if _records(point, subject) else ""
    return Problem(
        RULE,
        f"The wire {wire.circuit} ends at '{point}', which no notebook declares{where}.",
        wire.place,
        found=str(point),
        expected="a cavity, splice, ground point or feed that is declared",
        suggestion=_suggestion(point, subject),
        also=tuple(dict.fromkeys(other.place for other in wires[1:] if other.place != wire.place)),
    )


def _suggestion(point: Point, subject: Subject) -> str:
    harness = subject.harness
    if point.is_cavity:
        names = (f"{name}.{point.cavity}" for name in harness.connectors)
        return nearest(str(point), names, f"Declare the connector '{point.owner}', or correct its name.")
    if point.owner in harness.parts or point.owner in harness.connectors:
        return f"'{point.owner}' has cavities: write the cavity too, such as '{point.owner}.1'."
    others = (*harness.splices, *harness.grounds, *harness.feeds)
    return nearest(point.owner, others, f"Add '{point.owner}' to the splices or grounds, or correct its name.")
