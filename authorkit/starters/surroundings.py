"""What the book offers a new chapter: names, cavities and series, and where high voltage is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from authorkit.circuit.harness import Harness, build_harness
from authorkit.circuit.voltage import class_b_in
from authorkit.model.book import Book
from authorkit.model.point import Point
from authorkit.model.wiring import Limited, Series, applies
from authorkit.starters.names import FreeNames


@dataclass(frozen=True)
class Surroundings:
    """The book as a new chapter meets it.

    `series` are the series of the new chapter ('' alone where the vehicle declares none). `class_b` holds the points
    that can carry high voltage on any of them, with the voltage in volts. `taken` holds the points that something
    uses, and grows as the new chapter takes more.
    """

    book: Book
    harness: Harness
    series: tuple[str, ...]
    names: FreeNames
    class_b: Mapping[Point, float]
    taken: set[Point]
    _limits: Mapping[str, Series] = field(default_factory=dict)

    def holds(self, fact: Limited) -> bool:
        """Whether a fact holds on every series of the new chapter."""
        return all(self._holds_on(fact, series) for series in self.series)

    def covered(self, facts: Iterable[Limited]) -> bool:
        """Whether some of these facts holds on each series of the new chapter."""
        facts = tuple(facts)
        return all(any(self._holds_on(fact, series) for fact in facts) for series in self.series)

    def series_of(self, fact: Limited) -> tuple[str, ...]:
        """The series of the new chapter on which a fact holds."""
        return tuple(series for series in self.series if self._holds_on(fact, series))

    def has_part(self, name: str) -> bool:
        """Whether a part is in every vehicle that the new chapter is about."""
        return self.covered(self.harness.parts.get(name, ()))

    def parts_of_kind(self, kind: str) -> Iterator[str]:
        """The parts of a kind ('module', 'fuse box') that all those vehicles have, in the author's order."""
        return (name for name, part in self.harness.whole_parts.items() if part.kind == kind and self.has_part(name))

    def connectors_of(self, part: str) -> Iterator[str]:
        """The connectors of a part that all those vehicles have, in the author's order."""
        for name, connector in self.harness.whole_connectors.items():
            if connector.part == part and self.covered(self.harness.connectors[name]):
                yield name

    def signal_at(self, point: Point) -> str:
        """The signal name of a cavity on the new chapter's first series, or ''."""
        uses = self.harness.uses.get(point, ())
        return next((use.signal for use in uses if use.signal and self._holds_on(use, self.series[0])), "")

    def is_shared(self, fact: Limited) -> bool:
        """Whether a fact stands in the vehicle notebook, which every chapter's circuit draws on."""
        return fact.place.file == self.book.vehicle.file

    def _holds_on(self, fact: Limited, series: str) -> bool:
        return applies(fact.series, series) and applies(self._limits.get(fact.place.file, ()), series)


def surroundings_of(book: Book, series: tuple[str, ...]) -> Surroundings:
    """Look around in a book; `series` are those of the new chapter, all if empty."""
    harness = build_harness(book)
    series = series or book.vehicle.series_ids or ("",)
    return Surroundings(
        book,
        harness,
        series,
        FreeNames(book, harness),
        _class_b(book, series),
        {*harness.uses, *harness.wires, *harness.devices},
        {chapter.file: chapter.series for chapter in book.chapters},
    )


def _class_b(book: Book, series: tuple[str, ...]) -> Mapping[Point, float]:
    """Each high-voltage point of some series, with the highest voltage."""
    found: dict[Point, float] = {}
    for name in series:
        for point, volts in class_b_in(book, name).items():
            found[point] = max(volts, found.get(point, 0.0))
    return found
