"""What is kept of a capture: measured once, anew when the file changes."""

from __future__ import annotations

import os

import pytest

from authorkit.signals import summary
from authorkit.signals.summary import summary_of


def _rows(level: int) -> str:
    return "time_s,ch1_V\n" + "".join(f"{n},{level}\n" for n in range(6))


def test_a_file_is_read_once_and_anew_after_a_change(tmp_path, monkeypatch):
    read = []
    monkeypatch.setattr(
        summary,
        "read_capture",
        lambda path, names, real=summary.read_capture: (read.append(path), real(path, names))[1],
    )
    path = tmp_path / "a.csv"
    path.write_text(_rows(3))
    first = summary_of(path)
    assert summary_of(path) is first
    assert first.channels[0].values["mean"] == 3
    path.write_text(_rows(4))
    os.utime(path, ns=(1, 1))
    second = summary_of(path)
    assert second.channels[0].values["mean"] == 4
    assert second.digest != first.digest
    assert len(read) == 2


def test_an_error_is_kept_too(tmp_path):
    path = tmp_path / "a.csv"
    path.write_text("nothing")
    assert summary_of(path).error is not None
    assert summary_of(path).channels == ()


def test_a_missing_file_is_the_callers_business(tmp_path):
    with pytest.raises(OSError, match="gone"):
        summary_of(tmp_path / "gone.csv")
