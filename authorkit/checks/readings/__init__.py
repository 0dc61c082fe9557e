"""Rules about waveforms: descriptions that can be drawn, captures that can be read and keep the author's limits."""

from __future__ import annotations

from authorkit.checks.readings import (
    capture_malformed,
    capture_outside_limits,
    waveform_implausible,
    waveform_malformed,
)
from authorkit.checks.rule import RuleModule

RULE_MODULES: tuple[RuleModule, ...] = (
    waveform_malformed,
    waveform_implausible,
    capture_malformed,
    capture_outside_limits,
)
