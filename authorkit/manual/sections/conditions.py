"""What the code means, and when it sets."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.manual.anchors import inside
from authorkit.manual.blocks import Block, Heading, Inlines, Paragraph, Table, words
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
    columns = ("No.", "Condition", *(("Series",) if limited else ()), "Read at")
    rows = tuple(_row(number, condition, limited, scope) for number, condition in enumerate(conditions, start=1))
    widths = (0.6, 6.0, *((0.9,) if limited else ()), 2.5)
    yield Table("Set conditions", columns, rows, inside(scope.code, "table", "sets"), widths=widths)


def _row(number: int, condition: SetCondition, limited: bool, scope: Scope) -> tuple[Inlines, ...]:
    series = (words(scope.series_words(condition.series) or "all"),) if limited else ()
    text = f"{set_condition_words(condition)}."
    if condition.source:
        text += f" Source: {condition.source}."
    return (words(str(number)), scope.inlines(text), *series, words(_read_at(condition, scope)))


def _read_at(condition: SetCondition, scope: Scope) -> str:
    """The cavities at which the module reads the watched value."""
    module, _, value = condition.watch.partition(".")
    cavities = {
        str(device.terminals[0])
        for circuit in scope.circuits.values()
        for device in circuit.devices
        if device.part == module and value and device.values.get("as") == value
    }
    return ", ".join(sorted(cavities)) or ("not electrical" if condition.text else condition.watch)
