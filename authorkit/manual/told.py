"""What the proof of a chapter's procedure says, as plain data that a page can be made of anywhere; kept by content."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from authorkit.circuit.study import Studies
from authorkit.circuit.view import circuit_of
from authorkit.diagnosis.proof import prove
from authorkit.diagnosis.report import EndRow, Tally, Undivided, end_rows, tally, undivided
from authorkit.diagnosis.together import Effect, Pattern, effects_of, patterns, shared_faults
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.model.wiring import Wiring
from authorkit.store import KeptFiles, content_key, packed, unpacked


@dataclass(frozen=True)
class SeriesProof:
    """The proof on one series: how many faults, where they end, what stays undivided.

    `is_computed` says that every set condition was computed, so that the faults are all that can set the code.
    """

    series: str
    tally: Tally
    rows: tuple[EndRow, ...]
    undivided: tuple[Undivided, ...]
    is_computed: bool


@dataclass(frozen=True)
class Told:
    """What is told of one chapter: its proof on each series, and what each fault of its circuits does to the code."""

    proofs: tuple[SeriesProof, ...] = ()
    effects: tuple[Effect, ...] = ()


def told_of(studies: Studies, chapter: Chapter, circuits: Mapping[str, Wiring], kept: KeptFiles) -> Told:
    """Prove a chapter on each series of `circuits`, unless that is kept already."""
    vehicle = studies.book.vehicle
    about = (vehicle.battery, vehicle.high_voltage, vehicle.series_ids)
    key = content_key("told", chapter, circuits, about, without=("place", "places", "prose"))
    data = kept.get(key)
    if data is not None:
        try:
            found = unpacked(data)
        except ValueError:
            found = None
        if isinstance(found, Told):
            return found
    told = _told(studies, chapter, circuits)
    kept.put(key, packed(told))
    return told


def _told(studies: Studies, chapter: Chapter, circuits: Mapping[str, Wiring]) -> Told:
    proofs: list[SeriesProof] = []
    effects: list[Effect] = []
    for series in circuits:
        study = studies.of(chapter, series)
        effects += effects_of(study, circuits[series])
        proof = prove(studies.book, chapter, study)
        if proof.walks and proof.steps:
            proofs.append(
                SeriesProof(series, tally(proof), end_rows(proof), undivided(proof), is_computed=proof.is_computed)
            )
    return Told(tuple(proofs), tuple(effects))


def patterns_of(book: Book, studies: Studies, kept: KeptFiles) -> tuple[Pattern, ...]:
    """The codes of all chapters that a single fault of shared wiring sets together."""
    effects: list[Effect] = []
    for chapter in book.chapters:
        every = [name for name in book.vehicle.series_ids if not chapter.series or name in chapter.series]
        circuits = {series: circuit_of(book, chapter, series) for series in every}
        effects += told_of(studies, chapter, circuits, kept).effects
    return patterns(shared_faults(effects))
