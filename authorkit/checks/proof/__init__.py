"""Rules that put the procedure to the proof: every fault walked through it, every state held against the words."""

from __future__ import annotations

from authorkit.checks.proof import (
    answer_unknown,
    fault_unfound,
    ohms_live,
    ohms_may_be_live,
    point_hidden,
    reading_without_answer,
    state_not_made,
    step_divides_nothing,
    suspect_unaccused,
    suspects_undivided,
    verdict_doubtful,
    verdict_idle,
    verdict_wrong,
    window_straddled,
)
from authorkit.checks.rule import RuleModule

RULE_MODULES: tuple[RuleModule, ...] = (
    verdict_wrong,
    verdict_doubtful,
    window_straddled,
    reading_without_answer,
    fault_unfound,
    answer_unknown,
    suspects_undivided,
    verdict_idle,
    step_divides_nothing,
    suspect_unaccused,
    state_not_made,
    point_hidden,
    ohms_live,
    ohms_may_be_live,
)
