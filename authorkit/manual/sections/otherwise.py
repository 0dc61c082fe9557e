"""What a reading other than the healthy one means: the faults that give it, and those that no reading shows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from authorkit.circuit.faults import Fault
from authorkit.circuit.measurement import Reading, inside
from authorkit.circuit.reading_words import limit_words
from authorkit.manual.anchors import inside as inside_anchor
from authorkit.manual.blocks import Block, Heading, Inlines, Paragraph, Strong, Table, Text, words
from authorkit.manual.computed import faults_by_series, is_computed, is_relative, may_set, questions_of, range_words
from authorkit.manual.scope import Scope
from authorkit.model.specification import Spec

# What is no reading at all.
_NOTHING = ("undetermined", "not converged", "chatter")


# Lines for all readings of a page together, and the fewest for one reading that has several.
_MOST_ROWS = 56
_FEWEST = 4
_CLOSE = 0.02  # of the healthy reading: nobody tells apart what is nearer


@dataclass(frozen=True)
class Seen:
    """A fault of one series that a reading shows."""

    series: str
    fault: Fault
    reading: Reading
    limits: tuple[float, float] | None


def otherwise(scope: Scope) -> Iterator[Block]:
    """The table of readings that are not healthy, and what no reading shows."""
    seen = {number: seen_by(spec, scope) for number, spec in enumerate(scope.chapter.specs, start=1)}
    telling = sum(1 for found in seen.values() if found)
    rows: list[tuple[Inlines, ...]] = []
    for number, spec in enumerate(scope.chapter.specs, start=1):
        most = max(_FEWEST, _MOST_ROWS // telling) if telling else 0
        for shows, think_of in _lines(spec, seen[number], most, scope):
            rows.append((words(str(number)), (Strong((Text(shows),)),), words(think_of)))
    if rows:
        yield Heading(3, "If you read something else")
        anchor = inside_anchor(scope.code, "table", "otherwise")
        columns = ("No.", "The meter shows", "Think of")
        yield Table("Readings that are not healthy", columns, tuple(rows), anchor, widths=(0.6, 2.4, 8.0))
    yield from _unseen(scope, [each for found in seen.values() for each in found])


def seen_by(spec: Spec, scope: Scope) -> list[Seen]:
    """The faults that may set the code and do not pass for healthy at a spec, on each of its series."""
    relative = is_relative(spec.reads)
    found = []
    for series, question in questions_of(scope, spec).items():
        study = scope.study(series)
        for fault in may_set(study):
            reading = study.reading(question, fault.id)
            if reading is not None and is_seen(reading, spec):
                found.append(Seen(series, fault, reading, _limits(reading, relative=relative)))
    return found


def is_seen(reading: Reading, spec: Spec) -> bool:
    """Whether a reading does not pass for a healthy one, or not always."""
    return reading.status not in _NOTHING and inside(reading, spec.reads) != "inside"


def _limits(reading: Reading, *, relative: bool) -> tuple[float, float] | None:
    if reading.low is None or reading.high is None:
        return None
    return reading.over_battery if relative and reading.over_battery is not None else (reading.low, reading.high)


def _lines(spec: Spec, seen: list[Seen], most: int, scope: Scope) -> Iterator[tuple[str, str]]:
    """What the meter shows and what to think of, for each group of faults."""
    questions = questions_of(scope, spec)
    given = [scope.study(series).reading(question) for series, question in questions.items()]
    sound = [reading for reading in given if reading is not None]
    healthy = [limits for each in sound if (limits := _limits(each, relative=is_relative(spec.reads))) is not None]
    measured, shown = _by_range(seen), _by_word(seen)
    for group in (*_fewer(measured, max(most - len(shown), 2), healthy), *shown):
        meant = {(each.series, each.fault.id) for each in group}
        faults = {
            series: [fault for fault in scope.study(series).faults if (series, fault.id) in meant]
            for series in questions
        }
        told = {series: found for series, found in faults.items() if found}
        words_of_group = faults_by_series(told if len(told) == len(faults) else faults, scope)
        yield range_words([each.reading for each in group], spec.reads, sound), words_of_group


def _by_word(seen: list[Seen]) -> list[list[Seen]]:
    """Readings without a number by what is shown instead."""
    groups: dict[str, list[Seen]] = {}
    for each in seen:
        if each.limits is None:
            groups.setdefault(limit_words(each.reading), []).append(each)
    return list(groups.values())


def _by_range(seen: list[Seen]) -> list[list[Seen]]:
    """Readings with limits, those that overlap together, the lowest first."""
    groups: list[list[Seen]] = []
    measured = [(each.limits, each) for each in seen if each.limits is not None]
    for (low, _), each in sorted(measured, key=lambda item: item[0]):
        if not groups or low > _top(groups[-1]):
            groups.append([])
        groups[-1].append(each)
    return groups


def _fewer(groups: list[list[Seen]], most: int, healthy: list[tuple[float, float]]) -> list[list[Seen]]:
    """Groups that nobody tells apart as one, and at most so many: the nearest to each other are put together.

    None is put together with one from the other side of what is healthy, or with one that reaches into it.
    """
    low = min((low for low, _ in healthy), default=0.0)
    high = max((high for _, high in healthy), default=0.0)
    close = _CLOSE * max(abs(low), abs(high))
    groups = list(groups)
    while gaps := [
        (_bottom(upper) - _top(lower), at)
        for at, (lower, upper) in enumerate(pairwise(groups))
        if _top(upper) < low or _bottom(lower) > high
    ]:
        gap, at = min(gaps)
        if gap > close and len(groups) <= most:
            break
        groups[at : at + 2] = [groups[at] + groups[at + 1]]
    return groups


def _top(group: list[Seen]) -> float:
    return max(each.limits[1] for each in group if each.limits is not None)


def _bottom(group: list[Seen]) -> float:
    return min(each.limits[0] for each in group if each.limits is not None)


def _unseen(scope: Scope, seen: list[Seen]) -> Iterator[Block]:
    """The faults that may set the code and leave every reading of the page healthy."""
    shown = {(each.series, each.fault.id) for each in seen}
    hidden = {
        series: [fault for fault in may_set(scope.study(series)) if (series, fault.id) not in shown]
        for series in scope.circuits
        if _is_read(series, scope)
    }
    said = faults_by_series(hidden, scope)
    if said:
        yield Paragraph((Strong((Text("No reading of this page shows:"),)), Text(f" {said}.")))


def _is_read(series: str, scope: Scope) -> bool:
    """Whether the page reads something on a series, and it is known what sets the code."""
    return is_computed(scope.study(series)) and any(series in questions_of(scope, spec) for spec in scope.chapter.specs)
