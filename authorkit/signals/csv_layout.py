"""How a CSV capture is laid out, found from its first lines: delimiter, decimal sign, columns, units."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from authorkit.signals.capture import CaptureError
from authorkit.signals.csv_words import (
    Cells,
    axis_unit,
    float_of,
    is_counter,
    is_time,
    name_in,
    sample_interval,
    unit_in,
)

PLAIN = "a first line 'time_s,ch1_V', then rows of numbers"
# Delimiter and decimal sign, the commonest first: it wins where both fit.
_WRITINGS = ((",", "."), (";", "."), (";", ","), ("\t", "."), ("\t", ","))
_TAIL = 20


@dataclass(frozen=True)
class Column:
    """A column of the file: its position from 0, its name, and how its numbers become base units."""

    position: int
    name: str
    dimension: str
    factor: float


@dataclass(frozen=True)
class Layout:
    """What the first lines say. `time` is None where only the `interval` (s) between samples is given.

    `first` is the line of the first row of numbers, from 1.
    """

    delimiter: str
    decimal: str
    first: int
    time: Column | None
    interval: float
    channels: tuple[Column, ...]

    @property
    def columns(self) -> tuple[Column, ...]:
        """All columns that are read."""
        return (self.time, *self.channels) if self.time else self.channels

    def cells(self, line: str) -> Cells:
        """The cells of a line, with decimal points and without quotes."""
        return split(line, self.delimiter, self.decimal)


def split(line: str, delimiter: str, decimal: str) -> Cells:
    """The cells of a line, with decimal points and without quotes."""
    cells = (cell.strip().strip('"').strip() for cell in line.split(delimiter))
    return [cell.replace(",", ".") if decimal == "," else cell for cell in cells]


def find_layout(lines: list[str]) -> Layout:
    """The layout of a file from its first lines. Raises CaptureError with what is missing."""
    delimiter, decimal = _writing(lines)
    rows = [split(line, delimiter, decimal) for line in lines]
    positions = _number_columns(rows)
    if not positions:
        raise _no_numbers(lines)
    first = next(
        (number for number, row in enumerate(rows) if _is_data(row, positions) and _goes_on(rows, number, positions)),
        None,
    )
    if first is None:
        raise _no_numbers(lines)
    told = rows[:first] or rows[: first + _TAIL]  # a preamble may stand to the left of the first numbers
    columns = [_column(position, rows[:first]) for position in positions]
    return _with_time(Layout(delimiter, decimal, first + 1, None, 0.0, ()), columns, told, rows[:first])


def _writing(lines: list[str]) -> tuple[str, str]:
    """Delimiter and decimal sign under which most of the last lines are numbers alone, and the more numbers."""
    tail = [line for line in lines if line.strip()][-_TAIL:]

    def score(writing: tuple[str, str]) -> tuple[int, int]:
        rows = [[float_of(cell) is not None for cell in split(line, *writing) if cell] for line in tail]
        return sum(map(all, rows)), sum(map(sum, rows))

    return max(_WRITINGS, key=score)


def _number_columns(rows: list[Cells]) -> list[int]:
    """The columns that hold numbers in most of the last rows."""
    tail = [row for row in rows if any(row)][-_TAIL:]
    width = max(map(len, tail), default=0)
    return [
        column
        for column in range(width)
        if 2 * sum(column < len(row) and float_of(row[column]) is not None for row in tail) > len(tail)
    ]


def _is_data(row: Cells, positions: list[int]) -> bool:
    return all(position < len(row) and float_of(row[position]) is not None for position in positions)


def _goes_on(rows: list[Cells], number: int, positions: list[int]) -> bool:
    """Whether the next row holds numbers too: a lone one may be part of the preamble."""
    following = next((row for row in rows[number + 1 :] if any(row)), None)
    return following is None or any(
        position < len(following) and float_of(following[position]) is not None for position in positions
    )


@dataclass(frozen=True)
class _Headed:
    """A column with what stands above it."""

    column: Column
    headers: tuple[str, ...]

    @property
    def is_time(self) -> bool:
        return any(map(is_time, self.headers))

    @property
    def is_counter(self) -> bool:
        return any(map(is_counter, self.headers))


def _column(position: int, above: list[Cells]) -> _Headed:
    """Name and unit from the rows above. Where none gives a unit, '' is the dimension."""
    above = _header_rows(above)
    headers = tuple(row[position] for row in above if position < len(row) and row[position])
    dimension, factor = next(filter(None, map(unit_in, reversed(headers))), ("", 1.0))
    name = next(filter(None, map(name_in, headers)), "")
    return _Headed(Column(position, name, dimension, factor), headers)


def _header_rows(above: list[Cells]) -> list[Cells]:
    """The last one or two rows of text before the numbers: the names, and the units beneath them."""
    filled = [row for row in above if any(row)]
    width = max((len(row) for row in filled[-1:]), default=0)
    return [row for row in filled[-2:] if len(row) == width]


def _with_time(layout: Layout, columns: list[_Headed], told: list[Cells], above: list[Cells]) -> Layout:
    """The layout with its time column, or with the interval that the preamble gives."""
    interval = sample_interval(told)
    timed = next((headed for headed in columns if headed.is_time), None)
    if timed is None and interval is None and len(columns) > 1:
        timed = columns[0] if axis_unit(told, "horizontal") else None
    if timed is not None:
        rest = [headed for headed in columns if headed.column.position != timed.column.position]
        column = _with_time_unit(timed.column, told, layout.first)
        return replace(layout, time=column, channels=_channels(rest, told, layout.first))
    if interval is None or interval <= 0:
        found = " | ".join(above[-1]) if above else "no line above the numbers"
        raise _no_time(found, max(layout.first - 1, 1))
    return replace(layout, interval=interval, channels=_channels(columns, told, layout.first))


def _with_time_unit(column: Column, told: list[Cells], first: int) -> Column:
    if column.dimension == "time":
        return column
    unit = axis_unit(told, "horizontal")
    if unit is None or unit[0] != "time":
        raise CaptureError(
            "The column of time has no unit.",
            f"the header '{column.name or '(empty)'}'",
            expected="a unit of time in the header, such as time_s, time_ms or Time (µs)",
            suggestion=f"Write the unit into the header: {PLAIN}.",
            line=max(first - 1, 1),
        )
    return replace(column, dimension="time", factor=unit[1])


def _channels(columns: list[_Headed], told: list[Cells], first: int) -> tuple[Column, ...]:
    kept = [headed.column for headed in columns if not headed.is_counter]
    if not kept:
        raise CaptureError(
            "The capture has no channel beside its time.",
            "one column of numbers",
            expected=PLAIN,
            suggestion="Export at least one channel.",
            line=first,
        )
    usual = axis_unit(told, "vertical") or ("voltage", 1.0)
    return tuple(_channel(column, number, usual, first) for number, column in enumerate(kept, 1))


def _channel(column: Column, number: int, usual: tuple[str, float], first: int) -> Column:
    """A channel with its name and unit; one without a unit is in volts, as an oscilloscope measures."""
    dimension, factor = (column.dimension, column.factor) if column.dimension else usual
    if dimension not in ("voltage", "current"):
        raise CaptureError(
            f"Channel {number} is a {dimension}, not a voltage or a current.",
            column.name or f"column {column.position + 1}",
            expected="channels in V or A, with their prefixes",
            suggestion="Leave this column out, or correct its unit.",
            line=max(first - 1, 1),
        )
    return Column(column.position, (column.name or f"CH{number}").upper(), dimension, factor)


def _no_time(found: str, line: int) -> CaptureError:
    return CaptureError(
        "Neither a column of time nor the time between two samples is given.",
        found,
        expected=f"{PLAIN}; or a line 'Sample Interval,1e-6,s' above the numbers",
        suggestion="Put the line time_s,ch1_V above the numbers (or time_ms, time_us).",
        line=line,
    )


def _no_numbers(lines: list[str]) -> CaptureError:
    first = next(iter(_filled(lines)), "nothing")
    return CaptureError(
        "The file holds no rows of numbers.", first[:60], expected=PLAIN, suggestion="Export the capture as CSV."
    )


def _filled(lines: list[str]) -> Iterator[str]:
    return (line.strip() for line in lines if line.strip())
