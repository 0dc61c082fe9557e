"""Two places describe one connector differently: its rows, the side it is seen from, or the part it plugs into."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.contradiction import Contradiction, contradictions
from authorkit.checks.subject import Subject
from authorkit.model.wiring import Connector
from authorkit.problems import Problem

RULE = "connector-two-layouts"

Rows = tuple[tuple[str, ...], ...]


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each further layout, view or part of a connector."""
    for name, records in subject.harness.connectors.items():
        drawn = [record for record in records if record.rows]
        for rows in contradictions(((record.rows, record) for record in drawn), subject):
            yield _rows_problem(name, rows)
        for view in contradictions(((record.view, record) for record in drawn), subject):
            yield _problem(name, "is seen from", view, "Describe it from one side, or in one place only.")
        for part in contradictions(_plugged(records), subject):
            yield _problem(name, "plugs into", part, "Name the connector under one part, or give it a name of its own.")


def _plugged(records: tuple[Connector, ...]) -> list[tuple[str, Connector]]:
    return [(record.part, record) for record in records if record.part]


def _rows_problem(name: str, rows: Contradiction[Rows]) -> Problem:
    return Problem(
        RULE,
        f"The connector {name} has {_rows_words(rows.later)} here and {_rows_words(rows.earlier)} "
        f"in {rows.earlier_place}.",
        rows.place,
        found=_rows_text(rows.later),
        expected=_rows_text(rows.earlier),
        suggestion="Describe its rows in one place only, best in the vehicle notebook.",
        also=rows.also,
    )


def _problem(name: str, says: str, found: Contradiction[str], suggestion: str) -> Problem:
    return Problem(
        RULE,
        f"The connector {name} {says} {found.later} here and {found.earlier} in {found.earlier_place}.",
        found.place,
        found=found.later,
        expected=found.earlier,
        suggestion=suggestion,
        also=found.also,
    )


def _rows_words(rows: Rows) -> str:
    cavities = sum(1 for row in rows for cavity in row if cavity)
    return f"{cavities} cavities in {len(rows)} row{'s' if len(rows) > 1 else ''}"


def _rows_text(rows: Rows) -> str:
    """Each row by its first and last cavity: '1 to 16 / 17 to 32'."""
    return " / ".join(f"{row[0] or '_'} to {row[-1] or '_'}" for row in rows)
