"""Every name of the book: what stands in a text as a name is looked up here."""

from __future__ import annotations

import re
from collections.abc import Iterator

from authorkit.checks.subject import Subject
from authorkit.circuit.harness import fuse_id
from authorkit.model.device_kinds import DEVICE_KINDS
from authorkit.model.wire_colour import COLOURS
from authorkit.model.wiring import Wiring

_WORD = re.compile(r"[^\s/,;()]+")


def book_names(subject: Subject) -> frozenset[str]:
    """Ids of every kind, and the words of signal names, states, labels and the glossary, as they are written."""
    book, vehicle = subject.book, subject.book.vehicle
    names: set[str] = {*subject.harness.connectors, *subject.harness.parts, *subject.series, *COLOURS, *vehicle.colours}
    for wiring in book.wirings:
        names.update(_of_wiring(wiring))
    for chapter in book.chapters:
        names.update((str(chapter.code), chapter.code.text))
        names.update(*(_words(state.name) for state in chapter.states))
        names.update(*(_words(f"{name} {value}") for state in chapter.states for name, value in state.settings))
    for row in vehicle.codes:
        names.update((str(row.code), row.code.text))
    names.update(tool.id for tool in vehicle.tools)
    names.update(*(_words(term.word) for term in vehicle.terms))
    return frozenset(names)


def _of_wiring(wiring: Wiring) -> Iterator[str]:
    for records in (wiring.splices, wiring.grounds, wiring.feeds, wiring.networks):
        yield from (record.id for record in records)
    for use in wiring.cavities:
        yield use.signal
        yield from _words(use.signal)
        yield use.point.cavity
    for wire in wiring.wires:
        yield wire.circuit
        yield from (colour.code for colour in wire.colour.colours)
    for device in wiring.devices:
        yield device.name
        if device.kind == "fuse":
            yield fuse_id(device)
        for key in DEVICE_KINDS[device.kind].values:
            if key.takes == "text" and isinstance(value := device.values.get(key.name), str):
                yield from _words(value)


def _words(text: str) -> list[str]:
    return _WORD.findall(text)
