"""What a reading other than the healthy one means: the faults that give it, and those that no reading shows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from authorkit.circuit.fault_words import fault_words
from authorkit.circuit.faults import Fault
from authorkit.circuit.measurement import Reading, inside
from authorkit.circuit.reading_words import limit_words
from authorkit.circuit.study import Question, Study
from authorkit.manual.anchors import inside as inside_anchor
from authorkit.manual.blocks import Block, Heading, Inlines, Paragraph, Strong, Table, Text, words
from authorkit.manual.computed import alike, is_computed, is_relative, may_set, questions_of, range_words
from authorkit.manual.scope import Scope
from authorkit.model.specification import Spec

# What is no reading at all.
_NOTHING = ("undetermined", "not converged", "chatter")


@dataclass(frozen=True)
class Group:
    """One line: what the meter shows, and what to think of."""

    shows: str
    think_of: str


def otherwise(scope: Scope) -> Iterator[Block]:
    """The table of readings that are not healthy, and what no reading shows."""
    rows: list[tuple[str, str, Group]] = []
    every = tuple(scope.circuits)
    for number, spec in enumerate(scope.chapter.specs, start=1):
        told = {
            series: groups_of(scope.study(series), question, spec)
            for series, question in questions_of(scope, spec).items()
        }
        for series, groups in alike(told):
            limit = "" if len(series) == len(every) or len(series) == len(told) else ", ".join(series)
            rows += [(str(number), limit, group) for group in groups]
    if rows:
        yield Heading(3, "If you read something else")
        yield _table(rows, scope)
    yield from _unseen(scope)


def _table(rows: list[tuple[str, str, Group]], scope: Scope) -> Table:
    limited = any(series for _, series, _ in rows)
    cells: list[tuple[Inlines, ...]] = [
        (
            words(number),
            (Strong((Text(group.shows),)),),
            words(group.think_of),
            *((words(series or "all"),) if limited else ()),
        )
        for number, series, group in rows
    ]
    columns = ("No.", "The meter shows", "Think of", *(("Series",) if limited else ()))
    widths = (0.6, 2.4, 8.0, *((0.9,) if limited else ()))
    anchor = inside_anchor(scope.code, "table", "otherwise")
    return Table("Readings that are not healthy", columns, tuple(cells), anchor, widths=widths)


def groups_of(study: Study, question: Question, spec: Spec) -> tuple[Group, ...]:
    """The faults that may set the code and are seen here, by what the meter shows; what overlaps is one group."""
    sound = study.reading(question)
    if sound is None:
        return ()
    seen = [
        (fault, reading)
        for fault in may_set(study)
        if (reading := study.reading(question, fault.id)) is not None and is_seen(reading, spec)
    ]
    return tuple(
        Group(range_words([reading for _, reading in group], spec.reads, sound), _named(group, study))
        for group in _grouped(seen, relative=is_relative(spec.reads))
    )


def _named(group: Iterable[tuple[Fault, Reading]], study: Study) -> str:
    return fault_words([fault for fault, _ in group], study.faults)


def is_seen(reading: Reading, spec: Spec) -> bool:
    """Whether a reading does not pass for a healthy one, or not always."""
    return reading.status not in _NOTHING and inside(reading, spec.reads) != "inside"


def _grouped(seen: list[tuple[Fault, Reading]], *, relative: bool) -> list[list[tuple[Fault, Reading]]]:
    """Readings without a number by what is shown instead, the others where their limits overlap, the lowest first."""
    shown: dict[str, list[tuple[Fault, Reading]]] = {}
    for each in seen:
        if each[1].low is None:
            shown.setdefault(limit_words(each[1]), []).append(each)
    ranges: list[list[tuple[Fault, Reading]]] = []
    top = float("-inf")
    measured = [each for each in seen if each[1].low is not None]
    for each in sorted(measured, key=lambda each: _limits(each[1], relative=relative)):
        low, high = _limits(each[1], relative=relative)
        if not ranges or low > top:
            ranges.append([])
        ranges[-1].append(each)
        top = max(top, high)
    place = {fault.id: number for number, (fault, _) in enumerate(seen)}
    return [sorted(group, key=lambda each: place[each[0].id]) for group in (*ranges, *shown.values())]


def _limits(reading: Reading, *, relative: bool) -> tuple[float, float]:
    if relative and reading.over_battery is not None:
        return reading.over_battery
    assert reading.low is not None
    assert reading.high is not None
    return reading.low, reading.high


def _unseen(scope: Scope) -> Iterator[Block]:
    """The faults that may set the code and leave every reading of the page healthy."""
    told = {series: _hidden(series, scope) for series in scope.circuits}
    found = alike({series: said for series, said in told.items() if said})
    for series, said in found:
        where = "" if len(series) == len(scope.circuits) else f" on Series {' and '.join(series)}"
        yield Paragraph((Strong((Text(f"No reading of this page shows{where}:"),)), Text(f" {said}.")))


def _hidden(series: str, scope: Scope) -> str:
    study = scope.study(series)
    asked = [
        (spec, questions[series]) for spec in scope.chapter.specs if series in (questions := questions_of(scope, spec))
    ]
    if not asked or not is_computed(study):
        return ""
    hidden = [
        fault
        for fault in may_set(study)
        if not any(
            (reading := study.reading(question, fault.id)) is not None and is_seen(reading, spec)
            for spec, question in asked
        )
    ]
    return fault_words(hidden, study.faults)
