"""What every instrument reads: at each point, in each state, on a sound vehicle and with a fault."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from authorkit.circuit.answers import Answers, Half, answers_of
from authorkit.circuit.expansion import expand
from authorkit.circuit.faults import Fault, faults_of, with_fault
from authorkit.circuit.instruments import INSTRUMENTS
from authorkit.circuit.measurement import Measurement, Reading, inside, measured
from authorkit.circuit.netlist import CHASSIS
from authorkit.circuit.questions import study_states
from authorkit.circuit.solve import Settled, settle
from authorkit.circuit.states import conditions_of, frequency_of, phases_of, state_name
from authorkit.circuit.view import circuit_of
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.model.specification import State
from authorkit.model.wiring import Wiring, applies

__all__ = [
    "Measurement",
    "Reading",
    "answers_in",
    "faults_in",
    "inside",
    "measured",
    "measurements_of",
    "read_state",
    "readings_of",
    "settled_circuit",
    "states_of",
]


def states_of(chapter: Chapter, series: str) -> tuple[State, ...]:
    """The chapter's named states on one series, then those that only a spec writes out, each once."""
    specs = (spec.state for spec in chapter.specs if applies(spec.series, series))
    found: dict[str, State] = {}
    for state in (*chapter.states, *specs):
        if applies(state.series, series):
            found.setdefault(state_name(state), state)
    return tuple(found.values())


def measurements_of(chapter: Chapter, wiring: Wiring, state: State, series: str) -> tuple[Measurement, ...]:
    """What is worth measuring in a state: the chapter's specs for it, and a voltmeter from each cavity to ground."""
    found: dict[Measurement, None] = {}
    for spec in chapter.specs:
        here = applies(spec.series, series) and state_name(spec.state) == state_name(state)
        if here and spec.instrument in INSTRUMENTS:
            found[measured(spec.instrument, (spec.at, spec.to), wiring, state, side=spec.side)] = None
    ground = next((ground.id for ground in wiring.grounds), CHASSIS)
    for use in wiring.cavities:
        found[Measurement("volts", str(use.point), ground)] = None
    return tuple(found)


def readings_of(
    book: Book, chapter: Chapter, series: str, states: Iterable[State], *, fault: Fault | None = None
) -> tuple[Reading, ...]:
    """Every reading of some states of a chapter on one series, with a fault or without."""
    wiring = circuit_of(book, chapter, series)
    return tuple(
        reading
        for state in states
        for reading in read_state(
            book, wiring, (state, series), measurements_of(chapter, wiring, state, series), fault=fault
        )
    )


def faults_in(book: Book, chapter: Chapter, series: str, more: Iterable[State] = ()) -> tuple[Fault, ...]:
    """The faults of a chapter on one series: those of every state, as some devices are only told in some states.

    `more` are states that the chapter itself does not write.
    """
    alone, wiring = replace(book, chapters=(chapter,)), circuit_of(book, chapter, series)
    states = (*study_states(chapter, series).values(), *more)
    halves = [phase.state for state in states for phase in phases_of(state)]
    return faults_of(wiring, [expand(wiring, conditions_of(alone, half, series)) for half in halves])


def settled_circuit(book: Book, wiring: Wiring, where: tuple[State, str], fault: Fault | None = None) -> Settled:
    """The circuit of a fixed state on a series, a fault in it or not, after its fuses and relays have come to rest."""
    netlist = expand(wiring, conditions_of(book, *where))
    return settle(with_fault(netlist, fault) if fault else netlist)


def read_state(
    book: Book,
    wiring: Wiring,
    where: tuple[State, str],
    measurements: Sequence[Measurement],
    *,
    fault: Fault | None = None,
) -> tuple[Reading, ...]:
    """The readings of one state. A pulsed state is read in both of its halves and averaged."""
    answers = answers_in((book, wiring), where, measurements, [fault] if fault else [])
    row, name = answers.status.shape[0] - 1, state_name(where[0])
    return tuple(answers.reading((row, column), each, name) for column, each in enumerate(measurements))


def answers_in(
    what: tuple[Book, Wiring], where: tuple[State, str], measurements: Sequence[Measurement], faults: Sequence[Fault]
) -> Answers:
    """All measurements in one state on one series, sound and with each fault."""
    (book, wiring), (state, series) = what, where
    phases = phases_of(state)
    halves = [Half(expand(wiring, conditions_of(book, phase.state, series)), phase.share) for phase in phases]
    return answers_of(halves, measurements, faults, frequency=frequency_of(state))
