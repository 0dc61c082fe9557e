"""What differs between the series about the circuit of a page."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.manual.anchors import inside
from authorkit.manual.blocks import Block
from authorkit.manual.scope import Scope
from authorkit.manual.sections.circuit import circuit
from authorkit.manual.series_differences import chapter_differences, difference_table
from authorkit.problems import Problem


def circuit_with_differences(scope: Scope) -> Iterator[Block | Problem]:
    """The circuit, then one table of what a technician must not carry over from one series to another."""
    yield from circuit(scope)
    rows = chapter_differences(scope)
    if rows:
        caption = "What differs between the series"
        yield difference_table(rows, tuple(scope.circuits), caption, inside(scope.code, "table", "differences"))
