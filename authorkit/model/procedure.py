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
    tool). `subject` says what is looked at or read, in words. `watch` stands instead where the scan tool shows a value
    that a read device of the circuit names ('M1.ECT'), so that it can be computed. `side` is one of
    `specification.SIDES`, or '' where the usual side of an unplugged plug is meant.
    """

    kind: str
    points: tuple[Point, ...] = ()
    subject: str = ""
    watch: str = ""
    side: str = ""


@dataclass(frozen=True)
class Branch:
    """One answer and where it leads. `window` is None for an answer in words ('yes', 'no', 'else')."""

    answer: str
    goto: str
    place: Place
    window: Window | None = None


@dataclass(frozen=True)
class SharedProcedure:
    """Steps that the vehicle notebook keeps once and chapters call: 'prove-ground'.

    `title` may name parameters ('Prove the ground of <part>'), `needs` lists them, `answers` what it may find out.
    """

    id: str
    title: str
    needs: tuple[str, ...]
    answers: tuple[str, ...]
    place: Place


@dataclass(frozen=True)
class Called:
    """Where a step of a shared procedure comes from: the number of the calling step, the procedure, its title here."""

    number: str
    procedure: str
    title: str


@dataclass(frozen=True)
class Step:
    """One step: it tests and branches, or (`verdict`) it names the part or wire at fault, or (`end`) it just ends.

    `verdict` holds what is accused, as the author names it: a part, a wire section, a ground, a fuse, a contact. With
    more than one, `either` says that the author knows the procedure cannot tell them apart. `end` is a sentence for an
    end that accuses nothing: the fault is not present now, or the work must stop. A step that calls a shared procedure
    stands here as the steps of that procedure, with `called`; they are numbered '4.1', '4.2' (a single one: '4').
    `shows` tells, where nobody can compute the answer, which faults bring it: pairs of an answer and faults as suspects
    are written ('open K131 at X12') or names as verdicts give them. Faults not named bring an answer not listed.
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
    end: str = ""
    called: Called | None = None
    shows: tuple[tuple[str, tuple[str, ...]], ...] = ()

    @property
    def is_end(self) -> bool:
        """True if the procedure ends here, with a verdict or without one."""
        return bool(self.verdict or self.end)


@dataclass(frozen=True)
class BeforeStart:
    """What must be ready before the first step. 'none' is written out, never left out."""

    conditions: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    skill: str = ""
    time: str = ""
