"""Rules about captures: files that can be read, and readings that lie within the author's limits."""

from __future__ import annotations

from authorkit.checks.readings import capture_malformed, capture_outside_limits
from authorkit.checks.rule import RuleModule

RULE_MODULES: tuple[RuleModule, ...] = (capture_malformed, capture_outside_limits)
