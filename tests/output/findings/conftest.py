"""Findings of every kind, for the writers."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from authorkit.checks.run import Accepted, Findings
from authorkit.problems import Place, Problem

CHAPTER = "chapters/P0118.ipynb"
OTHER = "chapters/P0117.ipynb"


@pytest.fixture
def findings() -> Findings:
    """An error with two places, a warning about a file as a whole, a note, and an accepted error."""
    contradiction = Problem(
        "wire-two-colours",
        "The wire K131 from B5.1 to X12.4 is GN here & BU there.",
        Place(CHAPTER, 2, 7, 12),
        found="GN",
        expected="BU",
        suggestion="Look at the wire, and correct the place that is <wrong>.",
        also=(Place(OTHER, 2, 5, 3),),
    )
    return Findings(
        (
            contradiction,
            Problem("procedure-length", "The procedure has 2 steps.", Place(CHAPTER, 2, 30)),
            Problem("figure-unused", "No notebook uses the file 'a, b%20c.png'.", Place("figures/a, b%20c.png")),
        ),
        (Accepted(Problem("todo-left", "A note is left.", Place(OTHER, 1, 2, 3)), "Draft for the class"),),
    )


@pytest.fixture
def nothing() -> Findings:
    """The outcome of a clean check."""
    return Findings((), ())


@pytest.fixture
def line_of() -> Callable[[Place], str | None]:
    """The author's line wherever a line is known: with signs of markup, and one that no terminal may get."""
    return lambda place: "    - [M1-A.23, K131 <GN> & \x1b[31m, B5.1]" if place.line else None


@pytest.fixture
def hostile() -> Findings:
    """Texts that no format may take for its own, and signs that no encoder writes."""
    text = "]]></failure></script><script>alert('1')</script> \" & \x1b[2J \x00 \ud800 \u202e \ufffe"
    place = Place("chapters/\udce9<&>.ipynb", 1, 1, 1)
    return Findings((Problem("todo-left", text, place, text, text, text, (place,)),), ())
