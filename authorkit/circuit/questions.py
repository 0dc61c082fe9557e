"""What is asked of a chapter's circuit: in which states, with which instruments, between which points."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations

from authorkit.circuit.instruments import INSTRUMENTS
from authorkit.circuit.measurement import Measurement, measured
from authorkit.circuit.netlist import CHASSIS
from authorkit.circuit.states import state_name
from authorkit.circuit.watch import watched
from authorkit.model.chapter import Chapter
from authorkit.model.point import Point
from authorkit.model.procedure import Step
from authorkit.model.specification import Spec, State
from authorkit.model.wiring import Wiring, applies

# The name of the state, and what is measured in it.
Question = tuple[str, Measurement]


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
    return state_name(spec.state), measured(spec.instrument, (spec.at, spec.to), wiring, spec.state, side=spec.side)


def step_questions(wiring: Wiring, step: Step) -> tuple[Question, ...]:
    """What the test of a step asks: one question for each pair of its points, or for the value that it watches.

    Nothing for steps that look or read other values, and for those that name no state.
    """
    test, state = step.test, step.state
    if test is None or state is None:
        return ()
    name = state_name(state)
    if test.watch:
        measurement = watched(wiring, test.watch)
        return ((name, measurement),) if measurement else ()
    if test.kind not in INSTRUMENTS or not test.points:
        return ()
    pairs: list[tuple[Point, Point | None]] = [*combinations(test.points, 2)] or [(test.points[0], None)]
    return tuple((name, measured(test.kind, pair, wiring, state, side=test.side)) for pair in pairs)


def questions_of(
    chapter: Chapter, wiring: Wiring, states: Mapping[str, State], series: str
) -> dict[str, tuple[Measurement, ...]]:
    """What is measured in each state: its specs and tests, and in a named state the voltage of each cavity."""
    asked: dict[str, list[Measurement]] = {name: [] for name in states}
    for name, measurement in _written(chapter, wiring, series):
        if name in asked:
            asked[name].append(measurement)
    ground = next((ground.id for ground in wiring.grounds), CHASSIS)
    cavities = [Measurement("volts", str(use.point), ground) for use in wiring.cavities]
    return {
        name: tuple(dict.fromkeys([*asked[name], *(cavities if state.name else [])])) for name, state in states.items()
    }


def over_battery(chapter: Chapter, wiring: Wiring, series: str) -> Iterator[Question]:
    """The questions of specs and steps whose windows are told relative to the battery."""
    for spec in chapter.specs:
        question = spec_question(wiring, spec) if applies(spec.series, series) else None
        if question is not None and spec.reads.is_battery_relative:
            yield question
    for step in chapter.steps:
        windows = [branch.window for branch in step.branches if branch.window is not None]
        if applies(step.series, series) and any(window.is_battery_relative for window in windows):
            yield from step_questions(wiring, step)


def _written(chapter: Chapter, wiring: Wiring, series: str) -> Iterator[Question]:
    for spec in chapter.specs:
        question = spec_question(wiring, spec) if applies(spec.series, series) else None
        if question is not None:
            yield question
    for step in chapter.steps:
        if applies(step.series, series):
            yield from step_questions(wiring, step)
