"""THE list of facts that are sentences or words for the reader, as passages."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from authorkit.checks.passage import Passage
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter, Prose
from authorkit.model.vehicle import Vehicle
from authorkit.model.wiring import Wiring
from authorkit.problems import Place

# The path of a fact and its text.
Fact = tuple[str, str]


def passages_of(book: Book) -> tuple[Passage, ...]:
    """Every passage of the book in reading order: the vehicle notebook, the chapters, the front pages."""
    found: list[Passage] = [*_of_vehicle(book.vehicle)]
    for chapter in book.chapters:
        whole = (*_of_chapter(chapter), *_of_prose(chapter.prose, chapter))
        found += sorted(whole, key=lambda passage: passage.place)
    for page in book.front:
        found += _of_prose(page.prose, None)
    return tuple(found)


def _of_prose(pieces: Iterable[Prose], chapter: Chapter | None) -> Iterator[Passage]:
    return (Passage(piece.text, piece.place, chapter=chapter) for piece in pieces)


def _of_chapter(chapter: Chapter) -> Iterator[Passage]:
    for path, text in _chapter_facts(chapter):
        if text:
            yield Passage(text, chapter.place_of(path), path, chapter)
    for kind, records in _listed_facts(chapter).items():
        for number, (place, facts) in enumerate(records, 1):
            # An item that could not be read is missing here and shifts the numbers; then the item's own place counts.
            whole = chapter.places.get(f"{kind}.{number}") == place
            for path, text in facts:
                if text:
                    full = f"{kind}.{number}.{path}"
                    yield Passage(text, chapter.place_of(full) if whole else place, full, chapter)


def _chapter_facts(chapter: Chapter) -> Iterator[Fact]:
    yield "title", chapter.title
    yield "lamp", chapter.lamp
    yield "fail-safe", chapter.fail_safe
    yield "meaning-source", chapter.meaning_source
    yield from _wiring_facts(chapter.wiring, "circuit.", ("parts",), chapter.places)
    before = chapter.before_start
    yield from _numbered("before-start.conditions", before.conditions)
    yield from _numbered("before-start.parts", before.parts)
    yield "before-start.skill", before.skill
    for step in chapter.steps:
        path = f"procedure.{step.number}"
        yield f"{path}.do", step.do
        yield f"{path}.question", step.question
        yield f"{path}.repair", step.repair
        yield f"{path}.end", step.end
        if step.test and step.test.subject:
            yield f"{path}.{step.test.kind}", step.test.subject
    yield from _numbered("after-repair", chapter.after_repair)


def _listed_facts(chapter: Chapter) -> Mapping[str, list[tuple[Place, tuple[Fact, ...]]]]:
    """The facts that stand in lists of mappings: for each item its place, and its texts by key."""
    return {
        "sets-when": [(each.place, (("text", each.text), ("source", each.source))) for each in chapter.sets_when],
        "specs": [(each.place, (("source", each.source),)) for each in chapter.specs],
        "suspects": [(each.place, (("because", each.because),)) for each in chapter.suspects],
        "figures": [(each.place, (("caption", each.caption), ("alt", each.alt))) for each in chapter.figures],
        "paths": [(each.place, (("caption", each.caption),)) for each in chapter.paths],
        "figure-cells": [(each.place, (("caption", each.caption), ("alt", each.alt))) for each in chapter.cell_figures],
        "cautions": [
            (
                each.place,
                (("hazard", each.hazard), ("consequence", each.consequence), *_numbered("avoid", each.avoid)),
            )
            for each in chapter.cautions
        ],
    }


def _of_vehicle(vehicle: Vehicle) -> Iterator[Passage]:
    for path, text in _vehicle_facts(vehicle):
        if text:
            yield Passage(text, _place(vehicle, path), path)


def _vehicle_facts(vehicle: Vehicle) -> Iterator[Fact]:
    yield "vehicle.name", vehicle.name
    yield "vehicle.description", vehicle.description
    yield "vehicle.invented", vehicle.invented
    for series in vehicle.series:
        yield f"series.{series.id}.name", series.name
        yield f"series.{series.id}.note", series.note
    yield from _numbered("systems", vehicle.systems)
    yield from _wiring_facts(vehicle.wiring, "", ("modules", "parts"), vehicle.places)
    for tool in vehicle.tools:
        yield f"tools.{tool.id}.name", tool.name
        yield f"tools.{tool.id}.note", tool.note
    for term in vehicle.terms:
        yield f"terms.{term.word}.meaning", term.meaning
    for number, each in enumerate(vehicle.high_voltage, 1):
        yield f"high-voltage.{number}.waiting-source", each.waiting_source
    for listed in vehicle.codes:
        yield f"codes.{listed.code}.title", listed.title


def _wiring_facts(wiring: Wiring, base: str, homes: tuple[str, ...], places: Mapping[str, Place]) -> Iterator[Fact]:
    """Names, locations and notes of what a notebook says of the harness; parts stand under one of `homes`."""
    for part in wiring.parts:
        home = next((home for home in homes if f"{base}{home}.{part.id}" in places), homes[0])
        path = f"{base}{home}.{part.id}"
        yield f"{path}.name", part.name
        yield f"{path}.location", part.location
        yield f"{path}.note", part.note
        yield from _numbered(f"{path}.in-charge-of", part.in_charge_of)
    for connector in wiring.connectors:
        yield f"{base}connectors.{connector.id}.location", connector.location
    for splice in wiring.splices:
        yield f"{base}splices.{splice.id}.location", splice.location
    for ground in wiring.grounds:
        yield f"{base}grounds.{ground.id}.location", ground.location
    for feed in wiring.feeds:
        yield f"{base}feeds.{feed.id}.name", feed.name
    for network in wiring.networks:
        yield f"{base}networks.{network.id}.name", network.name


def _numbered(path: str, texts: Iterable[str]) -> Iterator[Fact]:
    """The items of a list; a single text written without brackets is found at the path itself."""
    return ((f"{path}.{number}", text) for number, text in enumerate(texts, 1))


def _place(vehicle: Vehicle, path: str) -> Place:
    """The place of a fact, or of its nearest parent; that of the vehicle at last."""
    while path:
        if path in vehicle.places:
            return vehicle.places[path]
        path = path.rpartition(".")[0]
    return vehicle.place
