"""Everything computed of one chapter on one series, once: what rules, pages, diagnosis and the desk look at."""

from __future__ import annotations

from collections.abc import Mapping
from concurrent.futures import Executor
from dataclasses import dataclass, field, replace
from itertools import combinations

from authorkit.circuit.faults import Fault
from authorkit.circuit.instruments import INSTRUMENTS
from authorkit.circuit.netlist import CHASSIS
from authorkit.circuit.readings import Measurement, Reading, faults_in, measured, read_state
from authorkit.circuit.states import state_name
from authorkit.circuit.view import circuit_of
from authorkit.circuit.watch import Setting, settings_of, watched
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.model.procedure import Step
from authorkit.model.specification import Spec, State
from authorkit.model.wiring import Wiring, applies

# The name of the state, and what is measured in it.
Question = tuple[str, Measurement]


@dataclass(frozen=True)
class Study:
    """Everything computed of one chapter on one series.

    `states` holds the chapter's named states first, then those written out in specs, steps and set conditions, by their
    names (`states.state_name`). `readings` and `settings` are by the fault's id, '' for the sound circuit; there is one
    setting for each set condition of the series, in order.
    """

    code: str
    series: str
    states: Mapping[str, State]
    faults: tuple[Fault, ...]
    readings: Mapping[str, Mapping[Question, Reading]]
    settings: Mapping[str, tuple[Setting, ...]]

    def reading(self, question: Question, fault: str = "") -> Reading | None:
        """The answer to a question with a fault ('' for none), or None where it was not asked."""
        return self.readings.get(fault, {}).get(question)

    def may_set(self, fault: str) -> bool:
        """Whether the code may set with this fault: some condition sets, may set, or cannot be computed."""
        return any(setting.sets != "does not set" for setting in self.settings.get(fault, ()))


def study_of(book: Book, chapter: Chapter, series: str) -> Study:
    """Compute everything of one chapter on one series; no other chapter has a say in it."""
    alone = replace(book, chapters=(chapter,))
    wiring = circuit_of(alone, chapter, series)
    states = study_states(chapter, series)
    asked = {name: _asked(chapter, wiring, state, series) for name, state in states.items()}
    faults = faults_in(alone, chapter, series, states.values())
    readings = {
        _id(fault): {
            (name, reading.measurement): reading
            for name, state in states.items()
            for reading in read_state(alone, wiring, (state, series), asked[name], fault=fault)
        }
        for fault in (None, *faults)
    }
    settings = {_id(fault): settings_of(alone, chapter, series, fault) for fault in (None, *faults)}
    return Study(str(chapter.code), series, states, faults, readings, settings)


def _id(fault: Fault | None) -> str:
    return fault.id if fault else ""


def study_states(chapter: Chapter, series: str) -> dict[str, State]:
    """The chapter's named states on one series, then those that specs, steps and set conditions write out."""
    inline = [spec.state for spec in chapter.specs if applies(spec.series, series)]
    inline += [step.state for step in chapter.steps if step.state is not None and applies(step.series, series)]
    inline += [
        condition.during
        for condition in chapter.sets_when
        if condition.during is not None and applies(condition.series, series)
    ]
    found: dict[str, State] = {}
    for state in (*chapter.states, *inline):
        if applies(state.series, series):
            found.setdefault(state_name(state), state)
    return found


def spec_question(wiring: Wiring, spec: Spec) -> Question | None:
    """What a spec asks; None where it names an instrument that reads nothing."""
    if spec.instrument not in INSTRUMENTS:
        return None
    return state_name(spec.state), measured(spec.instrument, (spec.at, spec.to), wiring, spec.state)


def step_questions(wiring: Wiring, step: Step) -> tuple[Question, ...]:
    """What the test of a step asks, one question for each pair of its points; nothing where no value is read.

    A value on the scan tool is asked as the module reads it, where a read device names it.
    """
    test, state = step.test, step.state
    if test is None or state is None:
        return ()
    if test.watch:
        seen = watched(wiring, test.watch)
        return ((state_name(state), seen),) if seen is not None else ()
    if test.kind not in INSTRUMENTS or not test.points:
        return ()
    if len(test.points) == 1:
        return ((state_name(state), measured(test.kind, (test.points[0], None), wiring, state)),)
    return tuple((state_name(state), measured(test.kind, pair, wiring, state)) for pair in combinations(test.points, 2))


def _asked(chapter: Chapter, wiring: Wiring, state: State, series: str) -> tuple[Measurement, ...]:
    """What is measured in a state: the specs and tests of it, and in a named state each cavity against ground."""
    name = state_name(state)
    specs = (spec_question(wiring, spec) for spec in chapter.specs if applies(spec.series, series))
    steps = (
        question for step in chapter.steps if applies(step.series, series) for question in step_questions(wiring, step)
    )
    found = [question[1] for question in (*specs, *steps) if question is not None and question[0] == name]
    if state.name:
        ground = next((ground.id for ground in wiring.grounds), CHASSIS)
        found += [Measurement("volts", str(use.point), ground) for use in wiring.cavities]
    return tuple(dict.fromkeys(found))


@dataclass
class Studies:
    """The studies of a book, each made at most once."""

    book: Book
    _made: dict[tuple[str, str], Study] = field(default_factory=dict)

    def of(self, chapter: Chapter, series: str) -> Study:
        """The study of a chapter on a series."""
        key = (chapter.file, series)
        if key not in self._made:
            self._made[key] = study_of(self.book, chapter, series)
        return self._made[key]

    def prepare(self, executor: Executor) -> None:
        """Make all that are missing, in parallel."""
        wanted = [
            (chapter, series)
            for chapter in self.book.chapters
            for series in self.book.vehicle.series_ids or ("",)
            if applies(chapter.series, series) and (chapter.file, series) not in self._made
        ]
        tasks = [
            executor.submit(study_of, replace(self.book, chapters=(chapter,)), chapter, series)
            for chapter, series in wanted
        ]
        for (chapter, series), task in zip(wanted, tasks, strict=True):
            self._made[chapter.file, series] = task.result()
