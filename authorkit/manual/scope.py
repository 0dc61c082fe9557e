"""What every section of a page looks at: the book, the chapter, its circuit on each series."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, TypeVar, cast

from authorkit.circuit.harness import Harness, book_wiring, build_harness, circuit_points
from authorkit.circuit.names import Name, Names
from authorkit.circuit.study import Studies, Study
from authorkit.circuit.view import circuit_of
from authorkit.circuit.voltage import class_b_points
from authorkit.diagnosis.together import Pattern
from authorkit.drawing.store import PictureStore
from authorkit.facts.cell_runs import Seen, Shown, read_shown, seen_by_cells
from authorkit.manual.anchors import anchor_of
from authorkit.manual.blocks import Code, Inline, Inlines, Link, Text
from authorkit.manual.told import Told
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.model.point import Point
from authorkit.model.reference import find_references
from authorkit.model.wiring import Series, Wiring, applies

T = TypeVar("T")


@dataclass(frozen=True)
class Shared:
    """What all pages share: made once for a book.

    `wirings` is the whole vehicle by series, of all chapters even in a selection. `class_b` is by series: any chapter's
    source counts. `studies` holds what is computed of each circuit, each made when a page first asks for it.
    """

    book: Book
    harness: Harness
    names: Names
    wirings: Mapping[str, Wiring]
    class_b: Mapping[str, Mapping[Point, float]]
    store: PictureStore
    studies: Studies
    kept: dict[object, Any] = field(default_factory=dict, compare=False, repr=False)

    def once(self, key: object, make: Callable[[], T]) -> T:
        """What several pages need and only the first of them has to work out."""
        if key not in self.kept:
            self.kept[key] = make()
        return cast("T", self.kept[key])

    def shown_in(self, file: str) -> Mapping[int, Shown] | None:
        """What the figure cells of a notebook showed, by cell; None if they were not run with the present facts."""
        return read_shown(self.store.kept, self.book.folder, file, self._seen)

    @cached_property
    def _seen(self) -> Seen:
        return seen_by_cells(self.book.folder)


@dataclass(frozen=True)
class Scope:
    """What the sections of one chapter's page look at.

    `circuits` maps each series that the chapter applies to onto its circuit; `class_b` maps each point of any of them
    that can carry voltage of class B onto that voltage in volts. `told` is what the proof of the procedure says,
    `together` the patterns of codes that this one belongs to.
    """

    shared: Shared
    chapter: Chapter
    circuits: Mapping[str, Wiring]
    class_b: Mapping[Point, float]
    told: Told = field(default_factory=Told)
    together: tuple[Pattern, ...] = ()

    @property
    def book(self) -> Book:
        """The whole book."""
        return self.shared.book

    @property
    def harness(self) -> Harness:
        """The whole harness."""
        return self.shared.harness

    @property
    def code(self) -> str:
        """The chapter's code as text, which is also its anchor."""
        return str(self.chapter.code)

    def study(self, series: str) -> Study:
        """What is computed of this chapter's circuit on one of its series."""
        return self.shared.studies.of(self.chapter, series)

    def series_words(self, series: Series) -> str:
        """The series a fact is limited to, in the vehicle's order ('A', 'A, B'); '' if it holds on all."""
        limited = [name for name in self.circuits if applies(series, name)]
        return "" if len(limited) == len(self.circuits) else ", ".join(limited)

    def resolve(self, kind: str, target: str) -> Inline | None:
        """The link that a live reference becomes; None if it points nowhere."""
        name = self.shared.names.find(kind, target, self.chapter)
        return link_to(name) if name else None

    def inlines(self, text: str) -> Inlines:
        """A fact's text with its live references turned into links; a dangling one stays as typed."""
        return inlines(text, self.shared.names, self.chapter)


def share(book: Book, store: PictureStore | None = None, studies: Studies | None = None) -> Shared:
    """Index the book once; `studies` are those already made of it."""
    store = store or PictureStore()
    harness = build_harness(book)
    wirings = {series: book_wiring(book, series) for series in book.vehicle.series_ids}
    class_b = {series: class_b_points(wiring) for series, wiring in wirings.items()}
    return Shared(book, harness, Names(book, harness), wirings, class_b, store, studies or Studies(book, store.kept))


def scope_of(shared: Shared, chapter: Chapter) -> Scope:
    """Everything that the page of one chapter needs."""
    book = shared.book
    series = [
        name for name in book.vehicle.series_ids if applies(chapter.series, name) and applies(book.recipe.series, name)
    ]
    circuits = {name: circuit_of(book, chapter, name) for name in series}
    class_b: dict[Point, float] = {}
    for name, circuit in circuits.items():
        for point in circuit_points(circuit) & shared.class_b[name].keys():
            class_b[point] = max(shared.class_b[name][point], class_b.get(point, 0.0))
    return Scope(shared, chapter, circuits, class_b)


def link_to(name: Name) -> Inline:
    """A name as a link to where the manual tells about it; names without a place of their own are set as code."""
    anchor = anchor_of(name)
    if anchor is None:
        return Code(name.label)
    return Link(anchor, (Text(name.label),), page=name.kind == "code")


def inlines(text: str, names: Names, chapter: Chapter | None) -> Inlines:
    """Plain text with `{kind:target}` turned into links."""
    pieces: list[Inline] = []
    done = 0
    for reference in find_references(text):
        name = names.find(reference.kind, reference.target, chapter)
        if name is None:
            continue
        if reference.start > done:
            pieces.append(Text(text[done : reference.start]))
        pieces.append(link_to(name))
        done = reference.end
    if done < len(text):
        pieces.append(Text(text[done:]))
    return tuple(pieces)
