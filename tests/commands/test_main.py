"""The bare program: what it says without a command, with a wrong one, and when it cannot run."""

from __future__ import annotations

import pytest

from authorkit.commands import COMMANDS, COULD_NOT_RUN, main


def test_help_lists_every_command(capsys):
    with pytest.raises(SystemExit) as left:
        main(["--help"])
    assert left.value.code == 0
    text = capsys.readouterr().out
    assert all(f"  {name}" in text for name in COMMANDS)


def test_without_a_command_help_is_shown(capsys):
    with pytest.raises(SystemExit):
        main([])
    assert "usage: authorkit COMMAND" in capsys.readouterr().out


def test_an_unknown_command_is_refused_with_the_list(capsys):
    with pytest.raises(SystemExit) as left:
        main(["chekc"])
    assert left.value.code == COULD_NOT_RUN
    error = capsys.readouterr().err
    assert "'chekc'" in error
    assert "check" in error


def test_every_command_has_help(capsys):
    for name in COMMANDS:
        with pytest.raises(SystemExit) as left:
            main([name, "--help"])
        assert left.value.code == 0
        assert f"authorkit {name}" in capsys.readouterr().out


def test_a_folder_without_a_manual_is_named(tmp_path, capsys):
    assert main(["check", "--manual", str(tmp_path)]) == COULD_NOT_RUN
    error = capsys.readouterr().err
    assert "chapters/vehicle.ipynb" in error
    assert str(tmp_path) in error
    assert "authorkit init" in error
