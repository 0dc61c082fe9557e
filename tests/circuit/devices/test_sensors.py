"""Thermistors against published tables."""

from __future__ import annotations

import pytest

from authorkit.circuit.devices.sensors import beta_ohms, table_ohms

# A 10 kΩ thermistor with a beta value of 3950 K, by the beta equation worked out with forty digits.
BETA_3950 = {0: 33_621, 25: 10_000, 50: 3_588, 80: 1_270, 100: 698}

# A table printed in the manual of a laboratory temperature controller; its row for 40 °C reads 5331 there, which lies
# 0.47 K off the curve through all its other rows: a misprint for 5231.
PRINTED = {0: 32128, 10: 19549, 20: 12262, 25: 9814, 30: 7908, 40: 5231, 50: 3542}


@pytest.mark.parametrize(("celsius", "ohms"), BETA_3950.items())
def test_beta_equation(celsius: float, ohms: float) -> None:
    assert beta_ohms(10e3, 3950.0, celsius) == pytest.approx(ohms, abs=0.51)


@pytest.mark.parametrize("left_out", [10, 20, 25, 30, 40])
def test_a_row_left_out_of_a_table_is_found_between_its_neighbours(left_out: int) -> None:
    rows = [(float(t), float(r)) for t, r in PRINTED.items() if t != left_out]
    assert table_ohms(rows, left_out) == pytest.approx(PRINTED[left_out], rel=6e-3)


def test_the_misprinted_row_does_not_fit_its_neighbours() -> None:
    rows = [(float(t), float(r)) for t, r in PRINTED.items() if t != 40]
    found = table_ohms(rows, 40.0)
    assert found is not None
    assert abs(found - 5331) > 4 * abs(found - 5231)


def test_table_gives_its_own_rows_and_nothing_outside() -> None:
    rows = [(20.0, 2500.0), (90.0, 250.0)]
    assert table_ohms(rows, 20.0) == pytest.approx(2500.0)
    assert table_ohms(rows, 90.0) == pytest.approx(250.0)
    assert table_ohms(rows, 91.0) is None
