"""How far the work is: told on a terminal only, and the line is clean afterwards."""

from __future__ import annotations

import io
import sys

import pytest

from authorkit.commands.progress import line, progress


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_a_terminal_shows_what_runs_and_is_clean_at_the_end(monkeypatch: pytest.MonkeyPatch) -> None:
    screen = Terminal()
    monkeypatch.setattr(sys, "stderr", screen)
    with pytest.raises(KeyboardInterrupt), progress() as tell:  # noqa: PT012 - stopped in the middle of the work
        tell("parts typeset", 2, 4)
        raise KeyboardInterrupt
    assert "2 of 4 parts typeset" in screen.getvalue()
    assert screen.getvalue().endswith("\r\x1b[K")


def test_a_file_gets_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    with progress() as tell:
        tell("parts typeset", 2, 4)
    assert capsys.readouterr() == ("", "")


def test_the_bar_fills_up() -> None:
    assert line("pages", 0, 0) == "pages ..."
    assert line("pages", 24, 24).startswith("[" + 24 * "#" + "]")
