"""What a study has to solve: the states of a chapter on one series, each physically different one once."""

from __future__ import annotations

import zlib
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from authorkit.circuit.answers import Answers, Half, answers_of
from authorkit.circuit.expansion import expand
from authorkit.circuit.faults import Fault, faults_of
from authorkit.circuit.measurement import Measurement
from authorkit.circuit.questions import Question, questions_of, study_states
from authorkit.circuit.states import Conditions, conditions_of, frequency_of, phases_of, state_name
from authorkit.circuit.view import circuit_of
from authorkit.circuit.watch import completions, watched
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.model.specification import SetCondition, State
from authorkit.model.wiring import Wiring, applies
from authorkit.store import content_key


@dataclass(frozen=True)
class Plan:
    """What is asked of one chapter on one series.

    `readings` are the questions of a study, `watched` those of each set condition in turn; `states` and `during` hold
    the states that they name.
    """

    book: Book
    chapter: Chapter
    series: str
    wiring: Wiring
    states: dict[str, State]
    questions: tuple[Question, ...]
    conditions: tuple[SetCondition, ...]
    watched: tuple[tuple[Question, ...], ...]
    during: dict[str, State]

    @cached_property
    def demands(self) -> dict[object, tuple[State, tuple[Measurement, ...]]]:
        """Each physically different state, with all that is measured in it under any of its names."""
        found: dict[object, tuple[State, dict[Measurement, None]]] = {}
        every = (*self.questions, *(question for questions in self.watched for question in questions))
        for name, measurement in every:
            state = self.states.get(name) or self.during[name]
            found.setdefault(_physical(state), (state, {}))[1][measurement] = None
        return {key: (state, tuple(measurements)) for key, (state, measurements) in found.items()}

    def columns(self, questions: Iterable[Question]) -> tuple[int, ...]:
        """The column of each question in what is solved for the demands, one after the other."""
        first, place = 0, {}
        for key, (_, measurements) in self.demands.items():
            place.update({(key, each): first + index for index, each in enumerate(measurements)})
            first += len(measurements)
        return tuple(place[_physical(self.states.get(name) or self.during[name]), each] for name, each in questions)

    @cached_property
    def key(self) -> str:
        """What the answers hang on: the circuit, the vehicle's supplies, the states and the measurements; no prose."""
        vehicle = self.book.vehicle
        return content_key(
            "study", self.wiring, vehicle.battery, vehicle.high_voltage, self.series, list(self.demands.values())
        )


def _physical(state: State) -> object:
    """What makes a state differ from another one, whatever it is called."""
    off = frozenset(state.unplugged), frozenset(state.pulled), state.disconnect
    return state.key, off, state.jumpers, state.settings, state.battery


def plan_of(book: Book, chapter: Chapter, series: str) -> Plan:
    """What is asked of one chapter on one series; no other chapter has a say in it."""
    alone = replace(book, chapters=(chapter,))
    wiring = circuit_of(alone, chapter, series)
    states = study_states(chapter, series)
    asked = questions_of(chapter, wiring, states, series)
    conditions = tuple(condition for condition in chapter.sets_when if applies(condition.series, series))
    during: dict[str, State] = {}
    questions = tuple(tuple(_watched(chapter, wiring, condition, (series, during))) for condition in conditions)
    readings = tuple((name, each) for name, measurements in asked.items() for each in measurements)
    return Plan(alone, chapter, series, wiring, states, readings, conditions, questions, during)


def _watched(
    chapter: Chapter, wiring: Wiring, condition: SetCondition, where: tuple[str, dict[str, State]]
) -> list[Question]:
    """What a set condition asks, one question for each state that fills it in; the states are noted by name."""
    series, during = where
    measurement = watched(wiring, condition.watch)
    if condition.during is None or measurement is None:
        return []
    states = {state_name(replace(state, name="")): state for state in completions(chapter, condition.during, series)}
    during.update(states)
    return [(name, measurement) for name in states]


@dataclass(frozen=True)
class Solved:
    """The faults of a plan's circuit, and the answers to all its demands, one state's beside the other's, packed."""

    faults: tuple[Fault, ...]
    columns: int
    data: bytes

    def answers(self) -> Answers:
        """The numbers themselves."""
        raw, rows = zlib.decompress(self.data), 1 + len(self.faults)
        count, found, start = rows * self.columns, [], 0
        for kind in _KINDS:
            found.append(np.frombuffer(raw, kind, count, start).reshape(rows, self.columns))
            start += count * np.dtype(kind).itemsize
        return Answers(*found)


# How each table of `Answers` is packed, in order.
_KINDS = ("i1", "i1", "<f8", "<f8", "<f8", "<f8", "<f8")


def solved(plan: Plan) -> Solved:
    """Answer everything that a plan demands."""
    halves = {key: _halves(plan, state) for key, (state, _) in plan.demands.items()}
    netlists = [half.netlist for both in halves.values() for half in both]
    faults = faults_of(plan.wiring, netlists or [expand(plan.wiring, Conditions())])
    found = [
        answers_of(halves[key], measurements, faults, frequency_of(state))
        for key, (state, measurements) in plan.demands.items()
    ]
    columns = sum(len(measurements) for _, measurements in plan.demands.values())
    tables = [[getattr(each, name) for each in found] for name in Answers.__annotations__]
    whole = [np.hstack(table) if table else np.zeros((1 + len(faults), 0)) for table in tables]
    raw = [table.astype(kind, order="C").tobytes() for table, kind in zip(whole, _KINDS, strict=True)]
    return Solved(faults, columns, zlib.compress(b"".join(raw), 1))


def _halves(plan: Plan, state: State) -> list[Half]:
    return [
        Half(expand(plan.wiring, conditions_of(plan.book, phase.state, plan.series)), phase.share)
        for phase in phases_of(state)
    ]
