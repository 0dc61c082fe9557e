"""From text to Window."""

from __future__ import annotations

import re
from functools import lru_cache

from authorkit.units.error import UnitError, quote
from authorkit.units.hints import COMMA, decimal_comma
from authorkit.units.read_bound import parse_bound
from authorkit.units.read_quantity import check_dimension, parse_quantity
from authorkit.units.show import as_typed
from authorkit.units.text import NUMBER, one_form
from authorkit.units.window import Bound, Window, leaves_nothing, window_of
from authorkit.units.window_hints import OTHER_WORDS, WINDOW_EXPECTED, explain_window, unit_at_the_end

_LIMIT = re.compile(r"(below|above|at most|at least|<=|>=|<|>|≤|≥) ?(.+)\Z", re.IGNORECASE)
_BELOW = {"below": False, "<": False, "at most": True, "<=": True, "≤": True}
_ABOVE = {"above": False, ">": False, "at least": True, ">=": True, "≥": True}


def parse_window(text: str, dimension: str | None = None) -> Window:
    """Read '4.9 to 5.1 V', '5 V ± 2 %', 'below 0.3 V' or 'at least battery minus 0.3 V'.

    Ranges and tolerances include both ends; 'below' and 'above' exclude theirs. `dimension` is a key of
    DIMENSIONS. Raises UnitError, and nothing else, for any other text, a bare quantity among them.
    """
    check_dimension(dimension)
    return _parse(text, dimension)


@lru_cache(maxsize=8192)
def _parse(text: str, dimension: str | None) -> Window:
    """Read one text, remembering the answer."""
    line = one_form(text, WINDOW_EXPECTED)

    def retyped(candidate: str) -> str:
        return as_typed(_parse(candidate, dimension))

    if COMMA.search(line):
        raise decimal_comma(line, retyped)
    if _LIMIT.match(line):
        return _limits(line, dimension)
    low, to, high = line.partition(" to ")
    if to and not OTHER_WORDS.match(line):
        if NUMBER.fullmatch(high):
            raise unit_at_the_end(low, high, dimension, retyped)
        return _range(low, high, dimension)
    if "±" in line:
        return window_of(parse_quantity(line, dimension))
    raise explain_window(line, dimension, retyped)


def _limits(line: str, dimension: str | None) -> Window:
    """Read 'below 0.3 V', or a lower and an upper limit joined by 'and'."""
    first, joined, second = line.partition(" and ")
    sides = [_limit(first, dimension)]
    if joined:
        sides.append(_limit(second, dimension))
    lows = [(bound, inclusive) for below, bound, inclusive in sides if not below]
    highs = [(bound, inclusive) for below, bound, inclusive in sides if below]
    if len(lows) > 1 or len(highs) > 1:
        raise UnitError(f"two limits on the same side in {quote(line)}", "a lower limit and an upper limit")
    low, low_inclusive = lows[0] if lows else (None, False)
    high, high_inclusive = highs[0] if highs else (None, False)
    if leaves_nothing(low, high, both_inclusive=low_inclusive and high_inclusive):
        raise UnitError(f"{quote(line)}, which no reading can meet", "a lower limit below the upper limit")
    return Window(low, high, low_inclusive, high_inclusive)


def _limit(text: str, dimension: str | None) -> tuple[bool, Bound, bool]:
    """Read one limit with its word: whether it is an upper one, the bound, whether it is included."""
    limit = _LIMIT.match(text)
    if limit is None:
        raise UnitError(f"{quote(text)} after 'and'", "'below', 'above', 'at most' or 'at least' and a limit")
    word = limit[1].lower()
    inclusive = _BELOW[word] if word in _BELOW else _ABOVE[word]
    return word in _BELOW, parse_bound(limit[2], dimension), inclusive


def _range(low_text: str, high_text: str, dimension: str | None) -> Window:
    """Read both ends of a range; the first may leave its unit to the second."""
    high = parse_bound(high_text, dimension)
    bare = NUMBER.fullmatch(low_text) and high.of is None
    low = parse_bound(f"{low_text} {high.offset.unit}" if bare else low_text, high.dimension)
    if leaves_nothing(low, high, both_inclusive=True):
        found = f"the lower limit above the upper one in {quote(f'{low_text} to {high_text}')}"
        raise UnitError(found, "the lower limit first", f"{as_typed(high)} to {as_typed(low)}")
    return Window(low, high)
