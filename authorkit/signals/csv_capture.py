"""Captures from CSV, read in blocks of some megabytes so that a long one costs no more memory than its numbers."""

from __future__ import annotations

import io
import math
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from authorkit.signals.capture import MOST_ROWS, Capture, CaptureError, Channel, Samples, too_long
from authorkit.signals.csv_layout import PLAIN, Layout, find_layout
from authorkit.signals.csv_words import float_of

_HEAD = 1 << 16
_BLOCK = 1 << 23


def read_csv(path: Path) -> Capture:
    """The capture in a CSV file. Raises CaptureError, with the line where one is at fault."""
    with path.open("rb") as file:
        head = file.read(_HEAD)
        layout = find_layout(_lines(head, whole=len(head) < _HEAD))
        file.seek(_start_of_line(head, layout.first))
        blocks = [block for block in _blocks(file, layout) if len(block)]
    return _joined(blocks, layout)


def _lines(head: bytes, whole: bool) -> list[str]:
    """The first lines as text; the last one is left out where it may be cut."""
    if head.startswith((b"\xff\xfe", b"\xfe\xff")) or b"\0" in head:
        raise CaptureError(
            "The file is not plain text.",
            "bytes that are no letters of UTF-8",
            expected="a CSV file in UTF-8",
            suggestion="Export the capture as CSV, or save it as 'CSV UTF-8'.",
            line=1,
        )
    try:
        text = head.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = head.decode("latin-1")  # an old micro sign, or a letter cut in two at the end of the head
    lines = text.split("\n")
    return [line.rstrip("\r") for line in (lines if whole else lines[:-1])]


def _start_of_line(head: bytes, number: int) -> int:
    """Where a line (from 1) begins, in bytes."""
    start = 0
    for _ in range(number - 1):
        start = head.index(b"\n", start) + 1
    return 3 if start == 0 and head.startswith(b"\xef\xbb\xbf") else start


def _blocks(file: io.BufferedReader, layout: Layout) -> Iterator[Samples]:
    """The rows in blocks of whole lines, each column in the order of `layout.columns`."""
    line, rows, rest, last = layout.first, 0, b"", -math.inf
    while True:
        chunk = file.read(_BLOCK)
        data = rest + chunk
        cut = data.rfind(b"\n") + 1 if chunk else len(data)
        text = data[:cut].decode("latin-1").replace('"', "")
        rest = data[cut:]
        if len(rest) > _BLOCK:
            raise _no_line(line)
        block = _numbers(text, layout, line)
        rows += len(block)
        if rows > MOST_ROWS:
            raise too_long()
        if layout.time and len(block):
            _check_time(block[:, 0], last, text, line)
            last = block[-1, 0]
        yield block
        line += text.count("\n")
        if not chunk:
            return


def _numbers(text: str, layout: Layout, line: int) -> Samples:
    """The numbers of whole lines, the first of which is line `line` of the file."""
    if not text.strip():
        return np.empty((0, len(layout.columns)))
    positions = [column.position for column in layout.columns]
    written = text.replace(",", ".") if layout.decimal == "," else text
    try:
        block = np.loadtxt(
            io.StringIO(written),
            delimiter=layout.delimiter,
            usecols=positions,
            comments=None,
            ndmin=2,
            dtype=np.float64,
        )
    except ValueError as error:
        raise _fault(text, layout, line) or _unknown_fault(str(error), line) from error
    if not np.isfinite(block).all() or text.count(layout.delimiter) % len(block):
        fault = _fault(text, layout, line)
        if fault:
            raise fault
    return block


def _fault(text: str, layout: Layout, line: int) -> CaptureError | None:
    """The first line that is no row of numbers."""
    width = len(layout.cells(text.lstrip().split("\n", 1)[0]))
    for number, row in enumerate(text.split("\n"), line):
        if not row.strip():
            continue
        cells = layout.cells(row)
        fault = _fault_of_row(cells, layout, number) or _fault_of_width(cells, width, number)
        if fault:
            return fault
    return None


def _fault_of_row(cells: list[str], layout: Layout, line: int) -> CaptureError | None:
    for column in layout.columns:
        if column.position >= len(cells):
            return _wrong_width(len(cells), f"at least {layout.columns[-1].position + 1}", line)
        cell = cells[column.position]
        value = float_of(cell)
        if value is None or not math.isfinite(value):
            shown = f"'{cell[:40]}'" if cell else "an empty cell"
            return CaptureError(
                f"Line {line}, column {column.position + 1}, holds no number.",
                shown,
                expected="a number in every cell",
                suggestion="Export the capture without gaps, or delete this line.",
                line=line,
            )
    return None


def _fault_of_width(cells: list[str], width: int, line: int) -> CaptureError | None:
    """A row with more cells than the first one, unless they are empty: a decimal comma between commas, say."""
    return _wrong_width(len(cells), str(width), line) if any(cells[width:]) else None


def _wrong_width(found: int, expected: str, line: int) -> CaptureError:
    return CaptureError(
        f"Line {line} has another number of columns than the rows before.",
        f"{found} column{'s' if found != 1 else ''}",
        expected=f"{expected} columns",
        suggestion="Delete this line, or export the capture anew.",
        line=line,
    )


def _check_time(times: Samples, last: float, text: str, line: int) -> None:
    """Time must advance from each row to the next. Raises CaptureError with the line where it does not."""
    steps = np.diff(times, prepend=last)
    if (steps > 0).all():
        return
    row = int(np.argmin(steps > 0))
    filled = (number for number, content in enumerate(text.split("\n"), line) if content.strip())
    at = next(number for position, number in enumerate(filled) if position == row)
    before = times[row - 1] if row else last
    raise CaptureError(
        f"In line {at} the time does not advance.",
        f"{times[row]:.12g} after {before:.12g}",
        expected="a time later than in the row before",
        suggestion="Export the capture with more digits of time, or delete what was recorded before.",
        line=at,
    )


def _joined(blocks: list[Samples], layout: Layout) -> Capture:
    """One array a column, in base units; the blocks are used up."""
    columns = [np.concatenate([block[:, number] for block in blocks]) for number in range(len(layout.columns))]
    blocks.clear()
    for column, values in zip(layout.columns, columns, strict=True):
        values *= column.factor
    times = columns.pop(0) if layout.time else np.arange(len(columns[0]), dtype=np.float64) * layout.interval
    channels = zip(layout.channels, columns, strict=True)
    return Capture(times, tuple(Channel(column.name, column.dimension, values) for column, values in channels))


def _no_line(line: int) -> CaptureError:
    return CaptureError(
        f"Line {line} does not end.", "a line of megabytes", expected=PLAIN, suggestion="Export it anew.", line=line
    )


def _unknown_fault(reason: str, line: int) -> CaptureError:
    """Numbers that Python reads and the block reader does not, such as '1_000'."""
    return CaptureError(
        f"The rows from line {line} on cannot be read.", reason, expected=PLAIN, suggestion="Export it anew.", line=line
    )
