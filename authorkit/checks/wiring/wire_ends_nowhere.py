"""A wire ends at a name that nothing declares: no connector, splice, ground point or feed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping

from authorkit.checks.nearest import nearest
from authorkit.checks.subject import Subject
from authorkit.model.point import Point
from authorkit.model.wiring import Limited, Wire
from authorkit.problems import Problem

RULE = "wire-ends-nowhere"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each unknown end in each notebook. A missing cavity is cavity-not-in-connector."""
    plugs, nodes = _declared(subject)
    for wiring in subject.book.wirings:
        lost: dict[Point, list[Wire]] = defaultdict(list)
        for wire in wiring.wires:
            for point in dict.fromkeys(wire.ends):
                known = (plugs if point.is_cavity else nodes).get(point.owner, frozenset())
                if subject.holds(wire) - known:
                    lost[point].append(wire)
        for point, wires in lost.items():
            known = (plugs if point.is_cavity else nodes).get(point.owner, frozenset())
            yield _problem(point, wires, known, subject)


def _declared(subject: Subject) -> tuple[dict[str, frozenset[str]], dict[str, frozenset[str]]]:
    """The series on which somebody declares each connector, and each splice, ground point or feed."""
    harness = subject.harness

    def held(tables: Iterable[Mapping[str, tuple[Limited, ...]]]) -> dict[str, frozenset[str]]:
        found: dict[str, frozenset[str]] = {}
        for table in tables:
            for name, records in table.items():
                found[name] = found.get(name, frozenset()).union(*(subject.holds(record) for record in records))
        return found

    return held([harness.connectors]), held([harness.splices, harness.grounds, harness.feeds])


def _problem(point: Point, wires: list[Wire], known: frozenset[str], subject: Subject) -> Problem:
    wire = wires[0]
    where = subject.on_series(subject.holds(wire) - known) if known else ""
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
