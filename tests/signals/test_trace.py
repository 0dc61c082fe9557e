"""The span of a signal."""

from __future__ import annotations

from authorkit.signals import Signal, Trace


def test_low_and_high_span_all_traces():
    signal = Signal((Trace("H", ((0, 2.5), (1, 3.5))), Trace("L", ((0, 2.5), (1, 1.5)))), 1.0, "voltage")
    assert (signal.low, signal.high) == (1.5, 3.5)
