"""`authorkit explain ID`: what a rule means."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from authorkit.commands import CLEAN, COULD_NOT_RUN, FINDINGS
from authorkit.problems import RULES
from authorkit.problems.explain import UnknownRuleError, explanation


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The options of `explain`."""
    parser.add_argument("rule", nargs="?", metavar="ID", help="the id of a rule; without one, every id is listed")
    parser.add_argument("--html", metavar="DIR", type=Path, help="write the explanations of all rules as HTML pages")


def run(options: argparse.Namespace) -> int:
    """Print one explanation, or the list of all rules, or write them all as pages."""
    if options.html:
        return _write_pages(options.html)
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


def _write_pages(target: Path) -> int:
    # Imported here: printing one explanation needs neither the page model nor a writer.
    from authorkit.manual.rule_pages import rule_pages
    from authorkit.output.html import write_html

    problems = write_html(rule_pages(), target)
    for problem in problems:
        print(f"authorkit: {problem.message}", file=sys.stderr)
    if problems:
        return FINDINGS
    print(f"Rules: {target / 'index.html'}")
    return CLEAN
