"""What every instrument reads: at each point, in each state, on a sound vehicle and with a fault."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from authorkit.circuit.expansion import expand
from authorkit.circuit.faults import Fault, faults_of, with_fault
from authorkit.circuit.instruments import INSTRUMENTS, LIVE, Instrument, ohms_shown, shown_limits
from authorkit.circuit.netlist import BATTERY, CHASSIS, FAR_SIDE, PART_SIDE, Element, Netlist
from authorkit.circuit.solve import Settled, islands, settle, solve, stands
from authorkit.circuit.states import conditions_of, frequency_of, phases_of, state_name
from authorkit.circuit.view import circuit_of
from authorkit.circuit.windows import Extent, extents, is_linear, one_at_a_time, shared_params
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.model.point import Point
from authorkit.model.specification import State
from authorkit.model.wiring import Wiring, applies
from authorkit.units import Bound, Window

Array = NDArray[np.float64]

_SWING = 1.0  # V that a counter needs to count


@dataclass(frozen=True)
class Measurement:
    """An instrument and its two points, `B5.1/part` for the part's side of a plug that is off; a clamp has no `to`."""

    instrument: str
    at: str
    to: str = ""


@dataclass(frozen=True)
class Reading:
    """One answer.

    `nominal`, `low` and `high` are in `unit`, None where there is no number to print. `status` is 'driven'; 'floating'
    (a voltmeter on a point that nothing drives); 'open' (no path for an ohmmeter: more than it shows); 'live circuit'
    (an ohmmeter on a live circuit); 'fuse blown' (the number holds after a fuse has opened); 'undetermined' (the state
    does not say what a device needs); 'not converged' and 'chatter'. `basis` tells how sure the limits are.
    `over_battery` holds the limits in volts of what the reading has over the voltage at the battery's posts, None where
    it is no voltage or the battery is off.
    """

    measurement: Measurement
    state: str
    unit: str
    nominal: float | None
    low: float | None
    high: float | None
    basis: str
    status: str
    over_battery: tuple[float, float] | None = None


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
    state, series = where
    halves = phases_of(state)
    circuits = [settled_circuit(book, wiring, (half.state, series), fault) for half in halves]
    shares = [half.share for half in halves]
    statuses = [_status(circuits, each) for each in measurements]
    live = [index for index, status in enumerate(statuses) if status in _WITH_NUMBER]
    found = _numbers(circuits, shares, [measurements[index] for index in live], frequency_of(state))
    numbers = dict(zip(live, found, strict=True))
    return tuple(
        _reading(each, state_name(state), statuses[index], numbers.get(index))
        for index, each in enumerate(measurements)
    )


@dataclass(frozen=True)
class _Number:
    nominal: float
    extent: Extent
    over_battery: Extent


_WITH_NUMBER = ("driven", "fuse blown")


def _reading(measurement: Measurement, state: str, status: str, number: _Number | None) -> Reading:
    instrument = INSTRUMENTS[measurement.instrument]
    if number is None or not math.isfinite(number.nominal):
        status = "not converged" if number is not None else status
        return Reading(measurement, state, instrument.unit, None, None, None, "", status)
    low, high = shown_limits(instrument, number.extent.low, number.extent.high)
    basis, over = number.extent.basis, number.over_battery
    # One meter measures both voltages, so that most of what it shows too much or too little cancels.
    is_over = instrument.unit == "V" and math.isfinite(over.low)
    over_battery = shown_limits(instrument, over.low, over.high) if is_over else None
    return Reading(measurement, state, instrument.unit, number.nominal, low, high, basis, status, over_battery)


def _status(circuits: Sequence[Settled], measurement: Measurement) -> str:
    """Whether there is a number at all, and under which reserve."""
    statuses = {_status_in(circuit, measurement) for circuit in circuits}
    order = ("not converged", "chatter", "undetermined", "live circuit", "fuse blown", "driven", "floating", "open")
    return next(status for status in order if status in statuses)


def _status_in(circuit: Settled, measurement: Measurement) -> str:
    netlist, instrument = circuit.netlist, INSTRUMENTS[measurement.instrument]
    if circuit.status != "settled":
        return circuit.status
    if netlist.gaps or any(netlist.node(point) is None for point in _points(measurement)):
        return "undetermined"
    if measurement.instrument == "amps":
        return _with_fuses(circuit) if clamp_elements(netlist, measurement.at) else "undetermined"
    a, b = _nodes(netlist, measurement)
    together = islands(netlist)
    if together.get(a, -1) != together.get(b, -2):
        return "floating" if instrument.is_passive else "open"
    if not instrument.is_passive and abs(float(solve(netlist).volts(a, b)[0])) > LIVE:
        return "live circuit"
    return _with_fuses(circuit)


def _with_fuses(circuit: Settled) -> str:
    blown = any(toggle.once and toggle.name in circuit.thrown for toggle in circuit.netlist.toggles)
    return "fuse blown" if blown else "driven"


def inside(reading: Reading, window: Window) -> str:
    """How a reading lies to a window: 'inside', 'outside', 'straddles', or 'unknown' where there is nothing to compare.

    An open circuit lies inside a window without an upper limit ('above 10 kΩ') and outside all others.
    """
    if reading.status == "open":
        return "inside" if window.high is None else "outside"
    sides = []
    if window.low is not None:
        sides.append(_side(reading, window.low, 1.0, inclusive=window.low_inclusive))
    if window.high is not None:
        sides.append(_side(reading, window.high, -1.0, inclusive=window.high_inclusive))
    if "unknown" in sides or "outside" in sides:
        return "unknown" if "unknown" in sides else "outside"
    return "straddles" if "straddles" in sides else "inside"


