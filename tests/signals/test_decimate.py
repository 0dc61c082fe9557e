"""Fewer points, the same peaks."""

from __future__ import annotations

import numpy as np

from authorkit.signals.decimate import decimate


def test_a_needle_of_one_sample_stays():
    values = np.random.default_rng(2).normal(0, 0.1, 100_000)
    values[61_803], values[31_415] = 9.0, -8.0
    times = np.arange(100_000) * 1e-6
    points = decimate(times, values, 500)
    assert len(points) <= 2 * 500 + 2
    assert (times[61_803], 9.0) in points
    assert (times[31_415], -8.0) in points
    assert points[0] == (times[0], values[0])
    assert points[-1] == (times[-1], values[-1])
    assert [time for time, _ in points] == sorted(time for time, _ in points)


def test_every_column_keeps_its_lowest_and_highest():
    values = np.sin(np.arange(10_000) / 3)
    points = np.array(decimate(np.arange(10_000.0), values, 100))
    for start in range(0, 9_900, 1000):
        inside = points[(points[:, 0] >= start) & (points[:, 0] < start + 1000), 1]
        assert inside.max() > 0.999
        assert inside.min() < -0.999


def test_a_short_capture_keeps_every_sample():
    assert decimate(np.arange(3.0), np.array([1.0, 2, 1]), 100) == ((0, 1), (1, 2), (2, 1))


def test_columns_without_samples_are_left_out():
    times = np.concatenate([np.arange(500.0), 10_000 + np.arange(500.0)])
    points = decimate(times, np.arange(1000.0), 100)
    assert points[-1] == (10_499.0, 999.0)
    assert len(set(points)) == len(points)
