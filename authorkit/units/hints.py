"""What to say about a text that is not a quantity: the first diagnosis that fits, with a suggestion."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from authorkit.units.error import UnitError, quote, with_article
from authorkit.units.lettercode import letter_code_meant
from authorkit.units.likeness import closest, mistaken_for
from authorkit.units.table import BY_SPELLING, DIMENSIONS
from authorkit.units.text import NUMBER

COMMA = re.compile(r"[0-9],[0-9]")
_THOUSANDS = re.compile(r"(?<![0-9,.])[1-9][0-9]{0,2}(?:,[0-9]{3})+(?![0-9,])")
_GROUPS = re.compile(r"[+-]?[0-9]{1,3}(?: [0-9]{3})+(?![0-9])")
_GAUGE = re.compile(r"(?:AWG|awg) ?[-0-9./]+\Z|[-0-9./]+ ?(?:AWG|awg|ga|gauge)\Z")
_RANGE = re.compile(r"(?:^| )to |\.\.|…|- ?\.?[0-9]")


@dataclass(frozen=True)
class _Attempt:
    """A text in one form, split after its number, and the dimension it should have."""

    text: str
    number: str
    rest: str
    dimension: str | None

    def with_units(self, symbols: list[str]) -> list[str]:
        """The number with each of the symbols."""
        return [f"{self.number}{'' if symbol == '°' else ' '}{symbol}" for symbol in symbols]


def wanted(dimension: str | None) -> str:
    """What belongs here, as a phrase: "a resistance such as '2.2 kΩ'"."""
    if dimension is None:
        return "a number and a unit, such as '4.5 V'"
    return f"{with_article(dimension)} such as {quote(DIMENSIONS[dimension])}"


def example_unit(dimension: str) -> str:
    """The symbol in the dimension's example, for a number that came without a unit."""
    return DIMENSIONS[dimension].lstrip("0123456789. ")


def explain(text: str, dimension: str | None) -> UnitError:
    """Diagnose a text (in one form) that is not a number and a unit of this dimension."""
    if _GAUGE.match(text) and dimension in (None, "area"):
        found = f"{quote(text)}, which is no size of the American wire gauge"
        return UnitError(found, "a whole gauge from '40 AWG' to '1 AWG', or '1/0 AWG' to '4/0 AWG'")
    number = NUMBER.match(text)
    if number is None:
        found = f"{quote(text)}, which does not start with a number" if text else "nothing"
        return UnitError(found, wanted(dimension))
    attempt = _Attempt(text, number[0], text[number.end() :].strip(), dimension)
    for diagnose in _DIAGNOSES:
        error = diagnose(attempt)
        if error:
            return error
    found = f"the unknown unit {quote(attempt.rest)} in {quote(text)}"
    return UnitError(found, wanted(dimension), *attempt.with_units(closest(attempt.rest, dimension)))


def decimal_comma(text: str, read: Callable[[str], str]) -> UnitError:
    """Say that a number has a comma; `read` parses a candidate and gives it back as it should be typed."""
    suggestions = []
    for candidate in _without_commas(text):
        try:
            suggestions.append(read(candidate))
        except UnitError:
            continue
    return UnitError(f"a comma in the number of {quote(text)}", "a decimal point", *suggestions)


def _without_commas(text: str) -> list[str]:
    """What a number with commas may mean: a decimal point, thousands, or (as in '1,000') either."""
    grouped = _THOUSANDS.sub("", text)
    if COMMA.search(grouped) or grouped == text:
        return [text.replace(",", ".")]
    whole = text.replace(",", "")
    return [whole, text.replace(",", ".")] if text.count(",") == 1 else [whole]


def _digit_groups(attempt: _Attempt) -> UnitError | None:
    """Notice '10 000 Ω', whose gap could also be a lost sign or a lost word."""
    groups = _GROUPS.match(attempt.text)
    if groups is None:
        return None
    unit = BY_SPELLING.get(attempt.text[groups.end() :].strip())
    suggestion = [f"{groups[0].replace(' ', '')} {unit.symbol}"] if unit else []
    return UnitError(f"a number in groups of digits in {quote(attempt.text)}", "a number without gaps", *suggestion)


def _stray_point(attempt: _Attempt) -> UnitError | None:
    """Notice '5. V' and '1.2.3 V'."""
    if not attempt.rest.startswith(".") or attempt.rest.startswith(".."):
        return None
    unit = BY_SPELLING.get(attempt.rest[1:].strip())
    suggestion = attempt.with_units([unit.symbol]) if unit else []
    return UnitError(f"a stray point in {quote(attempt.text)}", wanted(attempt.dimension), *suggestion)


def _range(attempt: _Attempt) -> UnitError | None:
    """Notice a range where one value is asked for."""
    if not _RANGE.search(attempt.rest):
        return None
    return UnitError(f"a range ({quote(attempt.text)})", f"one value, {wanted(attempt.dimension)}")


def _no_unit(attempt: _Attempt) -> UnitError | None:
    """Notice a bare number; its unit is suggested, never assumed."""
    if attempt.rest:
        return None
    units = [] if attempt.dimension is None else [example_unit(attempt.dimension)]
    found = f"{quote(attempt.text)}, a number without a unit"
    return UnitError(found, wanted(attempt.dimension), *attempt.with_units(units))


def _letter_code(attempt: _Attempt) -> UnitError | None:
    """Notice '2k2' and '3V3', which are too short to be safe without their unit."""
    meant = letter_code_meant(attempt.text, attempt.dimension)
    if meant is None:
        return None
    found = f"{quote(attempt.text)}, where a letter stands for the decimal point"
    return UnitError(found, wanted(attempt.dimension), meant)


def _wrong_dimension(attempt: _Attempt) -> UnitError | None:
    """Notice a known unit of another dimension; a slip of case or a habit gets a suggestion."""
    unit = BY_SPELLING.get(attempt.rest)
    if unit is None or attempt.dimension is None:
        return None
    found = f"{with_article(unit.dimension)} ({quote(attempt.text)})"
    meant = attempt.with_units(mistaken_for(attempt.rest, attempt.dimension))
    return UnitError(found, wanted(attempt.dimension), *meant)


# In this order: the first that fits is told.
_DIAGNOSES: tuple[Callable[[_Attempt], UnitError | None], ...] = (
    _digit_groups,
    _stray_point,
    _range,
    _no_unit,
    _letter_code,
    _wrong_dimension,
)
