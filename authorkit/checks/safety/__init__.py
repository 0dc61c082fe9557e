"""Rules about safety: high voltage, restraint circuits, and the wording of cautions."""

from __future__ import annotations

from authorkit.checks.rule import RuleModule
from authorkit.checks.safety import (
    caution_step_unknown,
    caution_wording,
    high_voltage_colour,
    high_voltage_meter,
    high_voltage_undeclared,
    high_voltage_unproven,
    high_voltage_waiting_unsourced,
    restraint_ohms,
)

RULE_MODULES: tuple[RuleModule, ...] = (
    high_voltage_undeclared,
    high_voltage_waiting_unsourced,
    high_voltage_unproven,
    high_voltage_meter,
    high_voltage_colour,
    caution_wording,
    caution_step_unknown,
    restraint_ohms,
)
