"""What a rule is: a module with an id of the catalogue and one function."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Protocol

from authorkit.checks.subject import Subject
from authorkit.problems import Problem


class RuleModule(Protocol):
    """A module of one of the groups; it reports nothing but findings of its own rule."""

    RULE: str

    def check(self, subject: Subject) -> Iterator[Problem]:
        """Every finding of this rule about the book, in any order."""
        ...
