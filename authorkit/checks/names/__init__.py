"""Rules about names: every name that a fact uses must mean one thing that is described."""

from __future__ import annotations

from authorkit.checks.names import (
    module_unknown,
    name_used_twice,
    network_member_unknown,
    part_two_names,
    part_unknown,
    series_unknown,
    spec_point_unknown,
    suspect_unknown,
    system_unknown,
    tool_unknown,
)
from authorkit.checks.rule import RuleModule

RULE_MODULES: tuple[RuleModule, ...] = (
    module_unknown,
    system_unknown,
    series_unknown,
    part_unknown,
    tool_unknown,
    name_used_twice,
    part_two_names,
    network_member_unknown,
    spec_point_unknown,
    suspect_unknown,
)
