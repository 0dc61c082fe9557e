"""What a study has to solve: the states of a chapter on one series, each physically different one once."""

from __future__ import annotations

import zlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from authorkit.circuit.answers import Answers, Half, agreed, answers_of
from authorkit.circuit.expansion import device_names, expand
from authorkit.circuit.faults import Fault, faults_of
from authorkit.circuit.measurement import STATUSES, Measurement
from authorkit.circuit.netlist import Gap
from authorkit.circuit.overload import overloads_of
from authorkit.circuit.questions import Question, over_battery, questions_of, study_states
from authorkit.circuit.states import Conditions, conditions_of, frequency_of, phases_of, plugs_of, state_name
from authorkit.circuit.view import circuit_of
from authorkit.circuit.watch import completions, watched
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.model.specification import SetCondition, State
from authorkit.model.wiring import Device, Wiring, applies
from authorkit.store import content_key


@dataclass(frozen=True)
class Demand:
    """One state to be solved, and its measurements: whether each is compared with the battery."""

    state: State
    measurements: dict[Measurement, bool]


@dataclass(frozen=True)
class Overload:
    """A fuse that carries more than its rating without blowing, with a fault ('' for none), in a state."""

    fault: str
    state: str
    fuse: Device
    amps: float


@dataclass(frozen=True)
class Plan:
    """What is asked of one chapter on one series.

    `readings` are the questions of a study, `watched` those of each set condition in turn; `states` and `during` hold
    the states that they name. `over_battery` are the questions with a window that is told relative to the battery.
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
    over_battery: frozenset[Question]

    @cached_property
    def demands(self) -> dict[object, Demand]:
        """Each physically different state, with all that is measured in it under any of its names."""
        found: dict[object, Demand] = {}
        every = (*self.questions, *(question for questions in self.watched for question in questions))
        for name, measurement in every:
            state = self.states.get(name) or self.during[name]
            demand = found.setdefault(_physical(state), Demand(state, {}))
            over_battery = (name, measurement) in self.over_battery
            demand.measurements[measurement] = demand.measurements.get(measurement, False) or over_battery
        return found

    def columns(self, questions: Iterable[Question]) -> tuple[int, ...]:
        """The column of each question in what is solved for the demands, one after the other."""
        first, place = 0, {}
        for key, demand in self.demands.items():
            place.update({(key, each): first + index for index, each in enumerate(demand.measurements)})
            first += len(demand.measurements)
        return tuple(place[_physical(self.states.get(name) or self.during[name]), each] for name, each in questions)

    def gaps(self, missing: Iterable[Missing]) -> Mapping[str, tuple[Gap, ...]]:
        """What could not be computed, by the name of the state."""
        found: dict[str, list[Gap]] = {}
        demands = list(self.demands)
        for each in missing:
            for name, state in self.states.items():
                if _physical(state) == demands[each.demand]:
                    found.setdefault(name, []).append(self._gap(each, state))
        return {name: tuple(gaps) for name, gaps in found.items()}

    def overloads(self, found: Solved) -> tuple[Overload, ...]:
        """The fuses above their rating, each fault in the first state that shows it."""
        demands, states = list(self.demands), list(self.states.values())
        first: dict[tuple[int, int], Overload] = {}
        for each in found.strained:
            state = next((state for state in states if _physical(state) == demands[each.demand]), None)
            if state is not None:
                fault = found.faults[each.fault].id if each.fault >= 0 else ""
                fuse = self.wiring.devices[each.device]
                first.setdefault((each.fault, each.device), Overload(fault, state_name(state), fuse, each.amps))
        return tuple(first.values())

    def _gap(self, missing: Missing, state: State) -> Gap:
        if missing.device < 0:
            return Gap(str(self.chapter.code), "circuit", missing.because, state.place)
        device = self.wiring.devices[missing.device]
        return Gap(device.part, device.kind, missing.because, device.place)

    @cached_property
    def key(self) -> str:
        """What the answers hang on: the circuit, the vehicle's supplies, the states and the measurements; no prose."""
        vehicle, plugs = self.book.vehicle, plugs_of(self.book)
        high_voltage = [record.disconnect for record in vehicle.high_voltage if applies(record.series, self.series)]
        batteries = {
            device.part for wiring in self.book.wirings for device in wiring.devices if device.kind == "battery"
        }
        sources = {name for name, part in plugs.items() if part in batteries}
        states, demands = list(self.states.values()), list(self.demands.values())
        parts = [(part.id, part.kind) for part in self.wiring.parts]
        wiring = replace(self.wiring, parts=())
        facts = (wiring, parts, vehicle.battery, high_voltage, sources, states, demands)
        return content_key("study", *facts, without=_NOT_ELECTRICAL)


