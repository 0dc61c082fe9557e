"""What drawings of one circuit on several series ask of each other, so that the same thing stands at the same place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from authorkit.drawing.strands import Key


@dataclass(frozen=True)
class Guide:
    """How far down rows must lie at least, and how far to the right the parts on the right must begin.

    `first` is the least width of the left parts, `right` where the right parts begin; `widths` holds for channels of a
    drawing that has as many columns as `last` says.
    """

    heights: Mapping[Key, float] = field(default_factory=dict)
    first: float = 0.0
    right: float = 0.0
    last: int = 0
    widths: Mapping[int, float] = field(default_factory=dict)

    def channel(self, number: int, last: int) -> float:
        """The least width of a channel in a drawing with this last column."""
        return self.widths.get(number, 0.0) if last == self.last else 0.0
