"""One form for every way a text can be typed, and the numbers in it."""

from __future__ import annotations

import re
from decimal import Decimal

from authorkit.units.error import UnitError, quote

LONGEST_TEXT = 200
"""No quantity or window is longer; what is, is refused unread, which bounds the time for any text."""

_LONGEST_NUMBER = 28
_LARGEST_EXPONENT = 30

NUMBER = re.compile(r"[+-]? ?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?")
"""A decimal number with a point; an exponent is allowed, a comma or digit groups are not."""

_SAME_SIGN = str.maketrans(
    {
        "\u2126": "Ω",  # ohm sign; Ω here is the Greek capital letter
        "\u03bc": "µ",  # Greek small mu; µ here is the micro sign
        "\u00ba": "°",  # masculine ordinal, on many keyboards beside the degree sign
        "\u02da": "°",  # ring above
        "\u2103": "°C",
        "\u2109": "°F",
        "\u2212": "-",  # true minus
        "\u2010": "-",
        "\u2011": "-",
        "\u2013": "-",
        "\u22c5": "·",  # dot operator
        "\u2219": "·",  # bullet operator
        "\u200b": None,  # zero width space
        "\ufeff": None,  # byte order mark
    }
)


def one_form(text: str, expected: str) -> str:
    """Bring signs and spaces to one form: Ω, µ, °, '-', '±', '·', single spaces.

    Raises UnitError, with the phrase `expected`, for a text too long to be a quantity or a window.
    """
    if len(text) > LONGEST_TEXT:
        raise UnitError(f"a text of {len(text)} characters, {quote(text)}", expected)
    if not text.isascii():
        text = text.translate(_SAME_SIGN)
    if "+" in text:
        text = text.replace("+/-", "±").replace("+-", "±")
    return " ".join(text.split())


def read_number(text: str) -> Decimal:
    """The number as typed, with an exponent written out; `text` matches NUMBER.

    Raises UnitError for more digits than anybody means, or an exponent no quantity has.
    """
    digits, _, exponent = text.replace(" ", "").replace("E", "e").partition("e")
    if len(digits) > _LONGEST_NUMBER or len(exponent) > 4 or abs(int(exponent or 0)) > _LARGEST_EXPONENT:
        raise UnitError(f"the number {quote(text)}", "a number of ordinary size and length")
    number = Decimal(digits)
    return Decimal(format(number.scaleb(int(exponent)), "f")) if exponent else number
