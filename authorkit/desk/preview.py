"""What is shown below a facts cell: the drawings of the page, and what the circuit makes an instrument read."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from authorkit.circuit.reading_words import limit_words, nominal_words
from authorkit.circuit.readings import Measurement, Reading
from authorkit.circuit.study import Question, Studies, spec_question
from authorkit.desk.look import Look
from authorkit.drawing.store import PictureStore
from authorkit.manual.blocks import Block, Figure, Heading, Paragraph, Strong, Table, Text, words
from authorkit.manual.chapter_page import chapter_page
from authorkit.manual.numbering import numbered
from authorkit.manual.phrases import between_words, point_words, state_words
from authorkit.manual.scope import Scope, scope_of, share
from authorkit.manual.sections.circuit import grouped
from authorkit.model.point import parse_point
from authorkit.model.specification import INSTRUMENTS, Spec
from authorkit.model.wiring import applies
from authorkit.problems import Problem
from authorkit.units import show

# What is asked → the reading of a sound circuit.
Sound = Mapping[Question, Reading]


@dataclass(frozen=True)
class Drawn:
    """The figures of the page, and what could not be drawn."""

    figures: tuple[Figure, ...]
    problems: tuple[Problem, ...]


def scope_for(seen: Look, store: PictureStore) -> Scope | None:
    """What the sections of the chapter's page look at; None without a chapter."""
    if seen.book is None or seen.chapter is None:
        return None
    return scope_of(share(seen.book, store), seen.chapter)


def page_figures(scope: Scope) -> Drawn:
    """Every figure of the chapter's page as it will be printed, in the order of the page, numbered as there."""
    page, problems = chapter_page(scope)
    return Drawn(tuple(block for block in numbered(page).blocks if isinstance(block, Figure)), problems)


def reading_blocks(scope: Scope, studies: Studies) -> Iterator[Block]:
    """The readings that the author states beside the computed ones, then every cavity in every state."""
    yield Heading(3, "What instruments read")
    sound = {series: studies.of(scope.chapter, series).readings[""] for series in scope.circuits}
    if scope.chapter.specs:
        yield _spec_table(scope, sound)
    for names, wiring in grouped(scope):
        if not wiring.cavities:
            continue
        where = f", Series {' and '.join(names)}" if len(scope.circuits) > 1 else ""
        table = _matrix(scope, sound[names[0]], f"Volts to ground, sound circuit{where}")
        if table is not None:
            yield table
    if not scope.circuits:
        yield Paragraph(words("Nothing is computed: this chapter holds for no series of the vehicle."))


def _spec_table(scope: Scope, sound: Mapping[str, Sound]) -> Table:
    """One row for each stated reading, with what the circuit gives on each series it holds for."""
    several = len(sound) > 1
    columns = ("Name", "Measure with", "Where", "State", "Must read", *(_series_words(each, several) for each in sound))
    rows = []
    for spec in scope.chapter.specs:
        cells = (
            spec.name,
            INSTRUMENTS[spec.instrument][0],
            between_words(spec.at, spec.to, scope.harness, scope.chapter, side=spec.side),
            spec.state.name or state_words(spec.state),
            show(spec.reads),
        )
        computed = (_computed(spec, scope, series, sound[series]) for series in sound)
        rows.append((*map(words, cells), *((Strong((Text(each),)),) for each in computed)))
    return Table("Stated readings, and what the circuit gives", columns, tuple(rows))


def _series_words(series: str, several: bool) -> str:
    return f"Computed, Series {series}" if several and series else "Computed"


def _computed(spec: Spec, scope: Scope, series: str, sound: Sound) -> str:
    if not applies(spec.series, series):
        return "–"
    question = spec_question(scope.circuits[series], spec)
    reading = sound.get(question) if question else None
    if reading is None:
        return "not computed"
    return nominal_words(reading) if reading.nominal is None else f"{nominal_words(reading)} ({limit_words(reading)})"


def _matrix(scope: Scope, sound: Sound, caption: str) -> Table | None:
    """A row for each cavity, a column for each named state."""
    volts = {key: reading for key, reading in sound.items() if key[1].instrument == "volts"}
    states = list(dict.fromkeys(state.name for state in scope.chapter.states if state.name))
    ground = [key[1] for key in volts if key[0] in states and key[1].to and "." not in key[1].to]
    points = list(dict.fromkeys(ground))
    if not states or not points:
        return None
    rows = tuple(
        (words(point_words(parse_point(each.at), scope.harness, scope.chapter)), *_cells(each, states, volts))
        for each in sorted(points, key=lambda each: parse_point(each.at))
    )
    return Table(caption, ("Cavity", *states), rows)


def _cells(measurement: Measurement, states: Sequence[str], volts: Sound) -> Iterator[tuple[Text, ...]]:
    for state in states:
        reading = volts.get((state, measurement))
        yield (Text(nominal_words(reading) if reading else "–"),)


def shown_figures(figures: Iterable[Figure]) -> Iterator[Block]:
    """Figures under the headings of the desk."""
    yield Heading(3, "Drawings of the page")
    yield from figures
