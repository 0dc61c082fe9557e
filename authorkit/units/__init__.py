"""Quantities of the trade: '4.5 V', '2.2 kΩ ± 1 %', '0.5 mm²', '4.9 to 5.1 V', read and printed.

An author's text becomes a Quantity, a Bound or a Window, or a UnitError that says what to type instead.
Numbers are kept as typed; `base` gives the value in the base unit of its dimension for computing.
"""

from __future__ import annotations

from authorkit.units.computed import format_value
from authorkit.units.error import UnitError
from authorkit.units.quantity import Quantity, Tolerance
from authorkit.units.read_bound import parse_bound
from authorkit.units.read_quantity import parse_quantity
from authorkit.units.read_window import parse_window
from authorkit.units.show import as_typed, show, show_plain
from authorkit.units.table import DIMENSIONS, UNITS, Unit
from authorkit.units.window import Bound, Window, window_of

__all__ = [
    "DIMENSIONS",
    "UNITS",
    "Bound",
    "Quantity",
    "Tolerance",
    "Unit",
    "UnitError",
    "Window",
    "as_typed",
    "format_value",
    "parse_bound",
    "parse_quantity",
    "parse_window",
    "show",
    "show_plain",
    "window_of",
]
