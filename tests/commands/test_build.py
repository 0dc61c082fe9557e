"""`authorkit build`: what it makes, what it refuses, and that the last good manual stays."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from authorkit.commands import CLEAN, COULD_NOT_RUN, FINDINGS, main


def _notebooks(folder: Path) -> dict[str, str]:
    return {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in (folder / "chapters").iterdir()}


def _outputs(folder: Path) -> dict[str, bytes]:
    out = folder / "build" / "out"
    paths = (path for path in out.rglob("*") if path.is_file() and ".cache" not in path.parts)
    return {path.relative_to(out).as_posix(): path.read_bytes() for path in paths}


@pytest.fixture
def accepted(manual, edit):
    """A manual that builds."""
    return manual


def _build(folder: Path, *options: str) -> int:
    return main(["build", "--manual", str(folder), *options])


def test_the_paths_of_both_manuals_are_printed_last(accepted, capsys):
    assert _build(accepted) == CLEAN, capsys.readouterr().err
    lines = capsys.readouterr().out.splitlines()
    for words in ("HTML manual: ", "PDF manual (a4): ", "Validation report: "):
        (line,) = [line for line in lines if line.startswith(words)]
        assert Path(line.removeprefix(words)).is_file()


def test_building_never_touches_the_notebooks(accepted):
    before = _notebooks(accepted)
    _build(accepted)
    assert _notebooks(accepted) == before


def test_building_twice_gives_the_same_bytes(accepted):
    _build(accepted)
    first = _outputs(accepted)
    _build(accepted)
    assert _outputs(accepted) == first


def test_an_error_keeps_the_last_good_manual(accepted, edit, capsys):
    _build(accepted)
    good = _outputs(accepted)
    edit("P0118", "set-by: M1", "set-by: M99")
    capsys.readouterr()
    assert _build(accepted) == FINDINGS
    assert "Nothing was built; the last good manual is untouched." in capsys.readouterr().err
    assert _outputs(accepted) == good


def test_the_build_refuses_high_voltage_without_proof_of_absence(accepted, edit, capsys):
    edit("P0AA6", "absence: [", "volts: [")
    assert _build(accepted) == FINDINGS
    assert "[high-voltage-unproven]" in capsys.readouterr().err


def test_a_class_is_built_beside_the_whole_manual(accepted):
    assert _build(accepted, "--html", "--class", "sensors") == CLEAN
    names = {path.name for path in (accepted / "build" / "out" / "html-sensors").glob("*.html")}
    assert "P0118.html" in names
    assert "P0AA6.html" not in names


@pytest.mark.parametrize("options", [("--class", "senors"), ("--series", "Z")])
def test_an_unknown_class_or_series_is_named_with_the_known_ones(accepted, options, capsys):
    assert _build(accepted, *options) == COULD_NOT_RUN
    error = capsys.readouterr().err
    assert f"'{options[1]}'" in error
    assert ("sensors" if options[0] == "--class" else "A, B") in error


def test_one_edit_changes_only_what_it_touches(accepted, edit):
    _build(accepted, "--html")
    before = _outputs(accepted)
    edit("P0118", "trips: 2", "trips: 3")
    _build(accepted, "--html")
    after = _outputs(accepted)
    changed = {name for name in after if after[name] != before.get(name)}
    assert "html/P0118.html" in changed
    assert "html/P0AA6.html" not in changed
