"""Rules about the sentences of steps, repairs and cautions, as far as a machine can tell.

Their sources are ASD-STE100 (Simplified Technical English, Issue 9, 2025; rule numbers as public summaries cite them)
and IEC/IEEE 82079-1:2019 (from memory). The words, the lists and the allowances are this project's own.
"""

from __future__ import annotations

from authorkit.checks.language import (
    instruction_not_imperative,
    instruction_two_in_one,
    sentence_long,
    warning_after_action,
    word_vague,
)
from authorkit.checks.rule import RuleModule

RULE_MODULES: tuple[RuleModule, ...] = (
    sentence_long,
    instruction_two_in_one,
    instruction_not_imperative,
    warning_after_action,
    word_vague,
)
