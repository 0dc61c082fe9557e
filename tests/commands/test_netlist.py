"""The command `netlist`."""

from __future__ import annotations

from pathlib import Path

import pytest

from authorkit.commands import CLEAN, COULD_NOT_RUN, main

ROOT = str(Path(__file__).parents[2])


def test_netlist_is_a_whole_deck_with_its_test_points(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["netlist", "P0118", "--series", "A", "--state", "cold", "--manual", ROOT]) == CLEAN
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "* P0118, series A, state cold, no fault"
    assert any(line.startswith("* point M1-A.23 = n") for line in lines)
    assert lines[-1] == ".end"


def test_second_half_of_a_pulsed_state_is_another_circuit(capsys: pytest.CaptureFixture[str]) -> None:
    decks = []
    for half in ("1", "2"):
        chosen = ["--series", "A", "--state", "rolling", "--half", half]
        assert main(["netlist", "P0500", *chosen, "--manual", ROOT]) == CLEAN
        decks.append(capsys.readouterr().out)
    assert "* element B9:hall-switch:out is open" in decks[0]
    assert "* element B9:hall-switch:out is open" not in decks[1]


def test_fault_is_in_the_circuit_and_in_its_title(capsys: pytest.CaptureFixture[str]) -> None:
    chosen = ["--series", "A", "--state", "cold", "--fault", "open-B5-thermistor", "--manual", ROOT]
    assert main(["netlist", "P0118", *chosen]) == CLEAN
    text = capsys.readouterr().out
    assert "The thermistor in B5 is open." in text.splitlines()[0]
    assert "* element B5:thermistor:r is open" in text


def test_unknown_state_cannot_run(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["netlist", "P0118", "--series", "A", "--state", "warm", "--manual", ROOT]) == COULD_NOT_RUN
    assert "there is no state 'warm'" in capsys.readouterr().err
