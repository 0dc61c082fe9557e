"""What lies in a window, and which windows meet."""

from __future__ import annotations

import math
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from authorkit.units import (
    Bound,
    Quantity,
    Tolerance,
    UnitError,
    Window,
    parse_quantity,
    parse_window,
    window_of,
)


def volts(text: str) -> Quantity:
    return Quantity(Decimal(text), "V")


@pytest.mark.parametrize(
    ("text", "inside", "outside"),
    [
        ("4.9 to 5.1 V", [4.9, 5.0, 5.1], [4.899, 5.101]),
        ("5 V ± 2 %", [4.9, 5.1], [4.899, 5.101]),
        ("60 Ω ± 5 Ω", [55.0, 65.0], [54.9, 65.1]),
        ("below 0.3 V", [-12.0, 0.0, 0.2999], [0.3, 5.0]),
        ("at most 0.1 V", [0.1, -1.0], [0.1001]),
        ("above 4.85 V", [4.851, 1e6], [4.85]),
        ("at least 10 MΩ", [1e7, math.inf], [9.99e6]),
        ("above 4.9 V and below 5.1 V", [5.0], [4.9, 5.1]),
        ("above 4.9 V and at most 5.1 V", [5.1], [4.9]),
        ("-40 to 125 °C", [-40.0, 125.0], [-40.1, 125.1]),
        ("18 to 16 AWG", [1.0e-6], [0.8e-6, 1.4e-6]),
        ("5 to 10 %", [0.05, 0.1], [0.04, 5.0]),
    ],
)
def test_a_reading_is_in_or_out(text: str, inside: list[float], outside: list[float]) -> None:
    window = parse_window(text)
    assert [value for value in inside if not window.contains(value)] == []
    assert [value for value in outside if window.contains(value)] == []


def test_no_window_contains_a_value_that_is_no_number() -> None:
    for text in ("4.9 to 5.1 V", "below 5 V", "above 5 V", "at least 0 V"):
        assert not parse_window(text).contains(math.nan)


def test_a_window_relative_to_the_battery_moves_with_it() -> None:
    window = parse_window("battery minus 0.3 V to battery")
    assert window.is_battery_relative
    assert window.contains(12.5, battery=12.6)
    assert not window.contains(12.5, battery=14.2)
    assert window.nominal(12.6) == pytest.approx(12.45)


def test_one_battery_limit_makes_the_window_relative() -> None:
    assert parse_window("0.5 V to battery").is_battery_relative
    assert parse_window("above battery minus 0.5 V").is_battery_relative
    assert not parse_window("4.9 to 5.1 V").is_battery_relative


def test_without_the_battery_voltage_nothing_is_guessed() -> None:
    window = parse_window("at least battery minus 0.3 V")
    with pytest.raises(ValueError, match="battery voltage is needed"):
        window.contains(12.0)
    with pytest.raises(ValueError, match="battery voltage is needed"):
        window.overlaps(parse_window("below 5 V"))
    assert parse_window("battery minus 1 V to battery").nominal() is None


@pytest.mark.parametrize(
    ("text", "nominal"),
    [
        ("5 V ± 2 %", 5.0),
        ("4.8 to 5.2 V", 5.0),
        ("2.2 kΩ ± 1 %", 2200.0),
        ("below 5 V", None),
        ("at least 5 V", None),
    ],
)
def test_the_value_aimed_at(text: str, nominal: float | None) -> None:
    assert parse_window(text).nominal() == nominal


@pytest.mark.parametrize(
    ("one", "other", "overlap"),
    [
        ("4.9 to 5.1 V", "5.1 to 6 V", True),
        ("4.9 to 5.1 V", "above 5.1 V", False),
        ("4.9 to 5.1 V", "at least 5.1 V", True),
        ("below 0.3 V", "at least 0.3 V", False),
        ("at most 0.3 V", "at least 0.3 V", True),
        ("below 0.3 V", "below 12 V", True),
        ("4.9 to 5.1 V", "5 V ± 1 %", True),
        ("below 300 mV", "0.3 to 5 V", False),
        ("4.9 to 5.1 V", "4 to 6 Ω", False),
        ("battery minus 0.3 V to battery", "at least 12.6 V", True),
        ("battery minus 0.3 V to battery", "above 12.6 V", False),
    ],
)
def test_two_windows_meet_or_not(one: str, other: str, overlap: bool) -> None:
    first, second = parse_window(one), parse_window(other)
    assert first.overlaps(second, battery=12.6) is overlap
    assert second.overlaps(first, battery=12.6) is overlap


LIMITS = st.integers(-3, 3)
WINDOWS = st.builds(
    lambda ends, low, high, flags: Window(
        Bound(None, volts(str(ends[0]))) if low else None,
        Bound(None, volts(str(ends[1]))) if high else None,
        flags[0] or ends[0] == ends[1],
        flags[1] or ends[0] == ends[1],
    ),
    st.tuples(LIMITS, LIMITS).map(sorted),
    st.just(True),
    st.booleans(),
    st.tuples(st.booleans(), st.booleans()),
)


@settings(derandomize=True, deadline=None, max_examples=300, database=None)
@given(one=WINDOWS, other=WINDOWS)
def test_windows_overlap_exactly_when_some_reading_lies_in_both(one: Window, other: Window) -> None:
    # Limits are whole volts, so the half volts and the whole ones try every case there is.
    readings = [half / 2 for half in range(-8, 9)]
    assert one.overlaps(other) == any(one.contains(value) and other.contains(value) for value in readings)


def test_a_quantity_with_tolerance_gives_its_window() -> None:
    quantity = parse_quantity("5 V ± 2 %")
    window = window_of(quantity)
    assert window == parse_window("5 V ± 2 %")
    assert window.stated == quantity
    assert (window.low, window.high) == (Bound(None, volts("4.9")), Bound(None, volts("5.1")))


def test_the_flag_of_an_open_side_is_settled() -> None:
    bound = Bound(None, volts("5"))
    assert Window(None, bound, True, True) == Window(None, bound, False, True)
    assert Window(bound, None).dimension == "voltage"


@pytest.mark.parametrize(
    ("low", "high", "inclusive", "message"),
    [
        (None, None, True, "without any limit"),
        (volts("5"), Quantity(Decimal(6), "A"), True, "a voltage to a current"),
        (volts("5"), volts("4"), True, "not below its upper"),
        (volts("5"), volts("5"), False, "not below its upper"),
    ],
)
def test_a_window_nothing_can_be_in_is_refused(
    low: Quantity | None, high: Quantity | None, inclusive: bool, message: str
) -> None:
    with pytest.raises(UnitError, match=message):
        Window(Bound(None, low) if low else None, Bound(None, high) if high else None, inclusive, True)


def test_a_single_value_is_a_window_when_both_ends_count() -> None:
    assert Window(Bound(None, volts("5")), Bound(None, volts("5"))).contains(5.0)


@pytest.mark.parametrize(
    ("of", "offset", "message"),
    [
        ("ground", volts("1"), "relative to 'ground'"),
        ("battery", Quantity(Decimal(1), "A"), "a current added to the battery voltage"),
        (None, Quantity(Decimal(1), "V", Tolerance(relative=Decimal(1))), "a limit with a tolerance"),
    ],
)
def test_what_is_no_limit_is_refused(of: str | None, offset: Quantity, message: str) -> None:
    with pytest.raises(UnitError, match=message):
        Bound(of, offset)


def test_a_limit_resolves_to_base_units() -> None:
    assert Bound(None, Quantity(Decimal(300), "mV")).resolve() == 0.3
    assert Bound("battery", volts("-0.5")).resolve(12.5) == 12.0
