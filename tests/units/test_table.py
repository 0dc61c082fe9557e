"""The table is closed, unambiguous, and agrees with published conversion factors."""

from __future__ import annotations

from collections import Counter

import pytest

from authorkit.units import DIMENSIONS, UNITS, parse_quantity
from authorkit.units.table import BY_SPELLING


def test_no_spelling_stands_for_two_units() -> None:
    counted = Counter(text for unit in UNITS for text in (unit.symbol, *unit.spellings))
    assert [text for text, times in counted.items() if times > 1] == []


def test_every_spelling_survives_being_brought_to_one_form() -> None:
    for spelling, unit in BY_SPELLING.items():
        assert parse_quantity(f"7 {spelling}").unit == unit.symbol


def test_every_unit_has_a_plain_spelling_that_is_read_back() -> None:
    for unit in UNITS:
        assert unit.plain.isascii()
        assert BY_SPELLING[unit.plain] is unit


def test_every_dimension_has_units_and_an_example_that_is_one() -> None:
    assert {unit.dimension for unit in UNITS} == set(DIMENSIONS)
    for dimension, example in DIMENSIONS.items():
        assert parse_quantity(example, dimension).dimension == dimension


def test_units_come_in_the_order_of_the_dimensions() -> None:
    assert list(dict.fromkeys(unit.dimension for unit in UNITS)) == list(DIMENSIONS)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("1 kΩ", "kilohm"),
        ("1 MΩ", "megohm"),
        ("1 µF", "microfarad"),
        ("1 °C", "degree Celsius"),
        ("1 mL", "millilitre"),
    ],
)
def test_units_are_named_as_the_si_brochure_and_the_trade_do(text: str, name: str) -> None:
    assert BY_SPELLING[parse_quantity(text).unit].name == name


# SI Brochure, 9th edition, tables 7 and 8 (prefixes; non-SI units accepted for use). From memory.
SI = [
    ("1 pF", 1e-12),
    ("1 nH", 1e-9),
    ("1 µA", 1e-6),
    ("1 mV", 1e-3),
    ("1 cm", 1e-2),
    ("1 hPa", 1e2),
    ("1 kΩ", 1e3),
    ("1 MΩ", 1e6),
    ("1 GHz", 1e9),
    ("1 min", 60),
    ("1 h", 3600),
    ("1 d", 86_400),
    ("1 L", 1e-3),
    ("1 bar", 1e5),
    ("1 mm²", 1e-6),
    ("1 cm³", 1e-6),
    ("5 %", 0.05),
    ("37.1 mΩ/m", 0.0371),
    ("37.1 Ω/km", 0.0371),
    ("500 kbit/s", 5e5),  # ISO 11898-2 names CAN rates this way
]
# NIST SP 811 (2008), appendix B.8, as printed there to seven digits. From memory.
NIST = [
    ("1 psi", 6.894757e3),
    ("1 inHg", 3.386389e3),
    ("1 lbf·ft", 1.355818),
    ("1 lbf·in", 1.129848e-1),
    ("1 lb", 4.535924e-1),
    ("1 in", 2.54e-2),
    ("1 ft", 3.048e-1),
    ("1 mi", 1.609344e3),
    ("1 mph", 4.470400e-1),
    ("1 km/h", 2.777778e-1),
    ("1 A·h", 3.6e3),
    ("1 kW·h", 3.6e6),
    ("1°", 1.745329e-2),
    ("1 L/min", 1.666667e-5),
]


@pytest.mark.parametrize(("text", "base"), SI)
def test_a_unit_of_the_si_has_its_exact_factor(text: str, base: float) -> None:
    assert parse_quantity(text).base == base


@pytest.mark.parametrize(("text", "base"), NIST)
def test_a_unit_of_nist_sp_811_has_the_factor_printed_there(text: str, base: float) -> None:
    assert parse_quantity(text).base == pytest.approx(base, rel=3e-7)


def test_rotation_is_counted_in_revolutions_per_second() -> None:
    # ISO 80000-3: rotational frequency, unit s⁻¹.
    assert parse_quantity("750 rpm").base == 12.5


@pytest.mark.parametrize(("fahrenheit", "celsius"), [("32 °F", 0), ("212 °F", 100), ("-40 °F", -40)])
def test_fahrenheit_meets_celsius_at_the_known_points(fahrenheit: str, celsius: float) -> None:
    assert parse_quantity(fahrenheit).base == pytest.approx(celsius, abs=1e-12)
