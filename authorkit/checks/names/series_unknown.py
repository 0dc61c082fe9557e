"""A fact is limited to a series that the vehicle does not have, so it would never be printed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields

from authorkit.checks.names.states import states_of
from authorkit.checks.nearest import listed, nearest
from authorkit.checks.subject import Subject
from authorkit.model.chapter import Chapter
from authorkit.model.wiring import Limited, Wiring
from authorkit.problems import Place, Problem

RULE = "series-unknown"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each unknown name in each notebook, at its first place."""
    known = subject.book.vehicle.series_ids
    places: dict[tuple[str, str], list[Place]] = {}
    for fact in _limited_facts(subject):
        for name in fact.series:
            if name not in known:
                places.setdefault((fact.place.file, name), []).append(fact.place)
    for (_, name), found in places.items():
        yield Problem(
            RULE,
            f"The vehicle has no series '{name}', so what is limited to it would never be printed.",
            found[0],
            found=name,
            expected=listed(known),
            suggestion=nearest(name, known, f"Add '{name}' to 'series' in the vehicle notebook."),
            also=tuple(place for place in dict.fromkeys(found[1:8]) if place != found[0]),
        )


def _limited_facts(subject: Subject) -> Iterator[Limited]:
    vehicle = subject.book.vehicle
    yield subject.book.recipe
    yield from _of_wiring(vehicle.wiring)
    yield from vehicle.codes
    yield from vehicle.high_voltage
    for chapter in subject.book.chapters:
        yield _AtSeries(chapter)
        yield from _of_wiring(chapter.wiring)
        yield from _of_chapter(chapter)


class _AtSeries:
    """A chapter's own `series`, at the line where it is written."""

    def __init__(self, chapter: Chapter) -> None:
        self.place = chapter.place_of("series")
        self.series = chapter.series


def _of_wiring(wiring: Wiring) -> Iterator[Limited]:
    for field in fields(wiring):
        yield from getattr(wiring, field.name)


def _of_chapter(chapter: Chapter) -> Iterator[Limited]:
    yield from states_of(chapter)
    yield from chapter.sets_when
    yield from chapter.specs
    yield from chapter.waveforms
    yield from chapter.suspects
    yield from chapter.cautions
    yield from chapter.steps
    yield from chapter.pictures
