"""Rules about notebooks as files: what they hold beside the author's text."""

from __future__ import annotations

from authorkit.checks.notebooks import notebook_untidy
from authorkit.checks.rule import RuleModule

RULE_MODULES: tuple[RuleModule, ...] = (notebook_untidy,)
