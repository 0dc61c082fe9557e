"""Rules about prose: references and links that lead somewhere, and words that agree with the facts."""

from __future__ import annotations

from authorkit.checks.prose import (
    abbreviation_unexplained,
    anchor_twice,
    capture_missing,
    figure_missing,
    figure_unused,
    link_dangling,
    path_unknown,
    prose_contradicts_cavity,
    prose_contradicts_name,
    prose_unsafe,
    prose_voltage_differs,
    reference_dangling,
    reference_kind_unknown,
    term_avoided,
    todo_left,
)
from authorkit.checks.rule import RuleModule

RULE_MODULES: tuple[RuleModule, ...] = (
    reference_kind_unknown,
    reference_dangling,
    link_dangling,
    anchor_twice,
    figure_missing,
    figure_unused,
    path_unknown,
    capture_missing,
    prose_contradicts_cavity,
    prose_contradicts_name,
    prose_voltage_differs,
    prose_unsafe,
    term_avoided,
    abbreviation_unexplained,
    todo_left,
)
