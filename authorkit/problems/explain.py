"""The explanation of each rule: what, why, an example, how to fix. One file per id, shown by command and by page."""

from __future__ import annotations

from importlib import resources

from authorkit.problems.catalogue import RULES
from authorkit.problems.closest import closest, did_you_mean

# Every explanation has these headings, in this order.
PARTS = ("What", "Why", "Example", "How to fix")


class UnknownRuleError(LookupError):
    """There is no rule with this id. `suggestion` is the closest one, or None."""

    def __init__(self, rule: str) -> None:
        """Name the culprit and the closest id."""
        self.suggestion = closest(rule, RULES)
        sentences = (f"There is no rule '{rule}'.", did_you_mean(self.suggestion))
        super().__init__(" ".join(filter(None, sentences)))


def explanation(rule: str) -> str:
    """The Markdown text that explains a rule.

    Raises UnknownRuleError.
    """
    if rule not in RULES:
        raise UnknownRuleError(rule)
    return resources.files("authorkit.problems").joinpath("explanations", f"{rule}.md").read_text(encoding="utf-8")
