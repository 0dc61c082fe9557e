"""Findings as plain text, ending in one line that counts them."""

from __future__ import annotations

from collections import Counter

from authorkit.checks.run import Findings
from authorkit.problems.show import LineOf, printable, show_problem


def as_text(findings: Findings, line_of: LineOf) -> str:
    """Every open finding with the author's line, then the accepted ones in short, then the count."""
    pieces = [show_problem(problem, line_of) for problem in findings.open]
    pieces += [
        f"{item.problem.place}: accepted: {item.problem.message} [{item.problem.rule}] because: {item.because}"
        for item in findings.accepted
    ]
    return printable("\n".join([*pieces, count_words(findings)]) + "\n")


def count_words(findings: Findings) -> str:
    """'2 errors, 1 warning, 1 accepted' or 'No findings.'"""
    counts = Counter(problem.severity for problem in findings.open)
    words = [_many(counts[severity], severity) for severity in ("error", "warning", "note") if counts[severity]]
    if findings.accepted:
        words.append(f"{len(findings.accepted)} accepted")
    return ", ".join(words) + "." if words else "No findings."


def _many(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"
