"""Described signals: their corner points against closed forms and the form that the standards give."""

from __future__ import annotations

import itertools
import math

import pytest

from authorkit.signals.shapes import SHAPES, Parameters, ShapeError


def _make(shape: str, **given: float | str):
    return SHAPES[shape].make(Parameters({name.replace("_", "-"): value for name, value in given.items()}, "voltage"))


def _average(points, start: float, stop: float) -> float:
    """The mean of straight lines between corner points (trapezoids; exact)."""
    area = 0.0
    for (t0, v0), (t1, v1) in itertools.pairwise(points):
        if t0 >= start - 1e-12 and t1 <= stop + 1e-12:
            area += (v0 + v1) / 2 * (t1 - t0)
    return area / (stop - start)


def test_mean_of_a_square_wave_is_low_plus_duty_times_swing():
    signal = _make("square", low=0.0, high=5.0, frequency=100.0, duty=0.3)
    start = signal.trigger
    assert _average(signal.traces[0].points, start, start + 0.01) == pytest.approx(1.5)  # 5 V × 30 %


def test_a_square_wave_has_upright_edges():
    times = [time for time, _ in _make("square", low=0.0, high=5.0, frequency=100.0, duty=0.3).traces[0].points]
    assert any(a == b for a, b in itertools.pairwise(times))
    assert times == sorted(times)


@pytest.mark.parametrize("duty", [0.0, 1.0, 1.5, -0.1])
def test_a_duty_cycle_outside_its_range_is_refused(duty):
    with pytest.raises(ShapeError, match="duty"):
        _make("pwm", low=0.0, high=5.0, frequency=100.0, duty=duty)


def test_a_pulse_train_leaves_out_its_missing_teeth():
    signal = _make("pulse-train", low=0.0, high=5.0, frequency=1000.0, teeth="12", missing="2")
    rising = [
        b
        for (b, low), (_, high) in zip(signal.traces[0].points, signal.traces[0].points[1:], strict=False)
        if high > low
    ]
    gaps = [round((b - a) * 1000, 6) for a, b in itertools.pairwise(rising)]
    assert gaps[:10] == [1.0] * 9 + [3.0]  # ten teeth, then two missing: three periods from edge to edge


def test_more_missing_teeth_than_teeth_is_refused():
    with pytest.raises(ShapeError, match="teeth"):
        _make("pulse-train", low=0.0, high=5.0, frequency=1000.0, teeth="4", missing="4")


def test_an_rc_edge_rises_from_10_to_90_percent_in_ln9_tau():
    # Closed form: t(10–90 %) = τ ln 9 = 2.1972 τ.
    signal = _make("rc-edge", low=0.0, high=1.0, tau=1e-3)
    points = signal.traces[0].points

    def crossing(level: float) -> float:
        for (t0, v0), (t1, v1) in itertools.pairwise(points):
            if v0 < level <= v1:
                return t0 + (level - v0) / (v1 - v0) * (t1 - t0)
        raise AssertionError(level)

    assert crossing(0.9) - crossing(0.1) == pytest.approx(math.log(9) * 1e-3, rel=2e-3)


def test_resolver_windings_are_in_quadrature():
    signal = _make("resolver", amplitude=7.0, carrier=10e3, turning=500.0, ratio=0.5)
    excitation, sine, cosine = (dict(trace.points) for trace in signal.traces)
    for time, value in excitation.items():
        # (sin θ)² + (cos θ)² = 1 for every angle: the windings together give the excitation times the ratio.
        assert sine[time] ** 2 + cosine[time] ** 2 == pytest.approx((0.5 * value) ** 2, abs=1e-9)


def test_a_dominant_bit_spreads_the_two_wires():
    signal = _make("two-wire-bus", recessive=2.5, dominant_high=3.5, dominant_low=1.5, bit_time=2e-6, bits="01")
    high, low = (dict(trace.points) for trace in signal.traces)
    middle = 5e-6  # inside the first bit, after two idle bits of 2 µs
    at = max(time for time in high if time <= middle)
    assert (high[at], low[at]) == (3.5, 1.5)  # 2 V differential: dominant by ISO 11898-2


def test_a_one_wire_frame_starts_with_thirteen_dominant_bits():
    signal = _make("one-wire-bus", low=0.6, high=12.4, bit_time=52e-6)
    points = signal.traces[0].points
    falling = next(t for (t, a), (_, b) in itertools.pairwise(points) if b < a)
    rising = next(t for (t, a), (_, b) in itertools.pairwise(points) if b > a)
    assert (rising - falling) / 52e-6 == pytest.approx(13)  # ISO 17987: a break is at least 13 bits


def test_a_sent_frame_has_a_sync_of_56_ticks_and_nibbles_of_12_to_27():
    # SAE J2716: 56 ticks of synchronisation, a nibble is 12 ticks plus its value.
    signal = _make("sent", low=0.3, high=4.6, tick=3e-6, nibbles="0 F")
    points = signal.traces[0].points
    falls = [t for (t, a), (_, b) in itertools.pairwise(points) if b < a]
    ticks = [round((b - a) / 3e-6) for a, b in itertools.pairwise(falls)]
    assert ticks == [56, 12, 27]


@pytest.mark.parametrize(("shape", "given"), [("sent", {"nibbles": "G"}), ("two-wire-bus", {"bits": "012"})])
def test_codes_that_are_not_digits_are_refused(shape, given):
    values = {"low": 0.0, "high": 5.0, "tick": 3e-6, "bit_time": 1e-6, "recessive": 2.5}
    with pytest.raises(ShapeError):
        _make(shape, dominant_high=3.5, dominant_low=1.5, **values, **given)


def test_a_frequency_of_zero_is_refused():
    with pytest.raises(ShapeError, match="frequency"):
        _make("square", low=0.0, high=5.0, frequency=0.0)
