"""Wire sections: every mention of one piece of wire in the book, and how to speak of it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping

from authorkit.checks.subject import Subject
from authorkit.model.point import Point
from authorkit.model.wiring import Wire

# A circuit name and the two ends, in a fixed order.
Section = tuple[str, Point, Point]


def all_wires(subject: Subject) -> Iterator[Wire]:
    """Every wire that any notebook mentions, in reading order."""
    return (wire for wiring in subject.book.wirings for wire in wiring.wires)


def section_of(wire: Wire) -> Section:
    """Which piece of wire a mention means."""
    first, second = sorted(wire.ends)
    return wire.circuit, first, second


def sections(subject: Subject) -> Mapping[Section, list[Wire]]:
    """All mentions of each piece of wire."""
    found: dict[Section, list[Wire]] = defaultdict(list)
    for wire in all_wires(subject):
        found[section_of(wire)].append(wire)
    return found


def far_end(wire: Wire, point: Point) -> Point:
    """The other end of a wire that ends at a point."""
    return wire.ends[1] if wire.ends[0] == point else wire.ends[0]


def section_words(section: Section) -> str:
    """'K131 from B5.1 to X12.4'."""
    circuit, first, second = section
    return f"{circuit} from {first} to {second}"


def wire_words(wire: Wire) -> str:
    """The same for one mention, in the direction it is written."""
    return f"{wire.circuit} from {wire.ends[0]} to {wire.ends[1]}"
