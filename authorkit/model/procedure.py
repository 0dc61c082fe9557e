"""The procedure: one question a step, every answer leads somewhere, every end is named."""

from __future__ import annotations

from dataclasses import dataclass

from authorkit.model.point import Point
from authorkit.model.specification import State
from authorkit.model.wiring import Series
from authorkit.problems import Place
from authorkit.units import Window


@dataclass(frozen=True)
class Test:
    """What a step measures or looks at.

    `kind` is a key of `specification.INSTRUMENTS`, or 'look' (a visual check, no points) or 'scan' (a value on the scan
    tool, named in `subject`).
    """

    kind: str
    points: tuple[Point, ...] = ()
    subject: str = ""


@dataclass(frozen=True)
class Branch:
    """One answer and where it leads. `window` is None for an answer in words ('yes', 'no', 'else')."""

    answer: str
    goto: str
    place: Place
    window: Window | None = None


@dataclass(frozen=True)
class Step:
    """One step: either it tests and branches, or (`verdict`) it names the part or wire at fault.

    `verdict` holds what is accused, as the author names it: a part, a wire section, a ground, a fuse, a contact. With
    more than one, `either` says that the author knows the procedure cannot tell them apart.
    """

    number: str
    do: str
    place: Place
    state: State | None = None
    test: Test | None = None
    question: str = ""
    branches: tuple[Branch, ...] = ()
    verdict: tuple[str, ...] = ()
    either: bool = False
    repair: str = ""
    tools: tuple[str, ...] = ()
    series: Series = ()

    @property
    def is_end(self) -> bool:
        """True if the procedure ends here."""
        return bool(self.verdict)


@dataclass(frozen=True)
class BeforeStart:
    """What must be ready before the first step. 'none' is written out, never left out."""

    conditions: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    skill: str = ""
    time: str = ""
