"""States and edges, from numbers that can be followed by hand."""

from __future__ import annotations

import numpy as np
import pytest

from authorkit.signals.states import Levels, crossings, find_edges, regular_periods, state_levels, switches


def test_the_modes_of_both_halves_are_the_states():
    values = np.array([0.0] * 50 + [1.0] * 9 + [5.0] * 40 + [6.4] * 3)
    levels = state_levels(values)
    assert levels is not None
    assert levels.low == pytest.approx(0, abs=6.4 / 256)
    assert levels.high == pytest.approx(5, abs=6.4 / 256)


def test_noise_around_one_level_is_one_state():
    assert state_levels(np.random.default_rng(1).normal(2.5, 0.1, 5000)) is None
    assert state_levels(np.full(10, 5.0)) is None


def test_a_crossing_is_interpolated():
    at, instants = crossings(np.array([0.0, 1, 2, 3]), np.array([0.0, 4, 4, 0]), 1.0)
    assert at.tolist() == [0, 2]
    assert instants.tolist() == [0.25, 2.75]


def test_a_switch_needs_the_whole_band():
    values = np.array([0.0, 0.55, 0.45, 0.55, 1, 0.55, 0.45, 1, 0])
    before, after, rises = switches(values, 0.4, 0.6)
    assert list(zip(before.tolist(), after.tolist(), rises.tolist(), strict=True)) == [(0, 4, True), (7, 8, False)]


def test_a_noisy_edge_lies_halfway_between_its_crossings():
    values = np.array([0.0, 0.55, 0.45, 1.0, 1.0])
    edges = find_edges(np.arange(5.0), values, Levels(0, 1))
    first, last = 0.5 / 0.55, 2 + 0.05 / 0.55
    assert edges.instants.tolist() == pytest.approx([(first + last) / 2])
    assert edges.rising().tolist() == edges.instants.tolist()


def test_a_reference_level_is_a_share_of_the_amplitude():
    assert Levels(1, 5).at(0.1) == pytest.approx(1.4)


def test_periods_are_regular_only_if_most_are_alike_and_last_five_samples():
    assert regular_periods(np.array([10.0, 10, 20, 10]), 1.0).tolist() == [True, True, False, True]
    assert regular_periods(np.array([10.0, 20, 35]), 1.0) is None
    assert regular_periods(np.array([4.0, 4, 4]), 1.0) is None
    assert regular_periods(np.array([3.0, 3, 4, 2, 6, 4]) * 10, 1.0) is None  # bits of a bus frame
    assert regular_periods(np.empty(0), 1.0) is None
