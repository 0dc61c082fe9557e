"""Edges in detail, on ramps whose duration is their slope."""

from __future__ import annotations

import numpy as np
import pytest

from authorkit.signals.states import Sampled
from authorkit.signals.transitions import excess, transition_duration


def _trapezium(rise: int, fall: int, peak: float = 5.0) -> Sampled:
    cycle = [
        np.zeros(200),
        np.linspace(0, 5, rise, endpoint=False),
        np.full(5, peak),
        np.full(200, 5.0),
        np.linspace(5, 0, fall, endpoint=False),
        np.full(5, 5 - peak),
    ]
    values = np.concatenate([*cycle * 3, np.zeros(200)])
    return Sampled(np.arange(len(values)) * 1e-6, values)


def test_a_ramp_lasts_eight_tenths_from_10_to_90_per_cent():
    sampled = _trapezium(100, 50)
    assert transition_duration(sampled, True) == pytest.approx(80e-6, rel=0.02)
    assert transition_duration(sampled, False) == pytest.approx(40e-6, rel=0.02)


def test_an_edge_faster_than_the_samples_has_no_duration():
    assert transition_duration(_trapezium(1, 1), True) is None


def test_overshoot_and_undershoot_are_shares_of_the_amplitude():
    sampled = _trapezium(20, 20, 5.5)
    assert excess(sampled, True) == pytest.approx(0.1, abs=0.01)
    assert excess(sampled, False) == pytest.approx(0.1, abs=0.01)


def test_without_edges_there_is_nothing():
    flat = Sampled(np.arange(10.0), np.full(10, 3.0))
    assert transition_duration(flat, True) is None
    assert excess(flat, True) is None
