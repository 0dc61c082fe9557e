"""The name of a limit: a measurement, perhaps of another channel."""

from __future__ import annotations

import pytest

from authorkit.signals.limits import LimitName, parse_limit


@pytest.mark.parametrize(
    ("name", "meant"),
    [
        ("frequency", LimitName(1, "frequency")),
        ("ch2.frequency", LimitName(2, "frequency")),
        ("CH12.mean", LimitName(12, "mean")),
        ("ch0.mean", LimitName(1, "ch0.mean")),
        ("pulse-width", LimitName(1, "pulse-width")),
    ],
)
def test_a_name_is_taken_apart(name, meant):
    assert parse_limit(name) == meant