# Fields of facts that no reading and no fault hangs on.
_NOT_ELECTRICAL = (
    *("place", "series", "colour", "colour_change", "location", "access", "view", "sealed", "back_probe"),
    *("bolt", "torque", "in_charge_of", "hazards", "note", "chain", "position"),
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
    over = frozenset(over_battery(chapter, wiring, series)) | {
        question
        for condition, asked_of in zip(conditions, questions, strict=True)
        for question in asked_of
        if condition.window is not None and condition.window.is_battery_relative
    }
    return Plan(alone, chapter, series, wiring, states, readings, conditions, questions, during, over)


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


# The order in which the tables of `Answers` are packed, and how.
_KINDS = ("i1", "i1", "<f8", "<f8", "<f8", "<f8", "<f8")


@dataclass(frozen=True)
class Missing:
    """What could not be computed in one demand: the device by its number in the wiring (−1: the circuit), and why."""

    demand: int
    device: int
    because: str


@dataclass(frozen=True)
class Strained:
    """A fuse above its rating in one demand: the number of the fault (−1: none), the fuse's device, its amperes."""

    demand: int
    fault: int
    device: int
    amps: float


@dataclass(frozen=True)
class Solved:
    """The faults of a plan's circuit, and the answers to all its demands, one state's beside the other's, packed."""

    faults: tuple[Fault, ...]
    missing: tuple[Missing, ...]
    strained: tuple[Strained, ...]
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


def solved(plan: Plan) -> Solved:
    """Answer everything that a plan demands."""
    halves = {key: _halves(plan, demand.state) for key, demand in plan.demands.items()}
    netlists = [half.netlist for both in halves.values() for half in both]
    faults = faults_of(plan.wiring, netlists or [expand(plan.wiring, Conditions())])
    found = [_answered(plan, demand, halves[key], faults) for key, demand in plan.demands.items()]
    missing = tuple(
        gap for number, key in enumerate(plan.demands) for gap in _missing(plan, number, halves[key], found[number])
    )
    columns = sum(len(demand.measurements) for demand in plan.demands.values())
    tables = [[getattr(each, name) for each in found] for name in Answers.__annotations__]
    whole = [np.hstack(table) if table else np.zeros((1 + len(faults), 0)) for table in tables]
    raw = [table.astype(kind, order="C").tobytes() for table, kind in zip(whole, _KINDS, strict=True)]
    strained = tuple(
        each for number, key in enumerate(plan.demands) for each in _strained(plan, number, halves[key], faults)
    )
    return Solved(faults, missing, strained, columns, zlib.compress(b"".join(raw), 1))


def _halves(plan: Plan, state: State) -> list[Half]:
    return [
        Half(expand(plan.wiring, conditions_of(plan.book, phase.state, plan.series)), phase.share)
        for phase in phases_of(state)
    ]


def _answered(plan: Plan, demand: Demand, halves: list[Half], faults: Sequence[Fault]) -> Answers:
    """The answers of one state.

    Where it leaves a device open ('key on', with no temperature of a sensor), it is read at each setting that the
    chapter's states of the same key position name: what is the same at all of them does not hang on the device, and a
    value that a module reads (on the scan tool) spans all of them.
    """
    whole = [(demand.state, halves)]
    if any(half.netlist.gaps for half in halves):
        filled = completions(plan.chapter, demand.state, plan.series)
        tried = [(each, _halves(plan, each)) for each in filled if each.settings != demand.state.settings]
        whole = [(each, both) for each, both in tried if not any(half.netlist.gaps for half in both)] or whole
    asked, over = tuple(demand.measurements), tuple(demand.measurements.values())
    found = [answers_of(both, asked, faults, frequency=frequency_of(each), over_battery=over) for each, both in whole]
    return agreed(found, [each.instrument == "read" for each in asked])


def _strained(plan: Plan, number: int, halves: Sequence[Half], faults: Sequence[Fault]) -> Iterator[Strained]:
    """The fuses above their rating in one state. One that is pulsed warms up by less than either half tells."""
    if len(halves) > 1 or halves[0].netlist.gaps:
        return
    places = {name: place for place, (name, _) in enumerate(device_names(plan.wiring))}
    for fault, fuse, amps in overloads_of(halves[0].netlist, faults):
        yield Strained(number, fault, places[fuse.rpartition(":")[0]], amps)


def _missing(plan: Plan, number: int, halves: Sequence[Half], answers: Answers) -> Iterator[Missing]:
    """Why some sound readings of a state have no answer."""
    told = {STATUSES[status] for status in answers.status[0].tolist()}
    if "not converged" in told:
        yield Missing(number, -1, "no voltages satisfy it; look for sources that contradict each other")
    if "chatter" in told:
        yield Missing(
            number, -1, "a relay, fuse or lamp in it never comes to rest; look for one that cuts its own feed"
        )
    places = {id(device): index for index, device in enumerate(plan.wiring.devices)}
    by_place = {device.place: places[id(device)] for device in reversed(plan.wiring.devices)}
    gaps = {(by_place.get(gap.place, -1), gap.because): None for half in halves for gap in half.netlist.gaps}
    if "undetermined" in told:
        yield from (Missing(number, device, because) for device, because in gaps)
