"""Names that nothing in the book uses yet."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain, count
from string import ascii_uppercase

from authorkit.circuit.harness import Harness
from authorkit.model.book import Book

# Where circuit names begin: three digits, as authors write them.
_FIRST_CIRCUIT = 101


class FreeNames:
    """Gives names out; each only once. Capitals and small letters count as the same."""

    def __init__(self, book: Book, harness: Harness) -> None:
        """Collect every name of the book."""
        self._taken = {name.casefold() for name in _names(book, harness)}

    def numbered(self, letters: str) -> str:
        """The lowest free name of these letters and a number from 1: a part, splice, ground point or fuse ('B7')."""
        return self._first(f"{letters}{number}" for number in count(1))

    def circuit(self, letters: str) -> str:
        """The lowest free circuit name of these letters and a number from 101 ('K131')."""
        return self._first(f"{letters}{number}" for number in count(_FIRST_CIRCUIT))

    def connector(self, part: str) -> str:
        """A free name for one more connector of a part ('M1-C')."""
        letters = (f"{part}-{letter}" for letter in ascii_uppercase)
        return self._first(chain(letters, (f"{part}-A{number}" for number in count(1))))

    def _first(self, names: Iterator[str]) -> str:
        name = next(name for name in names if name.casefold() not in self._taken)
        self._taken.add(name.casefold())
        return name


def _names(book: Book, harness: Harness) -> Iterator[str]:
    for named in (harness.parts, harness.connectors, harness.splices, harness.grounds, harness.feeds, harness.fuses):
        yield from named
    for wiring in book.wirings:
        yield from (wire.circuit for wire in wiring.wires)
        yield from (network.id for network in wiring.networks)
        for device in wiring.devices:
            yield device.name
            yield from (terminal.owner for terminal in device.terminals)
    vehicle = book.vehicle
    yield from vehicle.series_ids
    yield from (tool.id for tool in vehicle.tools)
    yield from (term.word for term in vehicle.terms)
