"""`authorkit explain ID`: what a rule means."""

from __future__ import annotations

import argparse
import sys

from authorkit.commands import CLEAN, COULD_NOT_RUN
from authorkit.problems import RULES
from authorkit.problems.explain import UnknownRuleError, explanation


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The options of `explain`."""
    parser.add_argument("rule", nargs="?", metavar="ID", help="the id of a rule; without one, every id is listed")


def run(options: argparse.Namespace) -> int:
    """Print one explanation, or the list of all rules."""
    if options.rule is None:
        width = max(len(rule) for rule in RULES) + 2
        for rule in RULES.values():
            print(f"{rule.id:<{width}}{rule.severity:<9}{rule.group}")
        return CLEAN
    try:
        sys.stdout.write(explanation(options.rule))
    except UnknownRuleError as error:
        print(f"authorkit: {error}", file=sys.stderr)
        return COULD_NOT_RUN
    return CLEAN
