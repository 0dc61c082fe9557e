"""What to say about a text that is not a window, with what the author may have meant.

Candidates are made as text and read again by `read`, so a suggestion is always a window that is accepted.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal

from authorkit.units.error import UnitError, quote
from authorkit.units.hints import example_unit
from authorkit.units.quantity import Quantity, Tolerance
from authorkit.units.read_bound import parse_bound
from authorkit.units.read_quantity import parse_quantity
from authorkit.units.show import as_typed
from authorkit.units.text import NUMBER
from authorkit.units.window import Bound, Window

WINDOW_EXPECTED = "two limits, a tolerance, or a limit with 'below', 'above', 'at most' or 'at least'"
OTHER_WORDS = re.compile(r"(?:between|from|up) ", re.IGNORECASE)
"""Starts of texts with a 'to' that is not that of a range."""

_BETWEEN = re.compile(r"(?:between|from) (.+?) (?:and|to) (.+)\Z", re.IGNORECASE)
_DASH = re.compile(rf"({NUMBER.pattern}) ?([^0-9\s.-]*) ?(?:-|\.\.+|…|~) ?({NUMBER.pattern}.*)\Z")

# Other words for a limit, and what stands for them here: one concept, one name.
_SYNONYMS = {
    "less than": "below",
    "lower than": "below",
    "under": "below",
    "more than": "above",
    "greater than": "above",
    "higher than": "above",
    "over": "above",
    "up to": "at most",
    "no more than": "at most",
    "not more than": "at most",
    "max": "at most",
    "maximum": "at most",
    "no less than": "at least",
    "not less than": "at least",
    "min": "at least",
    "minimum": "at least",
}
# Readings in words, with a window that says the same to a meter. The figures are common practice.
_IN_WORDS = {
    "battery": "at least battery minus 0.5 V",
    "battery voltage": "at least battery minus 0.5 V",
    "b+": "at least battery minus 0.5 V",
    "open": "above 10 MΩ",
    "open circuit": "above 10 MΩ",
    "infinite": "above 10 MΩ",
    "ol": "above 10 MΩ",
    "continuity": "below 1 Ω",
    "closed": "below 1 Ω",
    "ground": "below 0.1 V",
    "zero": "below 0.1 V",
}

Read = Callable[[str], str]
"""Reads a window and gives it back as it should be typed; raises UnitError when it is none."""


def explain_window(line: str, dimension: str | None, read: Read) -> UnitError:
    """Diagnose a text (in one form) that is no window."""
    if line.lower().startswith("battery") and line.lower() not in _IN_WORDS:
        parse_bound(line, dimension)  # when even the limit is wrong, its own finding says more
        return UnitError(
            f"the single limit {quote(line)}",
            WINDOW_EXPECTED,
            *_readable((f"at least {line}", f"{line} to battery"), read),
        )
    candidates = list(_other_wording(line))
    if candidates or not NUMBER.match(line):
        found = f"{quote(line)}, which is not a window" if line else "nothing"
        return UnitError(found, WINDOW_EXPECTED, *_readable(candidates, read))
    quantity = parse_quantity(line, dimension)
    return UnitError(f"the single value {quote(line)}", WINDOW_EXPECTED, *_widened(quantity))


def unit_at_the_end(low: str, high: str, dimension: str | None, read: Read) -> UnitError:
    """Say that the second number of a range has no unit; that of the first or the usual one is suggested."""
    unit = example_unit(dimension) if dimension else None
    if not NUMBER.fullmatch(low):
        unit = parse_bound(low, dimension).offset.unit
    line = f"{low} to {high}"
    candidates = [f"{line} {unit}"] if unit else []
    found = f"{quote(high)} without a unit in {quote(line)}"
    return UnitError(found, "a unit after the second number", *_readable(candidates, read))


def _other_wording(line: str) -> Iterator[str]:
    """Windows the author may have meant: '4.9-5.1 V', 'between 4.9 and 5.1 V', 'less than 0.3 V', 'open'."""
    dash = _DASH.match(line)
    if dash:
        yield f"{dash[1]} {dash[2]} to {dash[3]}"
    between = _BETWEEN.match(line)
    if between:
        yield f"{between[1]} to {between[2]}"
    for words, word in _SYNONYMS.items():
        if line.lower().startswith((f"{words} ", f"{words}. ")):
            yield f"{word} {line[len(words) :].lstrip('. ')}"
    if line.lower() in _IN_WORDS:
        yield _IN_WORDS[line.lower()]


def _readable(candidates: Iterable[str], read: Read) -> list[str]:
    """Keep the candidates that are windows of the dimension asked for, as they should be typed."""
    readable = []
    for candidate in candidates:
        try:
            readable.append(read(candidate))
        except UnitError:
            continue
    return readable


def _widened(quantity: Quantity) -> list[str]:
    """A tolerance and a range for a bare value, as examples of the two forms; none where 2 % is no width."""
    if quantity.value == 0 or quantity.unit == "AWG":
        return []
    band = Tolerance(relative=Decimal(2))
    if quantity.dimension in ("temperature", "ratio"):
        half = quantity.value.copy_abs() * Decimal("0.02")
        band = Tolerance(absolute=Quantity(half.normalize(), quantity.unit))
    stated = Quantity(quantity.value, quantity.unit, band)
    low, high = stated.limits()
    return [as_typed(stated), as_typed(Window(Bound(None, low), Bound(None, high)))]
