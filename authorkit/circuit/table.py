"""Readings of many questions under many faults, kept as numbers; one becomes a `Reading` when it is asked for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from authorkit.circuit.answers import Answers
from authorkit.circuit.measurement import Reading
from authorkit.circuit.questions import Question


@dataclass(frozen=True, eq=False)
class Table(Mapping[str, Mapping[Question, Reading]]):
    """Readings by fault ('' first, for none) and question; `places` are the questions' columns in the answers."""

    faults: tuple[str, ...]
    questions: tuple[Question, ...]
    answers: Answers
    places: tuple[int, ...]
    _rows: dict[str, Row] = field(default_factory=dict, repr=False)

    def __getitem__(self, fault: str) -> Row:
        if fault not in self._rows:
            self._rows[fault] = Row(self, self._number[fault])
        return self._rows[fault]

    def __iter__(self) -> Iterator[str]:
        return iter(self.faults)

    def __len__(self) -> int:
        return len(self.faults)

    @cached_property
    def _number(self) -> Mapping[str, int]:
        return {fault: number for number, fault in enumerate(self.faults)}

    @cached_property
    def columns(self) -> Mapping[Question, int]:
        """The column of each question in the answers."""
        return dict(zip(self.questions, self.places, strict=True))


@dataclass(frozen=True, eq=False)
class Row(Mapping[Question, Reading]):
    """The readings under one fault."""

    table: Table
    number: int
    _made: dict[Question, Reading] = field(default_factory=dict, repr=False)

    def __getitem__(self, question: Question) -> Reading:
        if question not in self._made:
            state, measurement = question
            at = self.number, self.table.columns[question]
            self._made[question] = self.table.answers.reading(at, measurement, state)
        return self._made[question]

    def __iter__(self) -> Iterator[Question]:
        return iter(self.table.questions)

    def __len__(self) -> int:
        return len(self.table.questions)

    def __contains__(self, question: object) -> bool:
        return question in self.table.columns
