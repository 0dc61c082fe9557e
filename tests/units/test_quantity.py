"""A quantity keeps what was typed and computes in base units."""

from __future__ import annotations

from dataclasses import FrozenInstanceError
from decimal import Decimal, localcontext
from fractions import Fraction

import pytest

from authorkit.units import Quantity, Tolerance, UnitError, parse_quantity


def test_what_was_typed_is_kept() -> None:
    quantity = parse_quantity("4.50 kΩ ± 1 %")
    assert (str(quantity.value), quantity.unit, quantity.dimension) == ("4.50", "kΩ", "resistance")
    assert quantity.tolerance == Tolerance(relative=Decimal(1))


def test_the_same_resistance_in_two_units_differs_as_typed_and_agrees_in_base() -> None:
    kilohms, ohms = parse_quantity("2.2 kΩ"), parse_quantity("2200 Ω")
    assert kilohms != ohms
    assert kilohms.base == ohms.base == 2200.0


@pytest.mark.parametrize("text", ["4.9 mV", "0.1 mA", "2.05 kΩ", "3.3 V", "37.1 mΩ/m", "0.35 mm²", "1.1 MHz"])
def test_the_base_value_is_the_float_nearest_to_the_exact_product(text: str) -> None:
    # Oracle: exact fractions. Multiplying two floats would miss the last digit for some of these.
    quantity = parse_quantity(text)
    power = {"m": -3, "k": 3, "M": 6}.get(quantity.unit[0] if quantity.unit != "V" else "", 0)
    exact = Fraction(str(quantity.value)) * Fraction(10) ** (-6 if quantity.unit == "mm²" else power)
    assert quantity.base == float(exact)


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("2.2 kΩ ± 1 %", 2178.0, 2222.0),
        ("60 Ω ± 5 Ω", 55.0, 65.0),
        ("5 V ± 100 mV", 4.9, 5.1),
        ("-5 V ± 2 %", -5.1, -4.9),
        ("80 % ± 5 %", 0.75, 0.85),
        ("20 °C ± 2 °C", 18.0, 22.0),
        ("20 °C ± 2 K", 18.0, 22.0),
        ("8 MHz ± 50 ppm", 7_999_600.0, 8_000_400.0),
        ("12 V", 12.0, 12.0),
        ("3400 K ± 1 %", 3366.0, 3434.0),
    ],
)
def test_the_ends_of_a_tolerance(text: str, low: float, high: float) -> None:
    quantity = parse_quantity(text)
    assert (quantity.low, quantity.high) == (low, high)


def test_a_tolerance_in_degrees_fahrenheit_is_a_difference() -> None:
    # 9 °F is 5 K; the zero of the scale must not enter.
    assert parse_quantity("20 °C ± 9 °F").high == pytest.approx(25.0)
    assert parse_quantity("68 °F ± 5 K").low == pytest.approx(15.0)


def test_a_wire_gauge_is_its_own_low_and_high() -> None:
    gauge = parse_quantity("18 AWG")
    assert gauge.low == gauge.high == gauge.base


def test_the_limits_are_in_the_unit_typed() -> None:
    assert parse_quantity("5 V ± 100 mV").limits() == (parse_quantity("4.9 V"), parse_quantity("5.1 V"))


def test_the_callers_decimal_context_changes_nothing() -> None:
    with localcontext() as context:
        context.prec = 2
        assert parse_quantity("2.345 kΩ ± 1 %").high == 2368.45


def test_a_quantity_cannot_be_changed() -> None:
    with pytest.raises(FrozenInstanceError):
        parse_quantity("5 V").unit = "A"  # type: ignore[misc]


@pytest.mark.parametrize(
    ("value", "unit", "tolerance", "message"),
    [
        ("5", "volt", None, "the unit 'volt'"),
        ("NaN", "V", None, "the number NaN"),
        ("Infinity", "V", None, "the number Infinity"),
        ("1e90", "V", None, "the number"),
        (
            "5",
            "V",
            Tolerance(absolute=Quantity(Decimal(1), "A")),
            "a current .'1 A'. as the tolerance of a voltage",
        ),
        ("90", "°C", Tolerance(relative=Decimal(5)), "percentage of a temperature"),
        ("80", "%", Tolerance(relative=Decimal(5)), "relative tolerance of a ratio"),
        ("18", "AWG", Tolerance(relative=Decimal(5)), "gauge with a tolerance"),
        ("18.5", "AWG", None, "wire gauge 18.5"),
    ],
)
def test_what_no_text_could_mean_is_refused(value: str, unit: str, tolerance: Tolerance | None, message: str) -> None:
    with pytest.raises(UnitError, match=message):
        Quantity(Decimal(value), unit, tolerance)


def test_a_percentage_of_a_temperature_is_answered_with_degrees() -> None:
    with pytest.raises(UnitError) as caught:
        parse_quantity("90 °C ± 5 %")
    assert caught.value.suggestion == "90 °C ± 4.5 °C"


@pytest.mark.parametrize(
    ("relative", "absolute"),
    [
        (None, None),
        (Decimal(1), Quantity(Decimal(1), "V")),
        (Decimal(-1), None),
        (Decimal(101), None),
        (Decimal("NaN"), None),
        (None, Quantity(Decimal(-1), "V")),
        (None, Quantity(Decimal(18), "AWG")),
        (None, Quantity(Decimal(1), "V", Tolerance(relative=Decimal(1)))),
    ],
)
def test_what_is_no_tolerance_is_refused(relative: Decimal | None, absolute: Quantity | None) -> None:
    with pytest.raises(UnitError):
        Tolerance(relative, absolute)
