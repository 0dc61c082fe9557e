"""What a voltmeter shows at each point of the sound circuit, in each state that the chapter names."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from authorkit.circuit.measurement import Measurement, Reading
from authorkit.circuit.reading_words import limit_words
from authorkit.circuit.study import Study
from authorkit.manual.anchors import inside
from authorkit.manual.blocks import Block, Heading, Inline, Inlines, LineBreak, Paragraph, Table, Text, words
from authorkit.manual.computed import alike, short_range
from authorkit.manual.phrases import point_words, state_words
from authorkit.manual.scope import Scope
from authorkit.model.point import parse_point

# Points that differ by no more than this are one row: what a length of sound wire drops.
_SAME = 0.02  # V
_MOST_STATES = 5  # columns of readings that a page takes beside the points
_MOST_ROWS = 24  # rows that leave room for the rest of a page


@dataclass(frozen=True)
class Row:
    """Points that read the same in every state, and what they read."""

    points: tuple[str, ...]
    cells: tuple[str, ...]


def test_points(scope: Scope) -> Iterator[Block]:
    """One table for the series with equal circuits."""
    told = {series: _rows(scope.study(series), scope) for series in scope.circuits}
    for series, (states, rows) in alike({name: each for name, each in told.items() if each[1]}):
        if series[0] == next(iter(told)):
            yield Heading(3, "Each test point, healthy")
        study = scope.study(series[0])
        ground = next(iter(_cavities(study, states[0])))[0].to
        where = "" if len(series) == len(scope.circuits) else f", Series {' and '.join(series)}"
        for start in range(0, len(states), _MOST_STATES):
            shown = slice(start, start + _MOST_STATES)
            yield _table(
                (states[shown], [Row(row.points, row.cells[shown]) for row in rows]), (ground, where), scope, study
            )
        if len(rows) > _MOST_ROWS:
            left_out = [point for row in rows[_MOST_ROWS:] for point in row.points]
            yield Paragraph(words(f"Not in the table: {', '.join(left_out)}."), "note")
    if any(each[1] for each in told.values()) and scope.class_b:
        yield Paragraph(words("Points that can carry high voltage are not in the table."), "note")


def _table(told: tuple[tuple[str, ...], list[Row]], names: tuple[str, str], scope: Scope, study: Study) -> Table:
    (states, rows), (ground, where) = told, names
    cells = tuple((_points(row.points, scope), *map(words, row.cells)) for row in rows[:_MOST_ROWS])
    key = inside(scope.code, "table", f"points{where}-{states[0]}")
    heads = tuple(f"{name}: {state_words(study.states[name])}" for name in states)
    widths = (2.6, *(2.0 for _ in states))
    return Table(f"Volts to {ground}, healthy{where}", ("Point", *heads), cells, key, widths=widths)


def _points(points: Iterable[str], scope: Scope) -> Inlines:
    pieces: list[Inline] = []
    for point in points:
        pieces += [LineBreak()] if pieces else []
        pieces.append(Text(point_words(parse_point(point), scope.harness, scope.chapter)))
    return tuple(pieces)


def _cavities(study: Study, state: str) -> list[tuple[Measurement, Reading]]:
    """The readings of a voltmeter from each cavity to ground in a named state."""
    last = [question for question in study.readings[""] if question[0] == state and question[1].instrument == "volts"]
    ground = last[-1][1].to if last else ""
    return [
        (question[1], study.readings[""][question])
        for question in last
        if question[1].to == ground and parse_point(question[1].at).is_cavity and "/" not in question[1].at
    ]


def _rows(study: Study, scope: Scope) -> tuple[tuple[str, ...], tuple[Row, ...]]:
    """The named states, and the points grouped by what they read in them, in the order of the circuit.

    Points that can carry high voltage are left out: they are for the steps that prove them dead first.
    """
    states = tuple(name for name, state in study.states.items() if state.name)
    by_point: dict[str, list[Reading]] = {}
    for state in states:
        for measurement, reading in _cavities(study, state):
            if parse_point(measurement.at) in scope.class_b:
                continue
            by_point.setdefault(measurement.at, []).append(reading)
    groups: list[tuple[list[str], list[list[Reading]]]] = []
    for point, readings in by_point.items():
        if len(readings) < len(states):
            continue
        home = next((group for group in groups if _same(group[1][0], readings)), None)
        if home is None:
            groups.append(([point], [readings]))
        else:
            home[0].append(point)
            home[1].append(readings)
    rows = tuple(Row(tuple(points), tuple(map(_cell, zip(*read, strict=True)))) for points, read in groups)
    return states, rows


def _same(one: list[Reading], other: list[Reading]) -> bool:
    return all(
        first.status == second.status
        and ((first.nominal is None) == (second.nominal is None))
        and abs((first.nominal or 0.0) - (second.nominal or 0.0)) <= _SAME
        for first, second in zip(one, other, strict=True)
    )


def _cell(readings: tuple[Reading, ...]) -> str:
    """The limits of points that read the same, together."""
    lows = [reading.low for reading in readings if reading.low is not None]
    highs = [reading.high for reading in readings if reading.high is not None]
    if len(lows) < len(readings) or len(highs) < len(readings):
        return limit_words(readings[0])
    return short_range(min(lows), max(highs), "V")
