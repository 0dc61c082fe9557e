"""How fast circuits are solved: `.venv/bin/python -m tests.benchmarks.solver`.

One chapter with a fan, two sensors and a lamp, nonlinear, in four states; all of its single faults. Times are those of
the processor, so that a busy machine does not count; ratios are of this one run. Nothing here is asserted.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np

from authorkit.circuit.expansion import expand
from authorkit.circuit.faults import Fault, change_of, faults_of, with_fault
from authorkit.circuit.levels import Levels, Probes
from authorkit.circuit.netlist import CHASSIS, Change, Netlist
from authorkit.circuit.rest import at_rest
from authorkit.circuit.solve import settle
from authorkit.circuit.spice import spice_text
from authorkit.circuit.states import conditions_of
from authorkit.circuit.study import Studies, study_of
from authorkit.circuit.view import circuit_of
from authorkit.model.book import Book
from authorkit.store import KeptFiles
from tests.benchmarks.fan_and_sensors import fan_and_sensors
from tests.benchmarks.ngspice_library import LIBRARY, Library

_FAULTS = 75  # the size of list that ngspice is timed on


def main() -> None:
    """Measure and print."""
    with tempfile.TemporaryDirectory() as scratch:
        book = fan_and_sensors(Path(scratch) / "manual")
        _operating_points(book)
        _studies(book, Path(scratch) / "kept")


def _operating_points(book: Book) -> None:
    """One state with each fault, toggles settled: ours at once, ngspice one after the other."""
    chapter = book.chapters[0]
    wiring = circuit_of(book, chapter, "")
    state = next(state for state in chapter.states if state.name == "fan")
    netlist = expand(wiring, conditions_of(book, state, ""))
    faults = faults_of(wiring, [netlist])
    _say(f"{len(netlist.nodes)} nodes, {len(_diodes(netlist))} junctions, {len(faults)} faults")
    metered = _timed(lambda: _metered(netlist, faults, len(netlist.nodes)))
    points = (1 + len(faults)) * len(netlist.nodes)
    _say(f"metered operating points, a fault and a node each: {points / metered:8,.0f}/s   aim 5,000/s")
    some = faults[:_FAULTS]
    own = len(some) / _timed(lambda: _metered(netlist, some, 1))
    decks = [spice_text(settle(with_fault(netlist, fault)).netlist, fault.id) for fault in some]
    process = len(decks) / _timed(lambda: [_simulate(deck) for deck in decks], children=True)
    _say(f"operating points of {len(some)} faults:             {own:8,.0f}/s")
    _say(f"one ngspice process a fault:                {process:8,.0f}/s   ratio {own / process:6.1f}")
    try:
        library = Library()
    except OSError:
        _say(f"{LIBRARY} is not installed (Debian package libngspice0)")
        return
    shared = len(decks) / _timed(lambda: [library.operating_point(deck, ["n1"]) for deck in decks])
    _say(f"ngspice as a library in this process:       {shared:8,.0f}/s   ratio {own / shared:6.1f}")


def _metered(netlist: Netlist, faults: Sequence[Fault], meters: int) -> None:
    """Let each fault come to rest, and put a voltmeter on some nodes of each."""
    changes = [Change(), *(change_of(netlist, fault) for fault in faults)]
    rest = at_rest(netlist, changes, [(node, CHASSIS) for node in netlist.nodes[:meters]])
    count = len(changes) * meters
    probes = Probes(
        rows=np.repeat(np.arange(len(changes)), meters),
        ports=np.tile(rest.system.pair(0) + np.arange(meters), len(changes)),
        ohms=np.full(count, 10e6),
        volts=np.zeros(count),
        elements=np.full(count, -1),
    )
    Levels(rest, probes, ()).nominal()


def _diodes(netlist: Netlist) -> list[str]:
    return [element.name for element in netlist.elements if element.kind == "D"]


def _simulate(deck: str) -> None:
    subprocess.run(["ngspice", "-b"], input=deck, capture_output=True, text=True, check=False)


def _studies(book: Book, folder: Path) -> None:
    """Everything of the chapter, nothing kept and all kept."""
    chapter, kept = book.chapters[0], KeptFiles(folder)
    study = study_of(book, chapter, "")
    readings = (1 + len(study.faults)) * len(study.readings[""])
    cold = _timed(lambda: study_of(book, chapter, ""))
    _say(f"study: {readings:,} readings with limits, {len(study.faults)} faults, {len(study.states)} states")
    _say(f"nothing kept:                               {cold:8.3f} s    aim 5 s")
    _say(f"for {_FAULTS} faults of these, by proportion:       {cold * _FAULTS / len(study.faults):8.3f} s")
    Studies(book, kept).of(chapter, "")
    warm = _timed(lambda: Studies(book, kept).of(chapter, ""))
    _say(f"all kept:                                   {warm:8.3f} s    aim 0.05 s")


def _timed(work: Callable[[], object], *, children: bool = False) -> float:
    """The best of three runs, in seconds of the processor."""
    return min(_once(work, children=children) for _ in range(3))


def _once(work: Callable[[], object], *, children: bool) -> float:
    start, before = time.process_time(), _of_children()
    work()
    return time.process_time() - start + (_of_children() - before if children else 0.0)


def _of_children() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def _say(words: str) -> None:
    sys.stdout.write(f"{words}\n")


if __name__ == "__main__":
    main()
