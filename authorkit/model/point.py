"""Points of a harness: a cavity, a splice, a ground point, a feed, or a spot inside a part."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, order=True)
class Point:
    """One electrical point as the author writes it.

    `M1-A.23` is cavity 23 of connector M1-A. A name without a dot (`S10`, `G1`, `B+`) is a splice, a ground point, a
    feed, or a spot inside the part that names it; which of these is decided by what the book declares.
    """

    owner: str
    cavity: str = ""

    @property
    def is_cavity(self) -> bool:
        """True for `connector.cavity`."""
        return bool(self.cavity)

    def __str__(self) -> str:
        """As the author writes it."""
        return f"{self.owner}.{self.cavity}" if self.cavity else self.owner


def parse_point(text: str) -> Point:
    """Split at the first dot: connector names hold none, cavity names may hold anything else (`A1/2`).

    >>> parse_point("M1-A.23")
    Point(owner='M1-A', cavity='23')
    """
    owner, _, cavity = text.strip().partition(".")
    return Point(owner.strip(), cavity.strip())