_DIMENSIONS = {"V": "voltage", "Ω": "resistance", "A": "current", "Hz": "frequency", "%": "ratio"}


def _side(reading: Reading, bound: Bound, sign: float, *, inclusive: bool) -> str:
    """How a reading lies to one limit: `sign` is 1 for a lower limit, −1 for an upper one."""
    ends = reading.over_battery if bound.of else (reading.low, reading.high)
    if _DIMENSIONS[reading.unit] != bound.dimension or ends is None or ends[0] is None or ends[1] is None:
        return "unknown"
    scale = 100.0 if reading.unit == "%" else 1.0
    margins = [sign * (end / scale - bound.offset.base) for end in ends if end is not None]
    clears = [margin >= 0 if inclusive else margin > 0 for margin in margins]
    return "inside" if all(clears) else "straddles" if any(clears) else "outside"


def _points(measurement: Measurement) -> tuple[str, ...]:
    return tuple(point for point in (measurement.at, measurement.to) if point)


def _nodes(netlist: Netlist, measurement: Measurement) -> tuple[str, str]:
    a, b = netlist.node(measurement.at), netlist.node(measurement.to or CHASSIS)
    return a or CHASSIS, b or CHASSIS


def clamp_elements(netlist: Netlist, at: str) -> tuple[str, ...]:
    """What a clamp at a point goes around: the one wire that ends there; nothing where several do."""
    ends = [element.name for element in netlist.elements if element.name.startswith("wire:") and _ends_at(element, at)]
    return tuple(ends) if len(ends) == 1 else ()


def _ends_at(element: Element, at: str) -> bool:
    ends = {element.a, element.b}
    return at in ends or f"{at}{FAR_SIDE}" in ends


def _numbers(
    circuits: Sequence[Settled], shares: Sequence[float], measurements: Sequence[Measurement], frequency: float | None
) -> list[_Number]:
    """Nominal value and limits of measurements that have them, and of what they have over the battery."""
    if not measurements:
        return []
    netlists = [circuit.netlist for circuit in circuits]
    params, count = netlists[0].params, len(measurements)
    posts = Measurement("read", BATTERY, CHASSIS)
    has_battery = any(param.name == "battery" for param in params)
    asked = [*measurements, *([posts] if has_battery else [])]

    def evaluate(sets: Array) -> Array:
        halves = [_read_sets(netlist, asked, sets) for netlist in netlists]
        found = _combined(halves, shares, asked, frequency)
        battery = found[:, count:] if has_battery else np.full((len(sets), 1), np.nan)
        return np.hstack([found[:, :count], found[:, :count] - battery])

    shared = frozenset().union(*(shared_params(netlist) for netlist in netlists))
    steps = one_at_a_time(params)
    linear = len(netlists) == 1 and all(is_linear(each) for each in netlists) and stands(circuits[0], steps)
    centre = evaluate(np.array([[param.nominal for param in params]]))[0]
    found = extents(evaluate, params, shared, linear)
    return [_Number(float(centre[index]), found[index], found[count + index]) for index in range(count)]


def _read_sets(netlist: Netlist, measurements: Sequence[Measurement], sets: Array) -> Array:
    """Readings (sets × measurements) of one fixed circuit; counters give the level that they see."""
    clamps = [index for index, each in enumerate(measurements) if each.instrument == "amps"]
    others = [index for index in range(len(measurements)) if index not in clamps]
    meters = [_instrument(measurements[index]).meter(*_nodes(netlist, measurements[index])) for index in others]
    solution = solve(netlist, meters, sets)
    readings = np.zeros((len(sets), len(measurements)))
    readings[:, others] = solution.meters
    for index in clamps:
        readings[:, index] = np.abs(solution.amps(clamp_elements(netlist, measurements[index].at)[0]))
    for index in others:
        instrument = _instrument(measurements[index])
        if not instrument.is_passive:
            readings[:, index] = [ohms_shown(instrument, volts) for volts in readings[:, index]]
    return readings


def _instrument(measurement: Measurement) -> Instrument:
    """The instrument itself; a counter sees the circuit as a voltmeter does."""
    return INSTRUMENTS["volts" if measurement.instrument in ("hertz", "duty") else measurement.instrument]


def _combined(
    halves: Sequence[Array], shares: Sequence[float], measurements: Sequence[Measurement], frequency: float | None
) -> Array:
    """The two halves of a pulsed state as the instrument shows them: averaged, or counted."""
    mean = np.zeros_like(halves[0])
    for share, half in zip(shares, halves, strict=True):
        mean += share * half
    for index, each in enumerate(measurements):
        swing = halves[0][:, index] - halves[-1][:, index]
        if each.instrument == "hertz":
            mean[:, index] = np.where(np.abs(swing) > _SWING, frequency or 0.0, 0.0)
        elif each.instrument == "duty":
            high = np.where(swing > 0, shares[0], 1 - shares[0]) * 100
            mean[:, index] = np.where(np.abs(swing) > _SWING, high, 0.0)
    return mean
