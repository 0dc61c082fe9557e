"""Which unit a mistyped one was probably meant to be."""

from __future__ import annotations

import re
from difflib import get_close_matches

from authorkit.units.table import BY_SPELLING, Unit

_ALIKE = 0.7
_DIGIT = re.compile(r"[0-9±]")
_QUALIFIER = re.compile(r"[ .(]*(?:d\.?c|a\.?c|rms|p-?p|pk|peak|max|min|nom|typ)\.?\)?$", re.IGNORECASE)

# A bare prefix, or a symbol of another unit, where this dimension is asked for. Common practice of the trade.
_MEANT: dict[tuple[str, str], tuple[str, ...]] = {
    ("k", "resistance"): ("kΩ",),
    ("K", "resistance"): ("kΩ",),
    ("M", "resistance"): ("MΩ",),
    ("m", "resistance"): ("mΩ",),
    ("R", "resistance"): ("Ω",),
    ("u", "capacitance"): ("µF",),
    ("µ", "capacitance"): ("µF",),
    ("n", "capacitance"): ("nF",),
    ("p", "capacitance"): ("pF",),
    ("C", "temperature"): ("°C",),
    ("F", "temperature"): ("°F",),
    ("°", "temperature"): ("°C", "°F"),
    ("m", "time"): ("min", "ms"),
    ("mm", "area"): ("mm²",),
    ("A", "charge"): ("A·h",),
}
# The same where no dimension is asked for, as far as only one can be meant.
_ALONE = {"k": "resistance", "K": "resistance", "M": "resistance", "R": "resistance", "C": "temperature"}


def closest(typed: str, dimension: str | None) -> list[str]:
    """The symbols an unknown unit was probably meant to be: none, one, or two when only its case decides."""
    meant = _MEANT.get((typed, dimension or _ALONE.get(typed, "")))
    if meant:
        return list(meant)
    same = _same_letters(typed, dimension)
    if same:
        return [unit.symbol for unit in same]
    known = BY_SPELLING.get(_QUALIFIER.sub("", typed))
    if known is None and not _DIGIT.search(typed):  # words after the unit may go, another number may not
        known = BY_SPELLING.get(typed.split(" ")[0])
    if known:
        return [known.symbol] if dimension in (None, known.dimension) else []
    return _similar(typed, dimension)


def mistaken_for(typed: str, dimension: str) -> list[str]:
    """The symbols meant when a known unit of another dimension was typed: a slip of case, or a habit."""
    meant = _MEANT.get((typed, dimension))
    return list(meant) if meant else [unit.symbol for unit in _same_letters(typed, dimension)]


def _same_letters(typed: str, dimension: str | None) -> list[Unit]:
    """The units that differ from the typed one in upper and lower case only."""
    folded = typed.casefold()
    found = (unit for spelling, unit in BY_SPELLING.items() if spelling.casefold() == folded)
    return [unit for unit in dict.fromkeys(found) if dimension in (None, unit.dimension)]


def _similar(typed: str, dimension: str | None) -> list[str]:
    """The units with the most similar spelling; case counts first, so that 'mohmm' does not become MΩ."""
    if not 2 <= len(typed) <= 20:
        return []
    spellings = [text for text, unit in BY_SPELLING.items() if dimension in (None, unit.dimension)]
    match = get_close_matches(typed, spellings, n=1, cutoff=_ALIKE)
    if match:
        return [BY_SPELLING[match[0]].symbol]
    folded = sorted({text.casefold() for text in spellings})
    match = get_close_matches(typed.casefold(), folded, n=1, cutoff=_ALIKE)
    return [unit.symbol for unit in _same_letters(match[0], dimension)] if match else []
