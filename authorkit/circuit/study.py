"""Everything computed of one chapter on one series, once: what rules, pages, diagnosis and the desk look at."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from concurrent.futures import Executor
from contextlib import suppress
from dataclasses import dataclass, field, replace
from typing import Protocol

from authorkit.circuit.faults import Fault
from authorkit.circuit.measurement import Reading
from authorkit.circuit.netlist import Gap
from authorkit.circuit.plan import Overload, Plan, Solved, plan_of, solved
from authorkit.circuit.questions import Question, spec_question, step_questions, study_states
from authorkit.circuit.table import Table
from authorkit.circuit.watch import Setting, setting_of
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.model.specification import SetCondition, State
from authorkit.model.wiring import applies
from authorkit.store import packed, unpacked

__all__ = ["Question", "Setting", "Studies", "Study", "spec_question", "step_questions", "study_of", "study_states"]


@dataclass(frozen=True)
class Study:
    """Everything computed of one chapter on one series.

    `states` holds the chapter's named states first, then those written out in specs, steps and set conditions, by their
    names (`states.state_name`). `readings` and `settings` are by the fault's id, '' for the sound circuit; there is one
    setting for each set condition of the series, in order. `gaps` tells by state what could not be computed, and why,
    `overloads` which fuses carry more than their rating and do not blow.
    """

    code: str
    series: str
    states: Mapping[str, State]
    faults: tuple[Fault, ...]
    readings: Mapping[str, Mapping[Question, Reading]]
    settings: Mapping[str, tuple[Setting, ...]]
    gaps: Mapping[str, tuple[Gap, ...]] = field(default_factory=dict)
    overloads: tuple[Overload, ...] = ()

    def reading(self, question: Question, fault: str = "") -> Reading | None:
        """The answer to a question with a fault ('' for none), or None where it was not asked."""
        return self.readings.get(fault, {}).get(question)

    def may_set(self, fault: str) -> bool:
        """Whether the code may set with this fault: some condition sets, may set, or cannot be computed."""
        return any(setting.sets != "does not set" for setting in self.settings.get(fault, ()))


def study_of(book: Book, chapter: Chapter, series: str) -> Study:
    """Compute everything of one chapter on one series; no other chapter has a say in it."""
    plan = plan_of(book, chapter, series)
    return _study(plan, solved(plan))


def _study(plan: Plan, found: Solved) -> Study:
    faults, answers = ("", *(fault.id for fault in found.faults)), found.answers()
    readings = Table(faults, plan.questions, answers, plan.columns(plan.questions))
    asked = tuple(question for questions in plan.watched for question in questions)
    watching = Table(faults, asked, answers, plan.columns(asked))
    settings = Settings(watching, plan.conditions, plan.watched)
    gaps = plan.gaps(found.missing)
    return Study(
        str(plan.chapter.code), plan.series, plan.states, found.faults, readings, settings, gaps, plan.overloads(found)
    )


@dataclass(frozen=True, eq=False)
class Settings(Mapping[str, tuple[Setting, ...]]):
    """The set conditions by fault, each judged when it is asked for."""

    table: Table
    conditions: tuple[SetCondition, ...]
    watched: tuple[tuple[Question, ...], ...]
    _made: dict[str, tuple[Setting, ...]] = field(default_factory=dict, repr=False)

    def __getitem__(self, fault: str) -> tuple[Setting, ...]:
        if fault not in self._made:
            row = self.table[fault]
            self._made[fault] = tuple(
                setting_of(condition, [row[question] for question in questions])
                for condition, questions in zip(self.conditions, self.watched, strict=True)
            )
        return self._made[fault]

    def __iter__(self) -> Iterator[str]:
        return iter(self.table)

    def __len__(self) -> int:
        return len(self.table)


class Store(Protocol):
    """Keeps bytes by key; `store.KeptFiles` is one."""

    def get(self, key: str) -> bytes | None:
        """What was kept, or None."""
        ...

    def put(self, key: str, data: bytes) -> None:
        """Keep something."""
        ...


@dataclass
class Studies:
    """The studies of a book, each made at most once, and kept from run to run where a store is given.

    Series whose circuit and questions are the same share what is solved.
    """

    book: Book
    store: Store | None = None
    _made: dict[tuple[str, str], Study] = field(default_factory=dict, repr=False)
    _packed: dict[str, bytes] = field(default_factory=dict, repr=False)

    def of(self, chapter: Chapter, series: str) -> Study:
        """The study of a chapter on a series."""
        place = (chapter.file, series)
        if place not in self._made:
            plan = plan_of(self.book, chapter, series)
            self._made[place] = _study(plan, _kept_or_solved(plan, self.store, self._packed))
        return self._made[place]

    def prepare(self, executor: Executor) -> None:
        """Solve all that is missing, in parallel; a task takes a few chapters, as each takes the vehicle along."""
        chapters = tuple(
            chapter
            for chapter in self.book.chapters
            if any((chapter.file, series) not in self._made for series in _series_of(self.book, chapter))
        )
        tasks = [
            executor.submit(
                prepared, replace(self.book, chapters=chapters[first : first + _TOGETHER], front=()), self.store
            )
            for first in range(0, len(chapters), _TOGETHER)
        ]
        for task in tasks:
            self._packed.update(task.result())


_TOGETHER = 4


def prepared(book: Book, store: Store | None) -> dict[str, bytes]:
    """What was solved for a book, by its keys; a task for another process."""
    found: dict[str, bytes] = {}
    for chapter in book.chapters:
        for series in _series_of(book, chapter):
            _kept_or_solved(plan_of(book, chapter, series), store, found)
    return found


def _series_of(book: Book, chapter: Chapter) -> list[str]:
    return [series for series in book.vehicle.series_ids or ("",) if applies(chapter.series, series)]


def _kept_or_solved(plan: Plan, store: Store | None, known: dict[str, bytes]) -> Solved:
    """From memory, from the store, or solved now and put into both."""
    key = plan.key
    data = known.get(key) or (store.get(key) if store is not None else None)
    if data is not None:
        with suppress(ValueError):
            found = unpacked(data)
            if isinstance(found, Solved):
                known[key] = data
                return found
    found = solved(plan)
    known[key] = packed(found)
    if store is not None:
        store.put(key, known[key])
    return found
