"""`authorkit measure`."""

from __future__ import annotations

import json

import numpy as np
import pytest

from authorkit.commands import CLEAN, COULD_NOT_RUN, FINDINGS, main
from authorkit.signals.measure import MEASUREMENTS


@pytest.fixture
def speed(repo_root):
    return str(repo_root / "figures" / "speed-120hz.csv")


@pytest.fixture
def resolver(repo_root):
    return str(repo_root / "figures" / "resolver-250hz.csv")


def _row(text: str, name: str) -> str:
    return next(line for line in text.splitlines() if line.split()[:1] == [name]).replace("\u202f", " ")


def test_values_are_printed_with_units_and_words(speed, capsys):
    assert main(["measure", speed]) == CLEAN
    text = capsys.readouterr().out
    assert text.replace("\u202f", " ").startswith("2001 samples over 50 ms, one every 25 µs\n\nChannel 1 (CH1)\n")
    assert _row(text, "frequency").split() == ["frequency", "120", "Hz", "frequency"]
    assert "transition duration" in _row(text, "rise-time")
    assert "phase" not in text


def test_one_channel_of_several(resolver, capsys):
    assert main(["measure", resolver, "--channel", "2"]) == CLEAN
    text = capsys.readouterr().out
    assert "Channel 2" in text
    assert "Channel 1" not in text
    assert "10 kHz" in _row(text, "carrier-frequency") or "9.998 kHz" in _row(text, "carrier-frequency")


def test_a_channel_by_name(resolver, capsys):
    assert main(["measure", resolver, "--channel", "ch2"]) == CLEAN
    assert "Channel 1 (CH2)" in capsys.readouterr().out
    assert main(["measure", resolver, "--channel", "ch9"]) == FINDINGS
    assert "The capture has no channel 'ch9'." in capsys.readouterr().err


def test_a_recording_in_mdf_is_measured(tmp_path, capsys):
    from asammdf import MDF, Signal

    times = np.arange(4000) / 20e3
    path = tmp_path / "log.mf4"
    with MDF(version="4.10") as file:
        file.append(Signal(np.where((times * 100) % 1 < 0.25, 12.0, 0.0), times, name="Injector", unit="V"))
        file.save(path)
    assert main(["measure", str(path)]) == CLEAN
    text = capsys.readouterr().out
    assert "Channel 1 (Injector)" in text
    assert "100 Hz" in _row(text, "frequency")
    assert "25.0" in _row(text, "duty")
    path.write_bytes(path.read_bytes()[:300])
    assert main(["measure", str(path)]) == FINDINGS
    assert "[capture-malformed]" in capsys.readouterr().err


def test_json_gives_base_units_and_null_for_what_is_not_there(speed, capsys):
    assert main(["measure", speed, "--json"]) == CLEAN
    document = json.loads(capsys.readouterr().out)
    (channel,) = document["channels"]
    assert document["samples"] == 2001
    assert set(channel["measured"]) == set(MEASUREMENTS)
    assert channel["measured"]["period"] == {"value": pytest.approx(1 / 120, rel=0.01), "unit": "s"}
    assert channel["measured"]["phase"] == {"value": None, "unit": "rad"}


@pytest.mark.parametrize("number", ["0", "3", "-1"])
def test_a_channel_that_is_not_there_is_refused(resolver, number, capsys):
    assert main(["measure", resolver, "--channel", number]) == COULD_NOT_RUN
    assert "there are 1 to 2" in capsys.readouterr().err


def test_a_damaged_capture_is_a_finding_with_its_line(tmp_path, capsys):
    path = tmp_path / "a.csv"
    path.write_text("time_s,ch1_V\n0,1\n1,2\n2,x\n3,4\n4,5\n5,6\n")
    assert main(["measure", str(path)]) == FINDINGS
    error = capsys.readouterr().err
    assert "a.csv, line 4: error: Line 4, column 2, holds no number. [capture-malformed]" in error
    assert "suggestion:" in error


def test_a_file_that_is_not_there_could_not_run(tmp_path, capsys):
    assert main(["measure", str(tmp_path / "gone.csv")]) == COULD_NOT_RUN
    assert "gone.csv" in capsys.readouterr().err
