"""`authorkit build`: what it makes, what it refuses, and that the last good manual stays."""

from __future__ import annotations

import hashlib
import re
import sys
from pathlib import Path

import pytest

from authorkit.commands import CLEAN, COULD_NOT_RUN, FINDINGS, main
from tests.desk.manuals import add_cells


def _notebooks(folder: Path) -> dict[str, str]:
    return {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in (folder / "chapters").iterdir()}


def _outputs(folder: Path) -> dict[str, bytes]:
    out = folder / "build" / "out"
    paths = (path for path in out.rglob("*") if path.is_file() and ".cache" not in path.parts)
    return {path.relative_to(out).as_posix(): path.read_bytes() for path in paths}


def _build(folder: Path, *options: str) -> int:
    return main(["build", "--manual", str(folder), *options])


def test_the_paths_of_both_manuals_are_printed_last(small, capsys):
    assert _build(small) == CLEAN, capsys.readouterr().err
    lines = capsys.readouterr().out.splitlines()
    for words in ("HTML manual: ", "PDF manual (a4): ", "Validation report: "):
        (line,) = [line for line in lines if line.startswith(words)]
        assert Path(line.removeprefix(words)).is_file()


def test_building_never_touches_the_notebooks(small):
    before = _notebooks(small)
    _build(small)
    assert _notebooks(small) == before


def test_building_twice_gives_the_same_bytes(small):
    _build(small)
    first = _outputs(small)
    _build(small)
    assert _outputs(small) == first


def test_an_error_keeps_the_last_good_manual(small, edit, capsys):
    _build(small)
    good = _outputs(small)
    edit(small, "P0118", "set-by: M1", "set-by: M99")
    capsys.readouterr()
    assert _build(small) == FINDINGS
    assert "Nothing was built; the last good manual is untouched." in capsys.readouterr().err
    assert _outputs(small) == good


def test_the_build_refuses_high_voltage_without_proof_of_absence(small, edit, capsys):
    edit(small, "P0A78", "absence: [", "volts: [")
    assert _build(small) == FINDINGS
    assert "[high-voltage-unproven]" in capsys.readouterr().err


def test_a_class_is_built_beside_the_whole_manual(small):
    assert _build(small, "--html", "--class", "first") == CLEAN
    names = {path.name for path in (small / "build" / "out" / "html-first").glob("*.html")}
    assert "P0118.html" in names
    assert "P0A78.html" not in names


@pytest.mark.parametrize("options", [("--class", "frist"), ("--series", "Z")])
def test_an_unknown_class_or_series_is_named_with_the_known_ones(small, options, capsys):
    assert _build(small, *options) == COULD_NOT_RUN
    error = capsys.readouterr().err
    assert f"'{options[1]}'" in error
    assert ("first" if options[0] == "--class" else "A, B") in error


def test_one_edit_changes_only_what_it_touches(small, edit):
    _build(small, "--html")
    before = _outputs(small)
    edit(small, "P0118", "trips: 2", "trips: 3")
    _build(small, "--html")
    after = _outputs(small)
    changed = {name for name in after if after[name] != before.get(name)}
    assert "html/P0118.html" in changed
    assert "html/P0A78.html" not in changed


FIGURE_CELL = (
    "#| figure: signal\n#| caption: The signal\n#| alt: A flat line\n"
    "from IPython.display import SVG\n"
    'SVG(\'<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="20mm" viewBox="0 0 60 20">\'\n'
    '    \'<path d="M0 10h60" stroke="#000"/></svg>\')'
)


@pytest.mark.slow
def test_a_figure_cell_is_left_out_until_it_is_run_and_stays_until_something_changes(small, edit, capsys):
    add_cells(small, "P0118", ("markdown", "## Waveforms\n\nSee {figure:signal}."), ("code", FIGURE_CELL))
    page = small / "build" / "out" / "html" / "P0118.html"

    assert _build(small, "--html") == CLEAN
    assert "[cell-not-run]" in capsys.readouterr().out
    assert "Left out of this edition." in page.read_text(encoding="utf-8")

    assert _build(small, "--run") == CLEAN, capsys.readouterr().err
    assert "[cell-not-run]" not in capsys.readouterr().out
    with_figure = page.read_text(encoding="utf-8")
    assert 'aria-label="A flat line"' in with_figure
    assert "</span> The signal" in with_figure

    assert _build(small, "--html") == CLEAN
    assert page.read_text(encoding="utf-8") == with_figure
    edit(small, "P0118", "trips: 2", "trips: 3")
    assert _build(small, "--html") == CLEAN
    assert "Left out of this edition." in page.read_text(encoding="utf-8")


@pytest.mark.slow
def test_a_cell_that_fails_refuses_the_build_at_its_line(small, capsys):
    add_cells(small, "P0118", ("code", FIGURE_CELL.replace("SVG('", "SWG('")))
    assert _build(small, "--html", "--run") == FINDINGS
    error = capsys.readouterr().err
    assert re.search(r"chapters/P0118.ipynb, cell \d+, line 5: error: .*NameError.*\[cell-failed\]", error)
    assert "    | SWG(" in error
    assert "Traceback" not in error


def test_without_jupyter_running_cells_names_what_is_missing(small, capsys, monkeypatch):
    add_cells(small, "P0118", ("code", FIGURE_CELL))
    monkeypatch.delitem(sys.modules, "authorkit.desk.run_cells", raising=False)
    monkeypatch.setitem(sys.modules, "nbclient", None)
    assert _build(small, "--html", "--run") == COULD_NOT_RUN
    assert "--run needs 'nbclient', which 'build/setup desk' installs" in capsys.readouterr().err
    assert _build(small, "--html") == CLEAN
