"""A wire changes its colour, size or circuit name at an in-line connector that does not say so."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.checks.wiring.in_line import in_line_points
from authorkit.model.wiring import Wire
from authorkit.problems import Problem
from authorkit.units import as_typed

RULE = "in-line-colour-change"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each cavity whose two wires differ, unless `colour-change` names one of the circuits."""
    for point, by_series in in_line_points(subject).items():
        connector = subject.harness.connector(point.owner)
        declared = set(connector.colour_change) if connector else set()
        for wires in by_series.values():
            if len(wires) != 2 or _looks(wires[0]) == _looks(wires[1]):
                continue
            before, after = wires
            if not declared & {before.circuit, after.circuit}:
                yield Problem(
                    RULE,
                    f"At the in-line cavity {point} the wire {_words(before)} goes on as {_words(after)}.",
                    after.place,
                    found=_words(after),
                    expected=_words(before),
                    suggestion=f"Correct one side, or declare 'colour-change: [{after.circuit}]' at {point.owner}.",
                    also=(before.place,) if before.place != after.place else (),
                )
                break


def _looks(wire: Wire) -> tuple[str, str, float]:
    return wire.circuit, str(wire.colour), wire.size.base


def _words(wire: Wire) -> str:
    return f"{wire.circuit} {wire.colour} {as_typed(wire.size)}"
