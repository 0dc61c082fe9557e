"""What can be wrong, and how it is said: findings as values, one table of rule ids."""

from __future__ import annotations

from authorkit.problems.catalogue import RULES, Rule, Severity
from authorkit.problems.place import Place
from authorkit.problems.problem import Problem

__all__ = ["RULES", "Place", "Problem", "Rule", "Severity"]
