"""The answers of whole states against a second, plain solver, and against sampled vehicles."""

from __future__ import annotations

import random
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from authorkit.circuit.expansion import expand
from authorkit.circuit.faults import change_of, faults_of, with_fault
from authorkit.circuit.levels import Levels, Probes
from authorkit.circuit.measurement import inside
from authorkit.circuit.netlist import CHASSIS, OPEN, Change, Netlist, changed, joint
from authorkit.circuit.questions import study_states
from authorkit.circuit.rest import at_rest
from authorkit.circuit.solve import Meter, settle, solve
from authorkit.circuit.states import conditions_of, phases_of
from authorkit.circuit.study import spec_question, study_of
from authorkit.circuit.view import circuit_of
from authorkit.facts.read_book import read_book
from authorkit.model.book import Book
from tests.circuit.generate import generated
from tests.circuit.reference import settle_directly, solve_directly

Array = NDArray[np.float64]

ROOT = Path(__file__).parents[2]
CODES = sorted(path.stem for path in (ROOT / "chapters").glob("[PBCU]*.ipynb"))


@pytest.fixture(scope="module")
def demo() -> Book:
    book, _ = read_book(ROOT)
    assert book is not None
    return book


def node_volts(netlist: Netlist, changes: Sequence[Change]) -> tuple[tuple[str, ...], Array]:
    """How each change comes to rest, and the voltage of each node then (changes × nodes)."""
    rest = at_rest(netlist, changes, [(node, CHASSIS) for node in netlist.nodes])
    rows, columns = len(changes), len(netlist.nodes)
    nothing = np.zeros(rows * columns)
    probes = Probes(
        rows=np.repeat(np.arange(rows), columns),
        ports=np.tile(rest.system.pair(0) + np.arange(columns), rows),
        ohms=nothing + np.inf,
        volts=nothing,
        elements=np.full(rows * columns, -1),
    )
    return rest.status, Levels(rest, probes, ()).nominal().reshape(rows, columns)


def assert_same(netlist: Netlist, changes: Sequence[Change], some: Sequence[int], within: float = 1e-9) -> None:
    status, volts = node_volts(netlist, changes)
    for index in some:
        settled, word = settle_directly(changed(netlist, changes[index]))
        assert status[index] == word
        if word == "settled":
            expected = solve_directly(settled).volts
            assert volts[index] == pytest.approx([expected[node] for node in netlist.nodes], abs=within)


@pytest.mark.parametrize("code", CODES)
def test_demo_chapter_solved_at_its_ports_equals_the_plain_solution_of_each_circuit(demo: Book, code: str) -> None:
    chapter = demo.chapter(code)
    assert chapter is not None
    chosen = random.Random(code)
    for series in demo.vehicle.series_ids:
        wiring = circuit_of(demo, chapter, series)
        for state in study_states(chapter, series).values():
            half = chosen.choice(phases_of(state))
            netlist = expand(wiring, conditions_of(demo, half.state, series))
            changes = [Change(), *(change_of(netlist, fault) for fault in faults_of(wiring, [netlist]))]
            assert_same(netlist, changes, [0, *chosen.sample(range(len(changes)), 8)])


@pytest.mark.parametrize("seed", range(40))
def test_generated_circuit_with_every_element_open_or_doubled_equals_the_plain_solution(seed: int) -> None:
    netlist = generated(seed)
    values = {each.name: each.value for each in netlist.elements if each.kind == "R" and each.value < OPEN}
    opened = [Change({name: OPEN}) for name in values]
    doubled = [Change({name: 2 * value}) for name, value in values.items()]
    bridge = joint("bridge", (netlist.nodes[0], netlist.nodes[-1]), 0.02)
    changes = [Change(), *opened, *doubled, Change(added=(bridge,))]
    # A current of 7 mA whose path is cut would raise 7 MV; what a diode then leaves is off by 1e-15 of that.
    assert_same(netlist, changes, range(len(changes)), within=1e-8)


@pytest.mark.parametrize("code", CODES)
def test_limits_hold_vehicles_sampled_from_all_tolerances(demo: Book, code: str) -> None:
    chapter = demo.chapter(code)
    assert chapter is not None
    chosen, wiring = random.Random(code), circuit_of(demo, chapter, "A")
    study = study_of(demo, chapter, "A")
    name = chosen.choice([state.name for state in chapter.states if len(phases_of(state)) == 1])
    netlist = expand(wiring, conditions_of(demo, study.states[name], "A"))
    parts = np.random.default_rng(sum(map(ord, code))).integers(0, 2, (40, len(netlist.params)))
    ends = np.array([(param.low, param.high) for param in netlist.params]).reshape(-1, 2)
    vehicles = np.where(parts == 0, ends[:, 0], ends[:, 1])
    for fault in (None, *chosen.sample(study.faults, 6)):
        settled = settle(with_fault(netlist, fault) if fault else netlist).netlist
        row = study.readings[fault.id if fault else ""]
        numbered = [
            (each, row[state, each])
            for state, each in row
            if state == name and each.instrument == "volts" and row[state, each].nominal is not None
        ]
        meters = [Meter(each.at, each.to, 10e6) for each, _ in numbered]
        for (each, reading), volts in zip(numbered, solve(settled, meters, vehicles).meters.T, strict=True):
            assert reading.low is not None
            assert reading.high is not None
            assert reading.low <= volts.min(), (each, fault)
            assert reading.high >= volts.max(), (each, fault)


def test_voltage_is_compared_with_the_battery_as_the_same_meter_reads_it(demo: Book) -> None:
    chapter = demo.chapter("P0AA1")
    assert chapter is not None
    spec = next(spec for spec in chapter.specs if spec.name == "coil-feed")
    question = spec_question(circuit_of(demo, chapter, "A"), spec)
    assert question is not None
    reading = study_of(demo, chapter, "A").reading(question)
    assert reading is not None
    # Battery 12.0 to 12.9 V, and hardly anything between it and the coil.
    assert reading.low is not None
    assert reading.high is not None
    assert reading.high - reading.low > 0.9
    assert reading.over_battery is not None
    assert -0.1 < reading.over_battery[0] <= reading.over_battery[1] < 0.02
    assert inside(reading, spec.reads) == "inside"
