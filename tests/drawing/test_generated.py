"""Circuits that nobody chose: two hundred by seed, each through all checkers, read back from the finished pictures."""

from __future__ import annotations

import pytest

from authorkit.drawing.circuit import draw_circuit
from authorkit.drawing.inspect import inspect_joins, inspect_print, inspect_texts
from tests.drawing.generated import generated
from tests.drawing.written import wiring_of

SEEDS = range(200)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_generated_circuit_is_drawn_completely_and_can_be_read(seed):
    wiring = wiring_of(generated(seed))
    pictures, problems = draw_circuit(wiring)
    assert problems == ()
    assert inspect_joins([picture.svg for picture in pictures], wiring) == []
    for picture in pictures:
        assert inspect_texts(picture.svg) == []
        assert inspect_print(picture.svg) == []


def test_the_generated_circuits_hold_what_the_checkers_look_for():
    text = "".join(generated(seed) for seed in SEEDS)
    for wanted in ("pairs: [[", "shields: [{", ", drain: W", "{coil: ", "{fuse: ", "splices: [S", "in-line: [X"):
        assert text.count(wanted) >= 20, wanted
