"""Every circuit again in an independent simulator (ngspice, Debian package), from the exported netlist."""

from __future__ import annotations

import random
import re
import subprocess
from pathlib import Path

import pytest

from authorkit.circuit.expansion import expand
from authorkit.circuit.faults import faults_of, with_fault
from authorkit.circuit.netlist import Netlist
from authorkit.circuit.questions import study_states
from authorkit.circuit.solve import settle, solve
from authorkit.circuit.spice import spice_text
from authorkit.circuit.states import conditions_of, phases_of, state_name
from authorkit.circuit.view import circuit_of
from authorkit.facts.read_book import read_book
from authorkit.model.book import Book
from tests.circuit.generate import generated

ROOT = Path(__file__).parents[2]
OPTIONS = (
    ".options reltol=1e-6 vntol=1e-9 abstol=1e-13 gmin=1e-15 itl1=500\n.control\nset numdgt=15\nop\nprint all\n.endc\n"
)


@pytest.fixture(scope="module")
def demo() -> Book:
    book, _ = read_book(ROOT)
    assert book is not None
    return book


def simulated(netlist: Netlist) -> dict[str, float]:
    """The node voltages that ngspice finds, by our names of the nodes."""
    deck = spice_text(netlist, "check").replace(".op\n", OPTIONS)
    run = subprocess.run(["ngspice", "-b"], input=deck, capture_output=True, text=True, timeout=60, check=False)
    found = {name: float(value) for name, value in re.findall(r"^(n\d+) = (\S+)$", run.stdout, re.MULTILINE)}
    return {node: found[f"n{index}"] for index, node in enumerate(netlist.nodes, 1)}


def worst_difference(netlist: Netlist) -> float:
    solution = solve(netlist)
    return max(abs(volts - float(solution.volts(node)[0])) for node, volts in simulated(netlist).items())


CODES = sorted(path.stem for path in (ROOT / "chapters").glob("[PBCU]*.ipynb"))


@pytest.mark.parametrize("series", ["A", "B"])
@pytest.mark.parametrize("code", CODES)
def test_demo_chapter_in_each_state_and_with_some_faults(
    demo: Book, code: str, series: str, pytestconfig: pytest.Config
) -> None:
    """All of its faults with `pytest tests/circuit/test_spice.py --every-fault`."""
    chapter = demo.chapter(code)
    assert chapter is not None
    chosen, wiring = random.Random(code + series), circuit_of(demo, chapter, series)
    for state in study_states(chapter, series).values():
        half = chosen.choice(phases_of(state))
        netlist = expand(wiring, conditions_of(demo, half.state, series))
        faults = faults_of(wiring, [netlist])
        some = faults if pytestconfig.getoption("every_fault") else chosen.sample(faults, 2)
        for fault in (None, *some):
            settled = settle(with_fault(netlist, fault) if fault else netlist)
            where = (state_name(state), fault and fault.id)
            if settled.status == "settled":
                assert worst_difference(settled.netlist) < 1e-4, where
            else:
                assert fault is not None, (where, settled.status)


@pytest.mark.parametrize("block", range(10))
def test_thirty_generated_circuits(block: int) -> None:
    for seed in range(block * 30, block * 30 + 30):
        assert worst_difference(generated(seed)) < 1e-4, seed


def test_netlist_names_the_node_of_each_test_point(demo: Book) -> None:
    chapter = demo.chapter("P0118")
    assert chapter is not None
    state = next(state for state in chapter.states if state.name == "cold")
    netlist = expand(circuit_of(demo, chapter, "A"), conditions_of(demo, state, "A"))
    text = spice_text(netlist, "P0118")
    place = netlist.nodes.index("M1-A.23") + 1
    assert f"* point M1-A.23 = n{place}\n" in text
    assert text.endswith(".op\n.end\n")
    assert text.startswith("* P0118\n")
