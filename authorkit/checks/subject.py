"""What a rule looks at: the book, its harness, and each chapter's circuit on each series, made once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from authorkit.checks.fact_texts import passages_of
from authorkit.checks.passage import Passage
from authorkit.circuit.harness import Harness, book_wiring, build_harness, circuit_points
from authorkit.circuit.names import Names
from authorkit.circuit.study import Studies, Study
from authorkit.circuit.view import circuit_of
from authorkit.circuit.voltage import class_b_points
from authorkit.diagnosis.proof import Proof, prove
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.model.point import Point
from authorkit.model.wiring import Limited, Series, Wiring, applies


@dataclass(frozen=True)
class ChapterCircuit:
    """The circuit of one chapter on one series, and its points that can carry voltage of class B (in volts).

    A point counts as class B where any source in the book can reach it, also one that this circuit leaves out.
    """

    chapter: Chapter
    series: str
    wiring: Wiring
    points: frozenset[Point]
    class_b: Mapping[Point, float]


@dataclass(frozen=True)
class Subject:
    """Everything that a rule may look at. Rules only read it.

    `series` holds the vehicle's series, or '' alone where it declares none. `wholes` is everything that holds on each
    of them as one wiring, `class_b` the points of it that can carry voltage of class B (in volts). `studies` holds what
    is computed of each circuit, each made when a rule first asks for it.
    """

    book: Book
    harness: Harness
    names: Names
    circuits: tuple[ChapterCircuit, ...]
    series: tuple[str, ...]
    wholes: Mapping[str, Wiring]
    class_b: Mapping[str, Mapping[Point, float]]
    studies: Studies
    _limits: Mapping[str, Series]
    _of_part: Mapping[str, frozenset[str]]
    _held: dict[tuple[str, Series, str], frozenset[str]] = field(default_factory=dict)
    _proofs: dict[tuple[str, str], Proof] = field(default_factory=dict)

    @cached_property
    def passages(self) -> tuple[Passage, ...]:
        """Every text of the book in reading order: facts and prose."""
        return passages_of(self.book)

    def circuits_of(self, chapter: Chapter) -> Iterator[ChapterCircuit]:
        """The circuits of one chapter, one for each series that it applies to."""
        return iter(self._by_file.get(chapter.file, ()))

    def study(self, circuit: ChapterCircuit) -> Study:
        """What is computed of a circuit."""
        return self.studies.of(circuit.chapter, circuit.series)

    def proofs_of(self, chapter: Chapter) -> Iterator[Proof]:
        """The chapter's procedure put to the proof, on each series on which it has one."""
        for circuit in self.circuits_of(chapter):
            if any(circuit.series in self.holds(step) for step in chapter.steps):
                key = (chapter.file, circuit.series)
                if key not in self._proofs:
                    self._proofs[key] = prove(self.book, chapter, self.study(circuit))
                yield self._proofs[key]

    @cached_property
    def _by_file(self) -> Mapping[str, list[ChapterCircuit]]:
        found: dict[str, list[ChapterCircuit]] = {}
        for circuit in self.circuits:
            found.setdefault(circuit.chapter.file, []).append(circuit)
        return found

    def series_of(self, chapter: Chapter) -> tuple[str, ...]:
        """The series that a chapter applies to, in the vehicle's order."""
        return tuple(name for name in self.series if applies(chapter.series, name))

    def holds(self, fact: Limited) -> frozenset[str]:
        """The series on which a fact holds: what it says itself, its part says, and its chapter says, together."""
        part = getattr(fact, "part", "")
        key = (fact.place.file, fact.series, part)
        if key not in self._held:
            chapter = self._limits.get(fact.place.file, ())
            held = {name for name in self.series if applies(fact.series, name) and applies(chapter, name)}
            self._held[key] = frozenset(held & self._of_part.get(part, held))
        return self._held[key]

    def on_series(self, held: frozenset[str] | set[str]) -> str:
        """' on series A' for a sentence; nothing where it is so on every series."""
        named = [name for name in self.series if name in held]
        return "" if len(named) == len(self.series) else f" on series {' and '.join(named)}"


def subject_of(book: Book, studies: Studies | None = None) -> Subject:
    """Prepare a book for the rules; `studies` are those already made of this book."""
    harness = build_harness(book)
    series = book.vehicle.series_ids or ("",)
    wholes = {name: book_wiring(book, name) for name in series}
    class_b = {name: class_b_points(whole) for name, whole in wholes.items()}
    limits = {chapter.file: chapter.series for chapter in book.chapters}
    circuits = tuple(
        _circuit(book, chapter, name, class_b[name])
        for chapter in book.chapters
        for name in series
        if applies(chapter.series, name)
    )
    of_part = {
        name: frozenset(held for held in series if any(applies(part.series, held) for part in parts))
        for name, parts in harness.parts.items()
    }
    return Subject(
        book,
        harness,
        Names(book, harness),
        circuits,
        series,
        wholes,
        class_b,
        studies or Studies(book),
        limits,
        of_part,
    )


def _circuit(book: Book, chapter: Chapter, series: str, class_b: Mapping[Point, float]) -> ChapterCircuit:
    wiring = circuit_of(book, chapter, series)
    points = circuit_points(wiring)
    reached = {point: class_b[point] for point in sorted(points & class_b.keys())}
    return ChapterCircuit(chapter, series, wiring, points, reached)
