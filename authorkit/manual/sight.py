"""What the page of one chapter can see of the book: the harness around its circuits and the names it mentions.

A page is made from its sight alone, so that it can be made anywhere, and is made anew exactly when something in its
sight has changed. What the chapter neither draws nor mentions is out of sight.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from functools import cached_property
from typing import TypeVar

from authorkit.circuit.harness import Harness, circuit_points
from authorkit.circuit.near import shared_wiring
from authorkit.manual.series_sight import SeriesSight
from authorkit.model.book import Book, Recipe
from authorkit.model.chapter import Chapter
from authorkit.model.point import Point
from authorkit.model.trouble_code import TroubleCode
from authorkit.model.vehicle import ListedCode
from authorkit.model.wiring import Device, Wire, Wiring

# Signs that names stand between in a text; a name itself may hold dashes, dots, slashes, plus signs.
_BETWEEN = re.compile(r"[\s{}()\[\]<>,;:'\"“”„‘’`*|=&]+")
_AROUND = ".!?"

_Key = TypeVar("_Key")
_Value = TypeVar("_Value")


@dataclass(frozen=True)
class Lookout:
    """A book and its harness, ready to be looked at from each chapter."""

    book: Book
    harness: Harness
    wirings: Mapping[str, Wiring]

    def from_chapter(
        self, chapter: Chapter, circuits: Mapping[str, Wiring], codes: Iterable[str] = ()
    ) -> tuple[Book, Harness, Mapping[str, Wiring]]:
        """The book, the harness and the wiring of each series as far as the page of a chapter sees them.

        `circuits` are its own, by series; `codes` are some that the page names though the chapter does not.
        """
        words = frozenset(_words(chapter)) | frozenset(codes)
        around = {point.owner for wiring in circuits.values() for point in circuit_points(wiring)}
        around |= {part.id for wiring in circuits.values() for part in wiring.parts}
        around |= {body.id for wiring in circuits.values() for body in wiring.connectors}
        named = {*words} | around | {word.partition(".")[0] for word in words}
        plugs = sorted(named & self.harness.whole_connectors.keys())
        named |= {self.harness.whole_connectors[plug].part for plug in plugs}
        return self._book(chapter, words), self._harness(named, words), self._wirings(circuits)

    def _book(self, chapter: Chapter, words: frozenset[str]) -> Book:
        """The vehicle with the wiring that the chapter can reach and the codes it mentions; heads of other chapters."""
        vehicle = self.book.vehicle
        heads = [each if each is chapter else _head(each) for each in self._chapters(words | {str(chapter.code)})]
        codes = [listed for word in words for listed in self._listed.get(word, ())]
        wiring = shared_wiring(vehicle.wiring, None).near(chapter.wiring)
        near = replace(vehicle, wiring=wiring, codes=tuple(sorted(codes, key=_place)), places={}, accept=())
        recipe = Recipe("", series=self.book.recipe.series)
        return Book(self.book.folder, recipe, near, tuple(heads))

    def _harness(self, named: set[str], words: frozenset[str]) -> Harness:
        whole = self.harness
        points = {point for name in named for point in self._points.get(name, ())}
        wires = _only(whole.wires, points)
        # A circuit that is only mentioned is known by one wire of it.
        mentioned = [self._circuits[word] for word in sorted(words & self._circuits.keys())]
        for wire in mentioned:
            wires.setdefault(wire.ends[0], (wire,))
        devices = _only(whole.devices, points)
        for device in self._watched(words):
            devices.setdefault(device.terminals[0], (device,))
        return Harness(
            parts=_only(whole.parts, named),
            connectors=_only(whole.connectors, named),
            splices=_only(whole.splices, named),
            grounds=_only(whole.grounds, named),
            feeds=_only(whole.feeds, named),
            uses=_only(whole.uses, points),
            wires=wires,
            devices=devices,
            fuses=_only(whole.fuses, named),
            whole_parts=_only(whole.whole_parts, named),
            whole_connectors=_only(whole.whole_connectors, named),
        )

    def _wirings(self, circuits: Mapping[str, Wiring]) -> dict[str, Wiring]:
        """What each series has of the names that the circuits of the page hold, on whichever series."""
        each = circuits.values()
        points = {point.owner for wiring in each for point in circuit_points(wiring)}
        ids = {record.id for wiring in each for records in (wiring.parts, wiring.networks) for record in records}
        wires = {wire.circuit for wiring in each for wire in wiring.wires}
        return {series: sight.of(points | ids, wires) for series, sight in self._series.items()}

    def _chapters(self, words: frozenset[str]) -> list[Chapter]:
        """The chapters whose codes are mentioned, in the order of the book."""
        found = {at for word in words for at in self._by_code.get(word, ())}
        return [self.book.chapters[at] for at in sorted(found)]

    def _watched(self, words: frozenset[str]) -> Iterator[Device]:
        """The inputs of modules that are mentioned as 'M1.ECT'."""
        for word in sorted(words):
            yield from self._inputs.get(word, ())

    @cached_property
    def _series(self) -> dict[str, SeriesSight]:
        return {series: SeriesSight(wiring) for series, wiring in self.wirings.items()}

    @cached_property
    def _by_code(self) -> dict[str, list[int]]:
        found: dict[str, list[int]] = {}
        for at, chapter in enumerate(self.book.chapters):
            for code in {str(chapter.code), chapter.code.text}:
                found.setdefault(code, []).append(at)
        return found

    @cached_property
    def _listed(self) -> dict[str, list[ListedCode]]:
        found: dict[str, list[ListedCode]] = {}
        for listed in self.book.vehicle.codes:
            found.setdefault(str(listed.code), []).append(listed)
        return found

    @cached_property
    def _points(self) -> dict[str, list[Point]]:
        """Every point of the harness by its owner."""
        found: dict[str, list[Point]] = {}
        for point in dict.fromkeys((*self.harness.uses, *self.harness.wires, *self.harness.devices)):
            found.setdefault(point.owner, []).append(point)
        return found

    @cached_property
    def _circuits(self) -> dict[str, Wire]:
        return {wire.circuit: wire for wires in self.harness.wires.values() for wire in wires}

    @cached_property
    def _inputs(self) -> dict[str, list[Device]]:
        found: dict[str, list[Device]] = {}
        for devices in self.harness.devices.values():
            for device in devices:
                if "as" in device.values:
                    found.setdefault(f"{device.part}.{device.values['as']}", []).append(device)
        return found


def _words(record: object) -> Iterator[str]:
    """Every text within a record, whole and word by word, and the owner and the name of every point."""
    if isinstance(record, str):
        yield record
        for word in _BETWEEN.split(record):
            yield from (word, word.strip(_AROUND))
    elif isinstance(record, Point):
        yield from (record.owner, str(record))
    elif isinstance(record, TroubleCode):
        yield from (record.text, str(record))
    else:
        for item in _inside(record):
            yield from _words(item)


def _inside(record: object) -> Iterable[object]:
    if isinstance(record, (tuple, list, set, frozenset)):
        return record
    if isinstance(record, Mapping):
        return [each for entry in record.items() for each in entry]
    if is_dataclass(record):
        return [getattr(record, each.name) for each in fields(record) if each.compare and each.name != "place"]
    return ()


def _head(chapter: Chapter) -> Chapter:
    """What other pages see of a chapter."""
    return Chapter(
        chapter.code, chapter.title, chapter.set_by, chapter.system, chapter.file, chapter.place, chapter.series
    )


def _only(mapping: Mapping[_Key, _Value], keys: Iterable[_Key]) -> dict[_Key, _Value]:
    """The entries of some keys, in the order of the mapping's keys as sorted by their text."""
    return {key: mapping[key] for key in sorted(set(keys), key=str) if key in mapping}


def _place(listed: ListedCode) -> tuple[str, int, int]:
    return listed.place.file, listed.place.cell, listed.place.line
