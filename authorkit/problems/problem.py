"""A finding as a value: never raised, always collected."""

from __future__ import annotations

from dataclasses import dataclass

from authorkit.problems.catalogue import RULES, Severity
from authorkit.problems.place import Place


@dataclass(frozen=True)
class Problem:
    """One finding about the author's material.

    `rule` is an id of the catalogue. `message` is a full sentence that names the culprit. `found` and `expected` quote
    what stood there and what may stand there; `suggestion` is one concrete thing to do. `also` lists the other places
    the finding speaks of (a contradiction names both).
    """

    rule: str
    message: str
    place: Place
    found: str | None = None
    expected: str | None = None
    suggestion: str | None = None
    also: tuple[Place, ...] = ()

    def __post_init__(self) -> None:
        """Refuse an id that the catalogue does not know: a misspelt id would escape every list.

        Raises KeyError.
        """
        RULES[self.rule]

    @property
    def severity(self) -> Severity:
        """How grave, as the catalogue says for this rule."""
        return RULES[self.rule].severity

    @property
    def sort_key(self) -> tuple[str, int, int, int, str, str]:
        """Reading order: by file, then down the notebook, then by rule."""
        place = self.place
        return (place.file, place.cell, place.line, place.column, self.rule, self.message)
