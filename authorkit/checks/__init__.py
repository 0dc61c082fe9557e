"""The rules: what is wrong with a book of facts. Each is a module with `RULE` and `check`, and listed here."""

from __future__ import annotations

from authorkit.checks import codes, language, names, notebooks, procedure, proof, prose, readings, safety, wiring
from authorkit.checks.rule import RuleModule

# Rules that compute circuits: about one chapter each, and slow where a whole book has to be computed for them.
COMPUTING: tuple[RuleModule, ...] = (*readings.RULE_MODULES, *proof.RULE_MODULES)

RULE_MODULES: tuple[RuleModule, ...] = (
    *codes.RULE_MODULES,
    *names.RULE_MODULES,
    *wiring.RULE_MODULES,
    *safety.RULE_MODULES,
    *procedure.RULE_MODULES,
    *language.RULE_MODULES,
    *proof.RULE_MODULES,
    *prose.RULE_MODULES,
    *readings.RULE_MODULES,
    *notebooks.RULE_MODULES,
)
