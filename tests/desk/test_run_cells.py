"""Running code cells in real kernels: what is kept, and that every failure is a finding at its place."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from authorkit.desk.run_cells import Limits, run_cells
from authorkit.facts.cell_runs import read_shown, seen_by_cells
from authorkit.store import KeptFiles
from tests.desk.manuals import add_cells, small_manual

pytestmark = pytest.mark.slow

FILE = "chapters/P0118.ipynb"


def figure(name: str, code: str) -> tuple[str, str]:
    return "code", f"#| figure: {name}\n#| caption: A caption\n#| alt: What it shows\n{code}"


@pytest.fixture
def kept(tmp_path: Path) -> KeptFiles:
    return KeptFiles(tmp_path / "kept")


def shown(folder: Path, kept: KeptFiles) -> list[tuple[str, str]]:
    found = read_shown(kept, folder, FILE, seen_by_cells(folder))
    assert found is not None
    return [(each.media, each.data.decode("utf-8", "replace")) for _, each in sorted(found.items())]


DISPLAYED = """from IPython.display import HTML, SVG, display
display(SVG("<svg xmlns='http://www.w3.org/2000/svg'/>"))
display({"text/html": "<b>bold</b>"}, raw=True)
print("words")"""


def test_the_last_usable_output_of_a_figure_cell_is_kept_and_a_second_run_does_nothing(tmp_path, kept) -> None:
    folder = small_manual(tmp_path)
    (folder / "chapters" / "number.txt").write_text("41", encoding="utf-8")  # cells run in their notebook's folder
    add_cells(
        folder,
        "P0118",
        ("code", "from pathlib import Path\nx = int(Path('number.txt').read_text()) + 1"),
        figure("number", "x"),
        figure("drawn", DISPLAYED),
        figure("nothing", "y = x"),
        ("code", "Path('ran.txt').open('a').write('once ')"),
    )
    assert run_cells(folder, [FILE], kept) == ()
    (number, drawn) = shown(folder, kept)
    assert number == ("text", "42")
    assert drawn[0] == "svg"
    assert drawn[1].startswith("<svg")
    assert run_cells(folder, [FILE], kept) == ()
    assert (folder / "chapters" / "ran.txt").read_text(encoding="utf-8") == "once "


# By notebook: the code of a cell that fails, the line at which it does (0: nobody can tell), and what is found.
FAILING = {
    "error": ("a = 1\n1 / 0", 5, "ZeroDivisionError: division by zero"),
    "function": ("def f():\n    return later\nf()", 5, "NameError: name 'later' is not defined"),
    "syntax": ("a = (\n", 4, "SyntaxError: incomplete input"),
    "dead": ("import os\nos._exit(1)", 0, "a dead kernel"),
    "slow": ("import time\ntime.sleep(60)", 0, "no end after 4 s"),
}


def test_a_cell_that_fails_is_a_finding_at_its_line_and_nothing_of_its_notebook_is_kept(tmp_path, kept) -> None:
    folder = small_manual(tmp_path)
    files = [f"chapters/{name}.ipynb" for name in FAILING]
    for name, (code, _, _) in FAILING.items():
        shutil.copy(folder / FILE, folder / "chapters" / f"{name}.ipynb")
        add_cells(folder, name, ("code", "x = 1"), figure("bad", code))
    problems = run_cells(folder, files, kept, Limits(seconds=4, side_by_side=len(files)))
    assert [problem.place.file for problem in problems] == files
    for problem, (_, line, found) in zip(problems, FAILING.values(), strict=True):
        assert problem.rule == "cell-failed"
        assert problem.message.startswith(f"The code of cell {problem.place.cell} fails: ")
        assert problem.found == found
        assert problem.place.line == line, problem
        assert read_shown(kept, folder, problem.place.file, seen_by_cells(folder)) is None


def test_without_figure_cells_no_kernel_starts(tmp_path, kept, monkeypatch) -> None:
    folder = small_manual(tmp_path)
    add_cells(folder, "P0118", ("code", "1 / 0"))
    assert run_cells(folder, [FILE, "chapters/absent.ipynb"], kept) == ()
