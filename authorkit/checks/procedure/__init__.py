"""Rules about the procedure and what stands around it: every answer leads somewhere, every end is named."""

from __future__ import annotations

from authorkit.checks.procedure import (
    after_repair_missing,
    before_start_missing,
    procedure_length,
    procedure_missing,
    revision_missing,
    step_goto_unknown,
    step_unreachable,
    step_window_overlap,
    step_without_answer,
    verdict_unknown,
)
from authorkit.checks.rule import RuleModule

RULE_MODULES: tuple[RuleModule, ...] = (
    procedure_missing,
    procedure_length,
    step_goto_unknown,
    step_unreachable,
    step_without_answer,
    step_window_overlap,
    verdict_unknown,
    before_start_missing,
    after_repair_missing,
    revision_missing,
)
