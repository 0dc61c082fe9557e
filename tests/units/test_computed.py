"""Values that were worked out, printed with a sensible prefix."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from matplotlib.ticker import EngFormatter

from authorkit.units import DIMENSIONS, UnitError, format_value, parse_quantity
from authorkit.units.computed import _LADDERS

N, M = "\u202f", "\u2212"


@pytest.mark.parametrize(
    ("value", "dimension", "printed"),
    [
        (2490.0, "resistance", f"2.49{N}kΩ"),
        (12.6, "voltage", f"12.6{N}V"),
        (0.0003, "current", f"0.3{N}mA"),
        (450.0, "resistance", f"450{N}Ω"),
        (0.5, "voltage", f"0.5{N}V"),
        (0.05, "voltage", f"50{N}mV"),
        (999.9, "resistance", f"1{N}kΩ"),
        (-3.25, "voltage", f"{M}3.25{N}V"),
        (1.0e7, "resistance", f"10{N}MΩ"),
        (1.0e9, "resistance", f"1{N}GΩ"),
        (0.05, "ratio", f"5{N}%"),
        (12.5, "rotation", f"750{N}rpm"),
        (math.pi / 2, "angle", "90°"),
        (0.5e-6, "area", f"0.5{N}mm²"),
        (25.0, "speed", f"90{N}km/h"),
        (-40.0, "temperature", f"{M}40{N}°C"),
        (2.5e5, "pressure", f"250{N}kPa"),
        (216_000.0, "charge", f"60{N}A·h"),
        (0.0371, "resistance per length", f"37.1{N}mΩ/m"),
        (0.0, "voltage", f"0{N}V"),
        (-0.0, "current", f"0{N}A"),
        (0.0, "area", f"0{N}mm²"),
        (2e-17, "voltage", f"0{N}V"),
        (4.4e-9, "current", f"4.4{N}nA"),
    ],
)
def test_a_computed_value_is_printed_as_a_meter_would(value: float, dimension: str, printed: str) -> None:
    assert format_value(value, dimension) == printed


@pytest.mark.parametrize(("digits", "printed"), [(1, "1"), (2, "1.2"), (3, "1.23"), (4, "1.235"), (6, "1.2345")])
def test_the_digits_are_significant_ones_rounded_half_up(digits: int, printed: str) -> None:
    # 1.2345 rounds to 1.235 half up; half to even would give 1.234.
    assert format_value(1.2345, "voltage", digits) == f"{printed}{N}V"


def test_every_dimension_has_units_to_be_printed_in_from_large_to_small() -> None:
    assert list(_LADDERS) == list(DIMENSIONS)
    for dimension, ladder in _LADDERS.items():
        sizes = [parse_quantity(f"1 {symbol}", dimension).base for symbol in ladder]
        assert sizes == sorted(sizes, reverse=True)


@pytest.mark.parametrize("value", [math.inf, -math.inf, math.nan])
def test_what_is_no_finite_number_is_refused(value: float) -> None:
    with pytest.raises(UnitError, match="expected a finite number"):
        format_value(value, "resistance")


def test_an_unknown_dimension_is_refused() -> None:
    with pytest.raises(UnitError, match="the dimension 'sound'"):
        format_value(1.0, "sound")


@settings(derandomize=True, deadline=None, max_examples=500, database=None)
@given(
    value=st.floats(1e-6, 1e6) | st.floats(-1e6, -1e-6),
    dimension=st.sampled_from(list(DIMENSIONS)),
    digits=st.integers(1, 9),
)
def test_what_is_printed_is_read_back_within_half_a_digit(value: float, dimension: str, digits: int) -> None:
    printed = parse_quantity(format_value(value, dimension, digits), dimension)
    if printed.base == 0:
        assert abs(value) < parse_quantity(f"0.001 {_LADDERS[dimension][-1]}").base
    else:
        assert printed.base == pytest.approx(value, rel=0.5000001 * 10 ** (1 - digits))


@settings(derandomize=True, deadline=None, max_examples=300, database=None)
@given(exponent=st.floats(0, 8.9), dimension=st.sampled_from([("resistance", "Ω"), ("frequency", "Hz")]))
def test_large_values_get_the_prefix_an_engineering_formatter_gives(
    exponent: float, dimension: tuple[str, str]
) -> None:
    # Oracle: matplotlib's EngFormatter. Values that round to a power of ten are left to the table above.
    value = 10**exponent
    assume(value / 10 ** round(exponent) < 0.99 or value / 10 ** round(exponent) > 1.01)
    engineering = EngFormatter(unit=dimension[1], places=6)(value)
    assert format_value(value, dimension[0]).split(N)[1] == engineering.split(" ")[1]
