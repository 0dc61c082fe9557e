"""Rules about readings: what the author says against what the circuit gives, and captures against their limits."""

from __future__ import annotations

from authorkit.checks.readings import (
    capture_malformed,
    capture_outside_limits,
    circuit_not_solved,
    code_never_sets,
    device_not_computed,
    fuse_does_not_blow,
    healthy_sets_code,
    reading_contradicts_circuit,
    reading_floats,
    reading_hides_fault,
    reading_tells_nothing,
    reading_too_tight,
    suspect_cannot_set,
    waveform_implausible,
    waveform_malformed,
)
from authorkit.checks.rule import RuleModule

RULE_MODULES: tuple[RuleModule, ...] = (
    circuit_not_solved,
    device_not_computed,
    reading_contradicts_circuit,
    reading_too_tight,
    reading_hides_fault,
    reading_tells_nothing,
    reading_floats,
    fuse_does_not_blow,
    healthy_sets_code,
    code_never_sets,
    suspect_cannot_set,
    waveform_malformed,
    waveform_implausible,
    capture_malformed,
    capture_outside_limits,
)
