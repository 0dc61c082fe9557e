"""How many operating points a second the solver finds, beside one ngspice process a point. Run it by hand."""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

from authorkit.circuit.expansion import expand
from authorkit.circuit.faults import faults_of, with_fault
from authorkit.circuit.netlist import CHASSIS
from authorkit.circuit.readings import faults_in, readings_of, states_of
from authorkit.circuit.solve import Meter, settle, solve
from authorkit.circuit.spice import spice_text
from authorkit.circuit.states import conditions_of
from authorkit.circuit.view import circuit_of
from authorkit.facts.read_book import read_book


def main() -> None:
    """Print the numbers for a nonlinear chapter of the demo, and for its whole table of faults."""
    book, _ = read_book(Path(__file__).parents[2])
    chapter = book.chapter("P0500") if book else None
    assert book is not None
    assert chapter is not None
    wiring = circuit_of(book, chapter, "A")
    netlist = expand(wiring, conditions_of(book, chapter.states[2], "A"))
    circuits = [with_fault(netlist, fault) for fault in faults_of(wiring, [netlist])]
    meters = [Meter(node, CHASSIS, 10e6) for node in netlist.nodes]
    started = time.perf_counter()
    for circuit in circuits:
        solve(circuit, meters)
    ours = len(circuits) * len(meters) / (time.perf_counter() - started)
    started = time.perf_counter()
    decks = [spice_text(settle(circuit).netlist, "benchmark") for circuit in circuits[:40]]
    for deck in decks:
        subprocess.run(["ngspice", "-b"], input=deck, capture_output=True, text=True, check=False)
    process = len(decks) / (time.perf_counter() - started)
    started = time.perf_counter()
    states, faults = states_of(chapter, "A"), faults_in(book, chapter, "A")
    count = sum(len(readings_of(book, chapter, "A", states, fault=fault)) for fault in (None, *faults))
    took = time.perf_counter() - started
    out = sys.stdout.write
    out(f"{len(netlist.nodes)} nodes, {len(circuits)} faults, {len(meters)} metered nodes\n")
    out(f"own solver: {ours:,.0f} metered points a second; one ngspice process a point: {process:,.0f}\n")
    out(f"whole chapter with limits: {count} readings, {len(faults)} faults, {len(states)} states in {took:.1f} s\n")


if __name__ == "__main__":
    main()
