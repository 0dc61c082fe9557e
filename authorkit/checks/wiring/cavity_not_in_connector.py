"""A fact names a cavity that the layout of its connector lacks, or a device sits at an unknown connector."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping

from authorkit.checks.nearest import listed, nearest
from authorkit.checks.subject import Subject
from authorkit.circuit.harness import device_points
from authorkit.model.point import Point
from authorkit.model.wiring import Connector, Limited, Wiring
from authorkit.problems import Place, Problem

RULE = "cavity-not-in-connector"

# The cavities of one connector for each series that has a layout.
Layouts = Mapping[str, set[str]]


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such cavity in each notebook, at its first mention."""
    layouts = {name: _by_series(records, subject) for name, records in subject.harness.connectors.items()}
    for wiring in subject.book.wirings:
        places: dict[Point, list[Place]] = defaultdict(list)
        for point, fact in _mentions(wiring, subject):
            if point.is_cavity and _is_missing(point, subject.holds(fact), layouts):
                places[point].append(fact.place)
        for point, found in places.items():
            yield _problem(point, found, subject)


def _mentions(wiring: Wiring, subject: Subject) -> Iterator[tuple[Point, Limited]]:
    """Every cavity that a notebook names, with the fact that names it."""
    for use in wiring.cavities:
        yield use.point, use
    for connector in wiring.connectors:
        yield from ((Point(connector.id, cavity), connector) for cavity in connector.large)
    for wire in wiring.wires:
        # A wire to an unknown connector is wire-ends-nowhere.
        yield from ((point, wire) for point in wire.ends if point.owner in subject.harness.connectors)
    for device in wiring.devices:
        yield from ((point, device) for point in device_points(device) if point.is_cavity)


def _is_missing(point: Point, holds: frozenset[str], layouts: Mapping[str, Layouts]) -> bool:
    """Whether on some of these series every layout lacks the cavity, or nobody knows the connector."""
    if point.owner not in layouts:
        return True
    cavities = layouts[point.owner]
    return any(series in cavities and point.cavity not in cavities[series] for series in holds)


def _by_series(records: tuple[Connector, ...], subject: Subject) -> Layouts:
    """All cavities that any layout gives, for each series that has a layout."""
    found: dict[str, set[str]] = defaultdict(set)
    for record in records:
        if record.rows:
            for series in subject.holds(record):
                found[series].update(record.cavities)
    return found


def _problem(point: Point, places: list[Place], subject: Subject) -> Problem:
    records = subject.harness.connectors.get(point.owner, ())
    layout = next((record for record in records if record.rows), None)
    if layout is None:
        names = list(subject.harness.connectors)
        return Problem(
            RULE,
            f"There is no connector '{point.owner}' for the cavity '{point}'.",
            places[0],
            found=point.owner,
            expected=listed(names),
            suggestion=nearest(point.owner, names, f"Add '{point.owner}' to the connectors of the part."),
            also=tuple(dict.fromkeys(places[1:])),
        )
    return Problem(
        RULE,
        f"The connector {point.owner} has no cavity '{point.cavity}'.",
        places[0],
        found=str(point),
        expected=listed(layout.cavities),
        suggestion=nearest(point.cavity, layout.cavities, f"Correct the cavity, or the rows of {point.owner}."),
        also=tuple(dict.fromkeys(place for place in (layout.place, *places[1:]) if place != places[0])),
    )
