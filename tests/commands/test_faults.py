"""The command `faults`."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from authorkit.commands import CLEAN, COULD_NOT_RUN, main

ROOT = str(Path(__file__).parents[2])


def test_each_fault_has_an_id_and_a_sentence(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["faults", "P0118", "--series", "A", "--json", "--manual", ROOT]) == CLEAN
    rows = json.loads(capsys.readouterr().out)
    found = {row["id"]: row["sentence"] for row in rows}
    assert found["open-K131-B5.1-X12.4"] == "Wire K131 between X12.4 and B5.1 is open at B5.1."
    assert found["lost-G1"] == "Ground point G1 has no contact with the body."
    assert list(rows[0]) == ["code", "series", "id", "sentence", "kind"]


def test_list_for_people(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["faults", "P0118", "--series", "A", "--manual", ROOT]) == CLEAN
    assert "The thermistor in B5 is shorted." in capsys.readouterr().out


def test_unknown_code_cannot_run(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["faults", "P9999", "--manual", ROOT]) == COULD_NOT_RUN
    assert "there is no chapter 'P9999'" in capsys.readouterr().err
