"""Which cell of which notebook is being run."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from authorkit.desk.book_state import BookState
from authorkit.desk.located import Origin, locate, origin_of


@pytest.fixture
def state(manual: Path) -> BookState:
    return BookState(manual)


def test_the_notebook_is_the_one_that_the_server_names(state: BookState, facts_of: dict[str, str]) -> None:
    """Though its facts name another chapter's code, as after a copy."""
    shutil.copy(state.folder / "chapters" / "P0118.ipynb", state.folder / "chapters" / "draft.ipynb")
    path = state.folder / "chapters" / "draft.ipynb"
    found = locate(state, facts_of["chapters/P0118.ipynb"], Origin(str(path)))
    assert (found.file, found.cell.number, found.is_vehicle) == ("chapters/draft.ipynb", 2, False)


@pytest.mark.parametrize("notebook", ["", "/nowhere/else.ipynb", "chapters/renamed-since.ipynb", "build/x.ipynb"])
def test_without_a_notebook_of_the_manual_the_code_tells(
    state: BookState, facts_of: dict[str, str], notebook: str
) -> None:
    assert locate(state, facts_of["chapters/P0480.ipynb"], Origin(notebook)).file == "chapters/P0480.ipynb"


def test_a_code_without_a_chapter_becomes_a_new_file(state: BookState) -> None:
    found = locate(state, "%%facts\ncode: P0115\n", Origin())
    assert (found.file, found.cell.number) == ("chapters/P0115.ipynb", 1)


def test_facts_without_a_code_are_the_vehicles_and_their_keys_tell_which_cell(state: BookState) -> None:
    found = locate(state, "%%facts\nterms:\n  ECT: Coolant temperature\n", Origin())
    notebook = state.notebook("chapters/vehicle.ipynb")
    assert notebook is not None
    before = next(cell for cell in notebook.cells if cell.number == found.cell.number)
    assert found.is_vehicle
    assert "\nterms:" in before.source


def test_the_cell_is_found_by_its_id(state: BookState) -> None:
    path = state.folder / "chapters" / "vehicle.ipynb"
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    number = max(number for number, cell in enumerate(cells, 1) if "".join(cell["source"]).startswith("%%facts"))
    found = locate(state, "%%facts\nx: y\n", Origin(str(path), cells[number - 1]["id"]))
    assert found.cell.number == number


def test_the_typed_text_stands_in_the_notebook(state: BookState) -> None:
    found = locate(state, "%%facts\ncode: P0118\ntitle: Other\n", Origin())
    assert [cell.source for cell in found.notebook.facts] == ["%%facts\ncode: P0118\ntitle: Other\n"]


def test_programs_tell_the_notebook_in_two_ways() -> None:
    assert origin_of({"JPY_SESSION_NAME": "/m/chapters/a.ipynb"}, {}, "c1") == Origin("/m/chapters/a.ipynb", "c1")
    told = origin_of({}, {"__vsc_ipynb_file__": "/m/b.ipynb"}, "vscode-notebook-cell:/m/b.ipynb#W0")
    assert told == Origin("/m/b.ipynb", "")
    assert origin_of({"JPY_SESSION_NAME": "console-1"}, {}, "") == Origin()
