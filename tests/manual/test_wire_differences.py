"""How the wires of a circuit differ between series."""

from __future__ import annotations

import pytest

from authorkit.manual.wire_differences import circuit_differences, in_all, listed_names
from tests.drawing.written import wiring_of


@pytest.mark.parametrize(
    ("names", "listed"),
    [
        (["K1"], "K1"),
        (["K1", "K2"], "K1, K2"),
        (["Q401", "Q402", "Q403"], "Q401 to Q403"),
        (["K211", "Q401", "Q402", "Q403", "Q405"], "K211, Q401 to Q403, Q405"),
        (["K9", "K10", "K11"], "K9 to K11"),
        (["A", "B"], "A, B"),
        ([], ""),
    ],
)
def test_names_that_count_up_are_a_range(names, listed):
    assert listed_names(names) == listed


def test_only_what_differs_is_said():
    parts = 'parts: {M1: {connectors: {M1: {"1": A, "2": B}}}, B5: {connectors: {B5: {"1": A, "2": B}}}}\n'
    first = wiring_of(parts + "wires: [[M1.1, K1 BU 0.5 mm2, B5.1], [M1.2, K2 BU 0.5 mm2, B5.2]]")
    second = wiring_of(parts + "wires: [[M1.1, K1 BU 0.75 mm2, B5.1], [M1.2, K2 BU 0.5 mm2, B5.1]]")
    assert dict(circuit_differences([first, second])) == {
        "K1": ("0.5\u202fmm²", "0.75\u202fmm²"),
        "K2": ("B5.2 to M1.2", "B5.1 to M1.2"),
    }


def test_what_every_set_holds():
    assert in_all([{"a", "b"}, {"b", "c"}, {"b"}]) == {"b"}
