"""How fast pictures are laid out and drawn: `.venv/bin/python -m tests.benchmarks.drawing`.

Times are milliseconds of the processor, the best of a few runs in one process. Nothing here is asserted.
"""

from __future__ import annotations

import random
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path

from authorkit.drawing.blocks import draw_blocks
from authorkit.drawing.circuit import draw_circuit
from authorkit.drawing.steps import draw_steps
from authorkit.drawing.store import PictureStore
from authorkit.drawing.variants import draw_variants
from authorkit.model.wiring import Wiring
from authorkit.store import KeptFiles
from tests.drawing.test_blocks import generated
from tests.drawing.test_steps import LONG
from tests.drawing.written import circuit, names, wiring_of

# What the project aims at, in milliseconds.
AIMS = {"20 wires shuffled": 250.0, "40 wires shuffled": 1500.0, "20 wires, from the store": 5.0}


def shuffled(wires: int, seed: int = 1) -> Wiring:
    """A module and components of five pins each, their wires in shuffled order at the module."""
    order = list(range(1, wires + 1))
    random.Random(seed).shuffle(order)
    parts = [f"  M1: {{name: Module, kind: module, connectors: {{M1-A: {{{_cavities(order)}}}}}}}"]
    lines = []
    for part in range((wires + 4) // 5):
        pins = range(1, min(5, wires - 5 * part) + 1)
        parts.append(f"  B{part}: {{name: Component, connectors: {{B{part}: {{{_cavities(pins)}}}}}}}")
        lines += [
            f"  - [M1-A.{order[5 * part + pin - 1]}, K{5 * part + pin} BU 0.5 mm2, B{part}.{pin}]" for pin in pins
        ]
    random.Random(seed).shuffle(lines)
    return wiring_of("parts:\n" + "\n".join(parts) + "\nwires:\n" + "\n".join(lines))


def _cavities(numbers) -> str:
    return ", ".join(f'"{number}": S{number}' for number in sorted(numbers))


def _best(runs: int, work: Callable[[], object]) -> float:
    """The shortest of some runs, in milliseconds."""
    best = float("inf")
    for _ in range(runs):
        start = time.process_time()
        work()
        best = min(best, time.process_time() - start)
    return best * 1000


def main() -> None:
    """Measure and print."""
    draw_circuit(circuit("01-thermistor"))  # what is read once: fonts, the drawing library
    for name in names():
        wiring = circuit(name)
        _say(f"{name} ({len(wiring.wires)} wires)", _best(2, partial(draw_circuit, wiring)))
    for wires in (20, 40):
        times = [_best(2, partial(draw_circuit, shuffled(wires, seed))) for seed in (1, 2, 3)]
        _say(f"{wires} wires shuffled", max(times))
    wiring = shuffled(20)
    less = replace(wiring, wires=wiring.wires[1:])
    _say("two series of 20 wires, common layout", _best(2, partial(draw_variants, [wiring, less])))
    _say("chart of 59 steps", _best(3, partial(draw_steps, LONG)))
    _say("block drawing, 17 blocks", _best(3, partial(draw_blocks, {"A": generated(11)}, "Blocks")))
    with tempfile.TemporaryDirectory() as folder:
        store = PictureStore(KeptFiles(Path(folder)))
        kept = partial(store.pictures, "circuit", wiring, partial(draw_circuit, wiring))
        kept()
        _say("20 wires, from the store", _best(5, kept))


def _say(what: str, milliseconds: float) -> None:
    aim = f"   aim {AIMS[what]:.0f}" if what in AIMS else ""
    print(f"{what:42} {milliseconds:8.1f} ms{aim}")


if __name__ == "__main__":
    main()
