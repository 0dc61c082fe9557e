"""A safety message: the signal word, the hazard, the consequence, how to avoid it, and the steps it guards."""

from __future__ import annotations

from dataclasses import dataclass

from authorkit.model.wiring import Series
from authorkit.problems import Place


@dataclass(frozen=True)
class Caution:
    """A message in the form of ANSI Z535.6. `steps` names the steps it guards; empty means the whole chapter."""

    word: str
    hazard: str
    consequence: str
    avoid: tuple[str, ...]
    place: Place
    steps: tuple[str, ...] = ()
    series: Series = ()
