"""What the circuit gives where the author measures: specs and steps with their readings on each series."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from authorkit.checks.subject import ChapterCircuit, Subject
from authorkit.circuit.reading_words import limit_words
from authorkit.circuit.readings import Reading
from authorkit.circuit.study import Question, Study, spec_question, step_questions
from authorkit.model.procedure import Step
from authorkit.model.specification import Spec


@dataclass(frozen=True)
class Answered:
    """One measurement that the author asks for on one series, and what a sound vehicle gives."""

    circuit: ChapterCircuit
    fact: Spec | Step
    question: Question
    study: Study
    reading: Reading

    @property
    def words(self) -> str:
        """Where in the author's facts it is asked: 'Spec 'cold'', 'The spec at B5.1', 'Step 3'."""
        if isinstance(self.fact, Step):
            return f"Step {self.fact.number}"
        return f"Spec '{self.fact.name}'" if self.fact.name else f"The spec at {self.fact.at}"

    @property
    def asked_words(self) -> str:
        """What is measured: 'the volts from B5.1 to G1 in state 'cold''."""
        state, measurement = self.question
        between = (
            f"from {measurement.at} to {measurement.to}" if measurement.to else f"around the wire at {measurement.at}"
        )
        return f"the {measurement.instrument} {between} in state '{state}'"


def answered_specs(subject: Subject) -> Iterator[Answered]:
    """Every spec on every series it holds on, with its reading."""
    for circuit in subject.circuits:
        for spec in circuit.chapter.specs:
            if circuit.series in subject.holds(spec) or not circuit.series:
                question = spec_question(circuit.wiring, spec)
                yield from _answered(subject, circuit, spec, [question] if question else [])


def answered_steps(subject: Subject) -> Iterator[Answered]:
    """Every electrical test of a step on every series it holds on, with its reading."""
    for circuit in subject.circuits:
        for step in circuit.chapter.steps:
            if circuit.series in subject.holds(step) or not circuit.series:
                yield from _answered(subject, circuit, step, step_questions(circuit.wiring, step))


def _answered(
    subject: Subject, circuit: ChapterCircuit, fact: Spec | Step, questions: list[Question] | tuple[Question, ...]
) -> Iterator[Answered]:
    for question in questions:
        study = subject.study(circuit)
        reading = study.reading(question)
        if reading is not None:
            yield Answered(circuit, fact, question, study, reading)


def once_a_fact(found: Iterator[Answered]) -> Iterator[tuple[Answered, frozenset[str]]]:
    """The first of the measurements found for each fact, and the series on which it was found."""
    first: dict[int, Answered] = {}
    series: dict[int, set[str]] = {}
    for each in found:
        first.setdefault(id(each.fact), each)
        series.setdefault(id(each.fact), set()).add(each.circuit.series)
    for key, each in first.items():
        yield each, frozenset(series[key])


def given_words(reading: Reading) -> str:
    """What a reading comes to, with the ordinary spaces of a message."""
    return limit_words(reading).replace("\u202f", " ")
