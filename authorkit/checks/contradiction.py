"""Two places that say different things about one thing, on the same series."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator
from dataclasses import dataclass, field
from typing import Generic, TypeVar

from authorkit.checks.subject import Subject
from authorkit.model.wiring import Limited
from authorkit.problems import Place

Value = TypeVar("Value", bound=Hashable)

# A value repeated in hundreds of chapters is shown with its first places only.
_MOST_PLACES = 8


@dataclass
class Said(Generic[Value]):
    """One value, the places that say so in reading order, and the series on which it holds."""

    value: Value
    holds: frozenset[str]
    places: list[Place] = field(default_factory=list)


@dataclass(frozen=True)
class Contradiction(Generic[Value]):
    """A later value that differs from an earlier one: where it is said first, and where else to look."""

    earlier: Value
    later: Value
    place: Place
    earlier_place: Place
    also: tuple[Place, ...]


def contradictions(said: Iterable[tuple[Value, Limited]], subject: Subject) -> Iterator[Contradiction[Value]]:
    """Each value after the first one, once, with the earliest value that it contradicts.

    `said` pairs a value with the fact that says it, in reading order. Facts that hold on different series do not
    contradict each other.
    """
    groups: dict[tuple[Value, frozenset[str]], Said[Value]] = {}
    for value, fact in said:
        holds = subject.holds(fact)
        groups.setdefault((value, holds), Said(value, holds)).places.append(fact.place)
    if len({value for value, _ in groups}) > 1:
        yield from _between(list(groups.values()))


def _between(groups: list[Said[Value]]) -> Iterator[Contradiction[Value]]:
    reported: set[Value] = set()
    for number, later in enumerate(groups):
        earlier = next((e for e in groups[:number] if e.value != later.value and e.holds & later.holds), None)
        if earlier is None or later.value in reported:
            continue
        reported.add(later.value)
        others = (earlier.places[0], *later.places[1:_MOST_PLACES])
        also = tuple(place for place in dict.fromkeys(others) if place != later.places[0])
        yield Contradiction(earlier.value, later.value, later.places[0], earlier.places[0], also)
