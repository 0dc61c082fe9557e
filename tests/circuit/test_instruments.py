"""What instruments show."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from authorkit.circuit.instruments import INSTRUMENTS, last_digit, ohms_shown, shown_limits


@pytest.mark.parametrize(("value", "digit"), [(4.998, 0.001), (12.6, 0.01), (288.0, 0.1), (0.04, 0.001)])
def test_display_of_6000_counts_changes_range_as_the_value_grows(value: float, digit: float) -> None:
    assert last_digit(INSTRUMENTS["volts"], value) == pytest.approx(digit)


@given(st.floats(-400, 400), st.floats(0, 50))
def test_limits_are_rounded_outward(low: float, width: float) -> None:
    shown = shown_limits(INSTRUMENTS["volts"], low, low + width)
    assert shown[0] <= low
    assert shown[1] >= low + width
    assert shown[1] - shown[0] < width + 0.011 * (abs(low) + abs(low + width)) + 0.25


@given(st.floats(1e-3, 1e8))
def test_ohmmeter_works_its_reading_out_of_the_divider(ohms: float) -> None:
    for name in ("ohms", "insulation"):
        meter = INSTRUMENTS[name]
        assert ohms_shown(meter, meter.volts * ohms / (ohms + meter.ohms)) == pytest.approx(ohms, rel=1e-6)


def test_nothing_between_the_leads_is_infinite() -> None:
    meter = INSTRUMENTS["ohms"]
    assert math.isinf(ohms_shown(meter, meter.volts))


def test_resistance_never_reads_below_zero() -> None:
    assert shown_limits(INSTRUMENTS["ohms"], 0.00001, 0.02)[0] == 0.0


def test_only_meters_with_a_source_refuse_a_live_circuit() -> None:
    assert {name for name, each in INSTRUMENTS.items() if not each.is_passive} == {"ohms", "insulation"}
