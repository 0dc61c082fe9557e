"""The words that stand above the numbers of a CSV capture: units, time columns, the time between two samples.

No standard says how an oscilloscope writes CSV; these are the words in common use, in English.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping

# Unit as written → (dimension, factor to the base unit). Symbols are told apart by case: mV is not MV.
_SYMBOLS: dict[str, tuple[str, float]] = {
    "s": ("time", 1.0),
    "ms": ("time", 1e-3),
    "us": ("time", 1e-6),
    "µs": ("time", 1e-6),
    "ns": ("time", 1e-9),
    "kV": ("voltage", 1e3),
    "V": ("voltage", 1.0),
    "mV": ("voltage", 1e-3),
    "uV": ("voltage", 1e-6),
    "µV": ("voltage", 1e-6),
    "kA": ("current", 1e3),
    "A": ("current", 1.0),
    "mA": ("current", 1e-3),
    "uA": ("current", 1e-6),
    "µA": ("current", 1e-6),
    "Hz": ("frequency", 1.0),
    "kHz": ("frequency", 1e3),
    "MHz": ("frequency", 1e6),
    "Sa/s": ("frequency", 1.0),
    "kSa/s": ("frequency", 1e3),
    "MSa/s": ("frequency", 1e6),
    "GSa/s": ("frequency", 1e9),
}
# Words, in any case, with or without the s of the plural.
_WORDS: dict[str, tuple[str, float]] = {
    "sec": ("time", 1.0),
    "second": ("time", 1.0),
    "msec": ("time", 1e-3),
    "millisecond": ("time", 1e-3),
    "usec": ("time", 1e-6),
    "microsecond": ("time", 1e-6),
    "nanosecond": ("time", 1e-9),
    "volt": ("voltage", 1.0),
    "millivolt": ("voltage", 1e-3),
    "amp": ("current", 1.0),
    "ampere": ("current", 1.0),
    "milliamp": ("current", 1e-3),
    "milliampere": ("current", 1e-3),
}
_IN_BRACKETS = re.compile(r"[(\[]\s*([^)\]]+?)\s*[)\]]")
_AFTER_NAME = re.compile(r"(?:_|\bin |/|,)\s*([^\s_/,]+)\s*$")
_TIME = re.compile(r"\b(?:time|x-axis|t)(?:\b|_)", re.IGNORECASE)
_COUNTER = re.compile(r"^(?:x|index|sample|samples|sequence|no\.?|nr\.?|#|point|points)$", re.IGNORECASE)
_INTERVAL = re.compile(
    r"^(?:(?:sampl\w* |time |horizontal )?(?:interval|period|increment|step)|x ?incr\w*|dt|delta ?t)\b", re.IGNORECASE
)
_RATE = re.compile(r"^(?:sampl\w* ?(?:rate|frequency)|fs)\b", re.IGNORECASE)
_HORIZONTAL = re.compile(r"^(?:horizontal|x|time) ?units?$", re.IGNORECASE)
_VERTICAL = re.compile(r"^(?:vertical|y) ?units?$", re.IGNORECASE)
_NUMBER_UNIT = re.compile(r"^([-+]?[0-9.]+(?:[eE][-+]?[0-9]+)?)\s*([^\s0-9].*)?$")

Cells = list[str]


def unit_of(text: str) -> tuple[str, float] | None:
    """Dimension and factor of a unit that stands alone, with or without brackets: 'ms', '(V)', 'Volts'."""
    word = text.strip().strip("()[]").strip().replace("μ", "µ")
    return _SYMBOLS.get(word) or _WORDS.get(word.lower().removesuffix("s"))


def unit_in(header: str) -> tuple[str, float] | None:
    """The unit in a column's header: 'time_s', 'Time (ms)', 'CH1 in V', 'Volt'."""
    candidates = [header, *_IN_BRACKETS.findall(header), *_AFTER_NAME.findall(header.strip())]
    return next(filter(None, map(unit_of, candidates)), None)


def name_in(header: str) -> str:
    """The name of a channel in its header, without the unit: 'ch1_V' → 'ch1'; '' if it is only a unit."""
    bare = _IN_BRACKETS.sub("", header).strip()
    after = _AFTER_NAME.search(bare)
    if after and unit_of(after[1]):
        bare = bare[: after.start()].strip()
    return "" if unit_of(bare) else bare


def is_time(header: str) -> bool:
    """Whether a header names a column of time."""
    unit = unit_in(header)
    return bool(_TIME.search(header)) or (unit is not None and unit[0] == "time")


def is_counter(header: str) -> bool:
    """Whether a header names a column that only counts the samples."""
    return bool(_COUNTER.match(header.strip()))


def sample_interval(rows: list[Cells]) -> float | None:
    """The time between two samples in s as the rows above the numbers tell it; None if they do not."""
    for label, value, unit in _entries(rows):
        number = _NUMBER_UNIT.match(value.strip())
        size = float_of(number[1]) if number else None
        if number is None or size is None or not math.isfinite(size):
            continue
        meant = unit_of(number[2] or "") or unit_in(label) or unit_of(unit)
        if _INTERVAL.match(label) and (meant is None or meant[0] == "time"):
            return size * (meant[1] if meant else 1.0)
        if _RATE.match(label) and size > 0:
            return 1 / (size * (meant[1] if meant and meant[0] == "frequency" else 1.0))
    return None


def axis_unit(rows: list[Cells], axis: str) -> tuple[str, float] | None:
    """The unit that the rows above the numbers give for the axis 'horizontal' or 'vertical'."""
    pattern = _HORIZONTAL if axis == "horizontal" else _VERTICAL
    units = (unit_of(value) for label, value, _ in _entries(rows) if pattern.match(label))
    return next(filter(None, units), None)


def float_of(text: str) -> float | None:
    """A cell as a number, None if it is none."""
    try:
        return float(text)
    except ValueError:
        return None


def _entries(rows: list[Cells]) -> Iterator[tuple[str, str, str]]:
    """Label, value and perhaps a unit: 'Sample Interval,1e-6,s', 'dt: 1 us', or the value in the row beneath."""
    for number, row in enumerate(rows):
        beneath: Mapping[int, str] = dict(enumerate(rows[number + 1])) if number + 1 < len(rows) else {}
        for column, cell in enumerate(row):
            label, _, inside = (part.strip() for part in cell.partition(":"))
            following = [*row[column + 1 :], "", ""]
            if inside:
                yield label, inside, ""
            if label:
                yield label, following[0], following[1]
                yield label, beneath.get(column, ""), ""
