"""Thermistors against published tables."""

from __future__ import annotations

import math

import pytest

from authorkit.circuit.devices.sensors import beta_ohms, table_ohms

# Resistance at temperatures as printed in the appendix of the manual of a laboratory temperature controller (its row
# for 40 °C is a misprint by 100 Ω and left out).
PUBLISHED = {0.0: 32128.0, 10.0: 19549.0, 20.0: 12262.0, 25.0: 9814.0, 30.0: 7908.0, 50.0: 3542.0}


@pytest.mark.parametrize("celsius", [10.0, 20.0, 30.0])
def test_row_between_those_of_a_table_is_found_within_two_tenths_of_a_kelvin(celsius: float) -> None:
    rows = [(each, PUBLISHED[each]) for each in (0.0, 25.0, 50.0)]
    found = table_ohms(rows, celsius)
    # A thermistor of this kind loses about 4.5 % a kelvin.
    assert found == pytest.approx(PUBLISHED[celsius], rel=0.2 * 0.045)


def test_rows_of_a_table_are_met_exactly_and_nothing_is_guessed_outside() -> None:
    rows = list(PUBLISHED.items())
    assert [table_ohms(rows, celsius) for celsius, _ in rows] == pytest.approx([ohms for _, ohms in rows])
    assert table_ohms(rows, 51.0) is None
    assert table_ohms(rows, -0.1) is None


# Steinhart and Hart, with the coefficients that fit 25, 10 and 4 kΩ at 5, 25 and 45 °C (values from memory, a widely
# used worked example); a beta value taken from two of its rows meets the third within 0.3 %.
A, B, C = 2.108508e-3, 7.97920e-5, 6.53508e-7


def kelvin(ohms: float) -> float:
    log = math.log(ohms)
    return 1 / (A + B * log + C * log**3)


def test_beta_equation_stays_near_steinhart_and_hart() -> None:
    beta = math.log(10e3 / 4e3) / (1 / kelvin(10e3) - 1 / kelvin(4e3))
    assert kelvin(10e3) == pytest.approx(298.15, abs=0.01)
    for celsius in (20.0, 30.0, 40.0):
        ohms = beta_ohms(10e3, beta, celsius)
        assert kelvin(ohms) - 273.15 == pytest.approx(celsius, abs=0.5)


# 10 kΩ at 25 °C, beta 3950 K, by the definition R = R25 exp(B (1/T - 1/T25)).
@pytest.mark.parametrize(("celsius", "ohms"), [(0.0, 33621.0), (50.0, 3588.0), (80.0, 1270.0), (100.0, 698.0)])
def test_beta_equation(celsius: float, ohms: float) -> None:
    assert beta_ohms(10e3, 3950.0, celsius) == pytest.approx(ohms, rel=1e-3)
