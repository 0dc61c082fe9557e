"""Measurements against closed forms and scipy.signal, with noise, and None where a signal has no such quantity.

Closed forms: one-pole edge t10-90 = ln 9 · τ; second-order overshoot exp(−πζ/√(1−ζ²)); rectangle of duty d between 0
and V: mean dV, r.m.s. V√d; sine r.m.s. a/√2; amplitude modulation of depth m.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import signal as scipy_signal

from authorkit.signals.capture import Capture, Channel
from authorkit.signals.measure import MEASUREMENTS, dimension_of, measure, show_measured

RATE = 1e6


def _capture(*channels, rate: float = RATE) -> Capture:
    times = np.arange(len(channels[0])) / rate
    return Capture(times, tuple(Channel(f"CH{n}", "voltage", values) for n, values in enumerate(channels, 1)))


def _measure(values, rate: float = RATE):
    return measure(_capture(values, rate=rate), 1)


def _times(seconds: float, rate: float = RATE):
    return np.arange(round(seconds * rate)) / rate


def _rectangle(frequency: float, duty: float, seconds: float = 0.05):
    """0 to 5 V, from scipy."""
    return 2.5 + 2.5 * scipy_signal.square(2 * np.pi * frequency * _times(seconds) + 0.3, duty)


def _noise(length: int, sigma: float):
    return np.random.default_rng(3).normal(0, sigma, length)


def test_a_rectangle_by_its_closed_forms():
    values = _measure(_rectangle(100, 0.3))
    assert values["frequency"] == pytest.approx(100, rel=1e-3)
    assert values["period"] == pytest.approx(0.01, rel=1e-3)
    assert values["duty"] == pytest.approx(0.3, abs=1e-3)
    assert values["duty-low"] == pytest.approx(0.7, abs=1e-3)
    assert values["pulse-width"] == pytest.approx(3e-3, rel=1e-3)
    assert values["pulse-width-low"] == pytest.approx(7e-3, rel=1e-3)
    assert values["mean"] == pytest.approx(1.5, abs=2e-3)
    assert values["rms"] == pytest.approx(5 * math.sqrt(0.3), abs=2e-3)
    assert values["low"] == pytest.approx(0, abs=5 / 256)  # one bin of the histogram
    assert values["high"] == pytest.approx(5, abs=5 / 256)
    assert values["overshoot"] == pytest.approx(0, abs=0.01)
    for absent in ("rise-time", "fall-time", "missing-teeth", "phase", "modulation-depth"):
        assert absent not in values  # an edge faster than the samples has no duration that could be told


@pytest.mark.parametrize(("frequency", "duty"), [(90, 0.1), (120, 0.5), (400, 0.85)])
def test_noise_of_two_per_cent_makes_no_second_edge(frequency, duty):
    """IEEE 181 leaves noise to the user; without hysteresis slow edges cross 50 % several times."""
    ideal = _rectangle(frequency, duty)
    keep = math.exp(-1 / 50)  # of a filter of 50 µs, which has settled before the first sample
    slow = scipy_signal.lfilter([1 - keep], [1, -keep], ideal, zi=[keep * ideal[0]])[0]
    noisy = slow + _noise(len(slow), 0.1)
    assert np.count_nonzero(np.diff(noisy > 2.5)) > 2 * np.count_nonzero(np.diff(ideal > 2.5))
    values = _measure(noisy)
    assert values["frequency"] == pytest.approx(frequency, rel=2e-3)
    assert values["duty"] == pytest.approx(duty, abs=0.01)
    assert values["amplitude"] == pytest.approx(5, rel=0.05)
    assert values["mean"] == pytest.approx(5 * duty, abs=0.03)


@pytest.mark.parametrize("tau", [20e-6, 100e-6, 400e-6])
def test_an_edge_through_resistor_and_capacitor_lasts_ln_9_tau(tau):
    time = _times(0.01)
    rise = np.where(time < 1e-3, 0, 5 * (1 - np.exp(-(time - 1e-3) / tau)))
    assert _measure(rise)["rise-time"] == pytest.approx(math.log(9) * tau, rel=0.02)
    fall = _measure(5 - rise)
    assert fall["fall-time"] == pytest.approx(math.log(9) * tau, rel=0.02)
    assert "rise-time" not in fall
    assert "frequency" not in fall


@pytest.mark.parametrize(("damping", "overshoot"), [(0.2, 0.5266), (0.4559, 0.200), (0.7, 0.0460)])
def test_the_overshoot_of_a_second_order_step(damping, overshoot):
    assert math.exp(-math.pi * damping / math.sqrt(1 - damping**2)) == pytest.approx(overshoot, abs=1e-3)
    natural = 2 * math.pi * 1000
    time, step = scipy_signal.step(
        scipy_signal.lti([natural**2], [1, 2 * damping * natural, natural**2]), T=_times(0.02)
    )
    values = np.concatenate([np.zeros(2000), 5 * step])
    assert len(time) == len(step)
    assert _measure(values)["overshoot"] == pytest.approx(overshoot, abs=0.01)
    assert _measure(5 - values)["undershoot"] == pytest.approx(overshoot, abs=0.01)


def test_the_instants_agree_with_the_widths_that_scipy_measures():
    """Oracle: scipy.signal.find_peaks with width at half prominence, on triangular pulses."""
    values = 2.5 + 2.5 * scipy_signal.sawtooth(2 * np.pi * 200 * _times(0.05) + 0.5, 0.5)
    peaks, found = scipy_signal.find_peaks(values, prominence=1, width=1, rel_height=0.5)
    measured = _measure(values)
    assert measured["frequency"] == pytest.approx(RATE / np.diff(peaks).mean(), rel=1e-3)
    low, high = measured["low"], measured["high"]
    share = 1 - (0.5 * (low + high)) / 5  # a triangle is as wide at a level as that level lies beneath its peak
    assert measured["pulse-width"] == pytest.approx(share / 200, rel=0.01)
    assert np.median(found["widths"]) / RATE == pytest.approx(0.5 / 200, rel=0.01)


def test_a_sine_with_offset():
    values = _measure(1 + 3 * np.sin(2 * np.pi * 250 * _times(0.03) - 1))
    assert values["frequency"] == pytest.approx(250, rel=1e-4)
    assert values["mean"] == pytest.approx(1, abs=1e-3)
    assert values["rms"] == pytest.approx(math.sqrt(1 + 9 / 2), rel=1e-3)
    assert values["peak-to-peak"] == pytest.approx(6, rel=1e-3)
    assert values["minimum"] == pytest.approx(-2, rel=1e-3)
    assert values["maximum"] == pytest.approx(4, rel=1e-3)


@pytest.mark.parametrize("degrees", [-120, -30, 0, 45, 90, 179])
def test_the_phase_between_two_channels(degrees):
    angle = 2 * np.pi * 50 * _times(0.1, 1e5)
    behind = np.sin(angle - math.radians(degrees))
    capture = _capture(np.sin(angle), behind + _noise(len(angle), 0.02), rate=1e5)
    assert math.degrees(measure(capture, 1)["phase"]) == pytest.approx(degrees, abs=1)
    assert measure(capture, 2)["phase"] == measure(capture, 1)["phase"]
    other = _capture(np.sin(angle), np.sin(2 * angle), rate=1e5)
    assert "phase" not in measure(other, 1)


@pytest.mark.parametrize(("teeth", "missing"), [(36, 1), (60, 2), (12, 1), (4, 1)])
def test_missing_teeth_are_counted(teeth, missing):
    turn = np.concatenate([np.tile([5.0] * 20 + [0.0] * 20, teeth - missing), np.zeros(40 * missing)])
    values = _measure(np.tile(turn, 4) + _noise(4 * len(turn), 0.05), rate=1e5)
    assert values["missing-teeth"] == missing
    assert values["teeth"] == teeth
    assert values["frequency"] == pytest.approx(2500, rel=0.01)
    assert values["turn-frequency"] == pytest.approx(2500 / teeth, rel=0.01)


@pytest.mark.parametrize("depth", [0.2, 0.5, 0.9])
def test_the_envelope_of_a_modulated_carrier(depth):
    time = _times(0.02)
    values = (1 + depth * np.sin(2 * np.pi * 200 * time)) * np.sin(2 * np.pi * 10e3 * time)
    found = _measure(values + _noise(len(time), 0.002))
    assert found["carrier-frequency"] == pytest.approx(10e3, rel=1e-3)
    assert found["modulation-depth"] == pytest.approx(depth, abs=0.02)
    assert found["envelope-frequency"] == pytest.approx(200, rel=0.01)
    hilbert = np.abs(scipy_signal.hilbert(values))[1000:-1000]  # oracle: the analytic signal; its ends are not true
    assert (hilbert.max() - hilbert.min()) / (hilbert.max() + hilbert.min()) == pytest.approx(depth, abs=0.01)


def test_the_envelope_of_a_resolver_has_twice_the_turning_frequency():
    time = _times(0.012)
    winding = 5 * np.cos(2 * np.pi * 250 * time) * np.sin(2 * np.pi * 10e3 * time)
    assert _measure(winding)["envelope-frequency"] == pytest.approx(500, rel=0.01)
    assert "frequency" not in _measure(winding)


FLAT = {
    "steady": np.full(2000, 12.6),
    "noise": 12.6 + _noise(2000, 0.02),
    "zero": np.zeros(2000),
    "the last bit toggles": 12.6 + 0.01 * (np.arange(2000) % 2),
}


@pytest.mark.parametrize("name", FLAT)
def test_a_steady_level_has_no_frequency(name):
    values = _measure(FLAT[name])
    assert values["mean"] == pytest.approx(FLAT[name].mean(), abs=0.01)
    for absent in ("frequency", "period", "duty", "carrier-frequency", "missing-teeth"):
        assert absent not in values


def test_a_bus_frame_is_not_periodic():
    bits = [0, 1, 0, 0, 1, 1, 0, 1, 0, 0, 0, 1, 0, 1, 1, 0, 0, 0, 0, 1, 1, 1, 0, 1]
    values = _measure(np.repeat(np.array(bits, float), 20))
    assert "frequency" not in values
    assert values["pulse-width"] >= 20 / RATE * 0.99


def test_four_samples_are_enough_not_to_fail():
    for four in ([0.0, 0, 0, 0], [0.0, 5, 0, 5], [5.0, 0, 0, 5], [1.0, 2, 3, 4]):
        assert "mean" in _measure(np.array(four))


def test_every_row_of_the_table_is_reached_by_some_signal():
    time = _times(0.02)
    wheel = np.tile(np.concatenate([np.tile([5.0] * 20 + [0.0] * 20, 11), np.zeros(40)]), 4)
    slow = scipy_signal.lfilter([0.1], [1, -0.9], _rectangle(100, 0.3))
    modulated = (1 + 0.5 * np.sin(2 * np.pi * 200 * time)) * np.sin(2 * np.pi * 10e3 * time)
    found = {**_measure(wheel), **_measure(slow), **_measure(modulated), **measure(_capture(slow, slow), 1)}
    assert set(found) == set(MEASUREMENTS)


def test_values_are_shown_in_their_unit():
    assert show_measured("high", 0.0049, "current") == "4.9\u202fmA"
    assert show_measured("duty", 0.35, "voltage") == "35\u202f%"
    assert show_measured("phase", math.pi / 2, "voltage") == "90°"
    assert show_measured("teeth", 36.0, "voltage") == "36"
    assert dimension_of("mean", "ratio") == "ratio"
    assert dimension_of("period", "ratio") == "time"


def test_a_trapezoid_by_the_definitions_of_ieee_181():
    """IEEE 181: with the states at 1 V and 5 V the 10, 50 and 90 % reference levels are 1.4, 3 and 4.6 V; transition
    duration between the 10 and 90 % instants, pulse duration between the 50 % instants, all on straight edges."""
    corners = [(0.0, 1.0), (1e-3, 1.0), (1.5e-3, 5.0), (3.5e-3, 5.0), (4.5e-3, 1.0), (6e-3, 1.0)]
    time = _times(6e-3)
    values = np.interp(time, [at for at, _ in corners], [level for _, level in corners])
    found = _measure(values)
    bin_width = 4 / 256
    assert found["low"] == pytest.approx(1, abs=bin_width)
    assert found["high"] == pytest.approx(5, abs=bin_width)
    assert found["amplitude"] == pytest.approx(4, abs=2 * bin_width)
    assert found["rise-time"] == pytest.approx(0.8 * 0.5e-3, rel=0.01)
    assert found["fall-time"] == pytest.approx(0.8 * 1e-3, rel=0.01)
    assert found["pulse-width"] == pytest.approx(4e-3 - 1.25e-3, rel=0.005)
    assert found["peak-to-peak"] == pytest.approx(4)
    assert found["overshoot"] == pytest.approx(0, abs=0.005)
    assert found["mean"] == pytest.approx((1 * 6e-3 + 4 * (2e-3 + (0.5e-3 + 1e-3) / 2)) / 6e-3, rel=1e-3)
