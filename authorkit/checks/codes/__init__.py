"""Rules about trouble codes: what they mean, who says so, when they set."""

from __future__ import annotations

from authorkit.checks.codes import (
    chapter_unreferenced,
    code_range_contradicts,
    code_reserved,
    code_title_contradicts,
    code_twice,
    failure_type_contradicts,
    failure_type_unknown,
    related_code_unknown,
    set_condition_missing,
    watch_unknown,
)
from authorkit.checks.rule import RuleModule

RULE_MODULES: tuple[RuleModule, ...] = (
    code_reserved,
    code_range_contradicts,
    code_title_contradicts,
    failure_type_unknown,
    failure_type_contradicts,
    code_twice,
    chapter_unreferenced,
    related_code_unknown,
    set_condition_missing,
    watch_unknown,
)
