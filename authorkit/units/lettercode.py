"""The letter code of IEC 60062, where the prefix stands in for the point: '2k2' is 2.2 kΩ, '4n7' is 4.7 nF.

The standard writes kilo as K; k is common practice. Codes that start with their letter ('R47', 'K47') are
left out: on these pages they would be taken for the names of parts and wires.
"""

from __future__ import annotations

import re
from decimal import Decimal

from authorkit.units.table import BY_SPELLING, BY_SYMBOL

_CODE = re.compile(r"([0-9]{1,9})([A-Za-zµ])([0-9]{0,9})(?: ?([^0-9 ].*))?\Z")
_LETTERS = {
    "resistance": {"R": "Ω", "m": "mΩ", "k": "kΩ", "K": "kΩ", "M": "MΩ", "G": "GΩ"},
    "capacitance": {"p": "pF", "n": "nF", "u": "µF", "µ": "µF", "m": "mF"},
}
_OWN_LETTERS = {"V": "V", "A": "A", "R": "Ω", "k": "kΩ", "K": "kΩ", "M": "MΩ"}


def read_letter_code(text: str, dimension: str | None) -> tuple[Decimal, str] | None:
    """Value and unit symbol of '2k2 Ω', or of '2k2' and '470R' where a resistance is asked for; else None."""
    code = _CODE.match(text)
    if code is None:
        return None
    whole, letter, decimals, unit = code.groups()
    symbol = _prefixed(letter, unit) if unit and decimals else None
    if not unit:
        symbol = _LETTERS.get(dimension or "", {}).get(letter)
    if symbol is None or dimension not in (None, BY_SYMBOL[symbol].dimension):
        return None
    return Decimal(f"{whole}.{decimals}" if decimals else whole), symbol


def letter_code_meant(text: str, dimension: str | None) -> str | None:
    """What a code without a unit most likely means: '2.2 kΩ' for '2k2', '3.3 V' for '3V3'; else None."""
    code = _CODE.match(text)
    if code is None or code[4] or not code[3]:
        return None
    symbol = _OWN_LETTERS.get(code[2])
    if symbol is None or dimension not in (None, BY_SYMBOL[symbol].dimension):
        return None
    return f"{int(code[1])}.{code[3]} {symbol}"


def _prefixed(letter: str, unit: str) -> str | None:
    """The symbol of prefix and unit together, when the table has it."""
    row = BY_SPELLING.get(unit)
    prefix = {"R": "", "K": "k", "u": "µ"}.get(letter, letter)
    symbol = prefix + row.symbol if row else ""
    return symbol if symbol in BY_SYMBOL else None
