"""Described signals: from words and values to what an oscilloscope shows."""

from __future__ import annotations

from authorkit.signals.describe import describe
from authorkit.signals.shapes import SHAPES
from authorkit.signals.trace import Signal, Trace

__all__ = ["SHAPES", "Signal", "Trace", "describe"]
