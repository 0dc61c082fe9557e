"""What every instrument reads: at each point, in each state, on a sound vehicle and with a fault."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from authorkit.circuit.answers import Answers, Half, answers_of
from authorkit.circuit.expansion import expand
from authorkit.circuit.faults import Fault, faults_of, with_fault
from authorkit.circuit.instruments import INSTRUMENTS
from authorkit.circuit.measurement import Measurement, Reading, inside
from authorkit.circuit.netlist import CHASSIS, PART_SIDE
from authorkit.circuit.solve import Settled, settle
from authorkit.circuit.states import conditions_of, frequency_of, phases_of, state_name
from authorkit.circuit.view import circuit_of
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.model.point import Point
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
            found[measured(spec.instrument, (spec.at, spec.to), wiring, state)] = None
    ground = next((ground.id for ground in wiring.grounds), CHASSIS)
    for use in wiring.cavities:
        found[Measurement("volts", str(use.point), ground)] = None
    return tuple(found)


def measured(instrument: str, points: tuple[Point, Point | None], wiring: Wiring, state: State) -> Measurement:
    """A measurement with its sides chosen.

    Where a plug is off, a meter is put to the harness. Only the ohmmeter across two cavities of one plug that is off
    measures the part that has been unplugged, unless the part is a module: nobody measures into a module.
    """
    at, to = points
    plug = next((connector for connector in wiring.connectors if connector.id == at.owner), None)
    modules = {part.id for part in wiring.parts if part.kind == "module"}
    to_part = (
        instrument == "ohms"
        and to is not None
        and at.owner == to.owner in state.unplugged
        and plug is not None
        and plug.part != ""
        and plug.part not in modules
        and _joined_inside(wiring, at, to)
    )
    side = PART_SIDE if to_part else ""
    return Measurement(instrument, f"{at}{side}", f"{to}{side}" if to is not None else "")


def _joined_inside(wiring: Wiring, at: Point, to: Point) -> bool:
    """Whether some device of the part touches both cavities, or each of them."""
    touched = {terminal for device in wiring.devices for terminal in device.terminals}
    return at in touched and to in touched


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


def faults_in(book: Book, chapter: Chapter, series: str, states: Iterable[State] | None = None) -> tuple[Fault, ...]:
    """The faults of a chapter on one series: those of every state, as some devices are only told in some states."""
    wiring = circuit_of(book, chapter, series)
    found: dict[str, Fault] = {}
    for state in states_of(chapter, series) if states is None else states:
        for phase in phases_of(state):
            for fault in faults_of(wiring, expand(wiring, conditions_of(book, phase.state, series))):
                found.setdefault(fault.id, fault)
    return tuple(found.values())


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
    return answers_of(halves, measurements, faults, frequency_of(state))
