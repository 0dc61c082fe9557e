"""A chapter: everything that one notebook says about one trouble code."""

from __future__ import annotations

from dataclasses import dataclass, field

from authorkit.model.caution import Caution
from authorkit.model.procedure import BeforeStart, Step
from authorkit.model.specification import SetCondition, Spec, State, Suspect, Waveform
from authorkit.model.trouble_code import TroubleCode
from authorkit.model.wiring import Series, Wiring
from authorkit.problems import Place

# The sections that prose may belong to, in the order of the page: key → heading on the page. A Markdown cell belongs to
# the section whose heading it carries (any heading level); text before the first heading belongs to 'meaning'.
SECTIONS: dict[str, str] = {
    "meaning": "What the code means",
    "sets": "When it sets",
    "circuit": "How the circuit works",
    "connectors": "Connectors",
    "readings": "Readings",
    "waveforms": "Waveforms",
    "suspects": "What can be wrong",
    "procedure": "Procedure",
    "after": "After the repair",
    "related": "Related codes",
    "notes": "Notes from the bay",
    "instructor": "For the instructor",
}


@dataclass(frozen=True)
class Prose:
    """The text of one Markdown cell, or of a part of it that belongs to one section (its heading line removed)."""

    section: str
    text: str
    place: Place


@dataclass(frozen=True)
class FigureFile:
    """A picture of the author's own: a file below figures/, with a caption and what it shows in words."""

    id: str
    file: str
    caption: str
    alt: str
    place: Place
    series: Series = ()


@dataclass(frozen=True)
class CircuitPath:
    """A path through the circuit, to be drawn in a heavy line on a picture of its own: a feed, a ground return.

    `circuits` are the names of its wires.
    """

    id: str
    circuits: tuple[str, ...]
    caption: str
    place: Place
    series: Series = ()


@dataclass(frozen=True)
class CellFigure:
    """What a code cell shows, with a caption and what it shows in words; it stands in `section`, at the cell's place.

    The cell runs only when asked; `place` names the cell, `code` is all of its text.
    """

    id: str
    caption: str
    alt: str
    place: Place
    section: str = ""
    code: str = ""
    series: Series = ()


@dataclass(frozen=True)
class Acceptance:
    """A finding that the author accepts, with the reason. `where` narrows it to messages that contain this text."""

    rule: str
    because: str
    place: Place
    where: str = ""


@dataclass(frozen=True)
class Revision:
    """Which edition of the page this is, who wrote it, and how far it is verified."""

    number: str = ""
    date: str = ""
    author: str = ""
    verified: str = ""


VERIFIED = ("not verified", "table-top", "on vehicle")


@dataclass(frozen=True)
class Chapter:
    """One trouble-code page.

    `file` is the notebook, relative to the manual's folder. `set_by` is the id of the module that stores the code,
    `system` one of the vehicle's systems. `wiring` is what this chapter adds to the harness of the book.
    """

    code: TroubleCode
    title: str
    set_by: str
    system: str
    file: str
    place: Place
    series: Series = ()
    lamp: str = ""
    fail_safe: str = ""
    meaning_source: str = ""
    revision: Revision = Revision()
    sets_when: tuple[SetCondition, ...] = ()
    wiring: Wiring = Wiring()
    states: tuple[State, ...] = ()
    specs: tuple[Spec, ...] = ()
    waveforms: tuple[Waveform, ...] = ()
    suspects: tuple[Suspect, ...] = ()
    before_start: BeforeStart = field(default_factory=BeforeStart)
    cautions: tuple[Caution, ...] = ()
    steps: tuple[Step, ...] = ()
    after_repair: tuple[str, ...] = ()
    related: tuple[str, ...] = ()
    figures: tuple[FigureFile, ...] = ()
    paths: tuple[CircuitPath, ...] = ()
    cell_figures: tuple[CellFigure, ...] = ()
    prose: tuple[Prose, ...] = ()
    accept: tuple[Acceptance, ...] = ()
    # Places of single facts by key path ('title', 'procedure.3.do'), for findings inside one fact; items of lists are
    # numbered from 1 ('cautions.1.hazard').
    places: dict[str, Place] = field(default_factory=dict, compare=False)

    def step(self, number: str) -> Step | None:
        """A step by its number; for a step that calls a shared procedure, the first of the steps it stands for."""
        return next((step for step in self.steps if number in (step.number, step.called and step.called.number)), None)

    @property
    def pictures(self) -> tuple[FigureFile | CircuitPath | CellFigure, ...]:
        """Everything that `{figure:ID}` finds in this chapter."""
        return (*self.figures, *self.paths, *self.cell_figures)

    def place_of(self, path: str) -> Place:
        """The place of a fact by its key path, or of its nearest parent; the chapter's own place at last."""
        while path:
            if path in self.places:
                return self.places[path]
            path = path.rpartition(".")[0]
        return self.place
