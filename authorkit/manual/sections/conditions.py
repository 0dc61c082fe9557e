"""What the code means, and when it sets."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.manual.anchors import inside
from authorkit.manual.blocks import Block, Heading, Inlines, Paragraph, Strong, Table, Text, words
from authorkit.manual.computed import faults_by_series, is_computed, verdict
from authorkit.manual.phrases import set_condition_words
from authorkit.manual.scope import Scope
from authorkit.model.chapter import SECTIONS
from authorkit.model.specification import SetCondition
from authorkit.problems import Problem


def sets(scope: Scope) -> Iterator[Block | Problem]:
    """The set conditions: any one of them is enough."""
    conditions = scope.chapter.sets_when
    yield Heading(2, SECTIONS["sets"], inside(scope.code, "section", "sets"))
    if not conditions:
        yield Paragraph(words("No set condition is stated."))
        return
    if len(conditions) > 1:
        yield Paragraph(words("Any one of these conditions sets the code."))
    limited = any(scope.series_words(condition.series) for condition in conditions)
    read = any(condition.watch for condition in conditions)
    columns = ("No.", "Condition", *(("Series",) if limited else ()), *(("Read at",) if read else ()))
    rows = tuple(
        (words(str(number)), _said(condition, scope), *_beside(condition, (limited, read), scope))
        for number, condition in enumerate(conditions, start=1)
    )
    widths = (0.6, 6.0, *((0.9,) if limited else ()), *((2.5,) if read else ()))
    yield Table("Set conditions", columns, rows, inside(scope.code, "table", "sets"), widths=widths)
    yield from _set_by(scope)


def _set_by(scope: Scope) -> Iterator[Block]:
    """The faults of the circuit that set the code, and those that may, as far as the conditions can be computed."""
    known = [series for series in scope.circuits if is_computed(scope.study(series))]
    for said, wanted in (("Faults that set it", "sets"), ("Faults that may set it", "may set")):
        found = {
            series: [fault for fault in scope.study(series).faults if verdict(scope.study(series), fault.id) == wanted]
            for series in known
        }
        told = faults_by_series(found, scope)
        if told:
            yield Paragraph((Strong((Text(f"{said}:"),)), Text(f" {told}.")))


def _said(condition: SetCondition, scope: Scope) -> Inlines:
    source = f" Source: {condition.source.rstrip('.')}." if condition.source else ""
    return scope.inlines(f"{set_condition_words(condition)}.{source}")


def _beside(condition: SetCondition, columns: tuple[bool, bool], scope: Scope) -> tuple[Inlines, ...]:
    """The series, and the cavity that is read, as far as the table has a column for them."""
    limited, read = columns
    series = (words(scope.series_words(condition.series) or "all"),) if limited else ()
    return (*series, words(_read_at(condition, scope))) if read else series


def _read_at(condition: SetCondition, scope: Scope) -> str:
    """The cavities at which the module reads the watched value; a condition in words says where itself."""
    module, _, value = condition.watch.partition(".")
    cavities = {
        str(device.terminals[0])
        for circuit in scope.circuits.values()
        for device in circuit.devices
        if device.part == module and value and device.values.get("as") == value
    }
    return ", ".join(sorted(cavities)) or condition.watch or "–"
