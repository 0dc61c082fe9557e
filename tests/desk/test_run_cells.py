"""Running code cells in real kernels: what is kept, and that every failure is a finding at its place."""

from __future__ import annotations

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


@pytest.mark.parametrize(
    ("code", "line", "found"),
    [
        ("a = 1\n1 / 0", 5, "ZeroDivisionError: division by zero"),
        ("def f():\n    return later\nf()", 5, "NameError: name 'later' is not defined"),
        ("a = (\n", 0, "SyntaxError"),
        ("import os\nos._exit(1)", 0, "a dead kernel"),
        ("import time\ntime.sleep(60)", 0, "no end after 3 s"),
    ],
    ids=["error", "error in a function", "syntax", "dead", "slow"],
)
def test_a_cell_that_fails_is_a_finding_and_nothing_is_kept(tmp_path, kept, code: str, line: int, found: str) -> None:
    folder = small_manual(tmp_path)
    add_cells(folder, "P0118", ("code", "x = 1"), figure("bad", code))
    (problem,) = run_cells(folder, [FILE], kept, Limits(seconds=3))
    assert problem.rule == "cell-failed"
    assert problem.place.file == FILE
    assert problem.message.startswith(f"The code of cell {problem.place.cell} fails: ")
    assert found in (problem.found or "")
    if line:
        assert problem.place.line == line
    assert read_shown(kept, folder, FILE, seen_by_cells(folder)) is None


def test_without_figure_cells_no_kernel_starts(tmp_path, kept, monkeypatch) -> None:
    folder = small_manual(tmp_path)
    add_cells(folder, "P0118", ("code", "1 / 0"))
    assert run_cells(folder, [FILE, "chapters/absent.ipynb"], kept) == ()
