"""What the rules know of figure cells: their names, the files they use, their words."""

from __future__ import annotations

from pathlib import Path

from authorkit.checks.run import check_book
from authorkit.facts.read_book import read_book
from authorkit.problems import Problem
from tests.desk.manuals import add_cells, edit, small_manual

FIGURE = "#| figure: trace\n#| caption: A trace\n#| alt: A wave\ncapture('../figures/trace.csv')"


def findings(folder: Path, *rules: str) -> list[Problem]:
    return [problem for problem in check_book(*read_book(folder)).open if problem.rule in rules]


def test_prose_may_refer_to_a_figure_cell(tmp_path: Path) -> None:
    folder = small_manual(tmp_path)
    add_cells(folder, "P0118", ("markdown", "See {figure:trace}."))
    (problem,) = findings(folder, "reference-dangling")
    assert "trace" in problem.message
    add_cells(folder, "P0118", ("code", FIGURE))
    assert findings(folder, "reference-dangling") == []


def test_two_figures_of_one_name_are_found_at_the_second(tmp_path: Path) -> None:
    folder = small_manual(tmp_path)
    add_cells(folder, "P0118", ("code", FIGURE), ("code", FIGURE))
    (problem,) = findings(folder, "name-used-twice")
    assert problem.place.cell == problem.also[0].cell + 1


def test_a_file_that_the_code_names_is_used(tmp_path: Path) -> None:
    folder = small_manual(tmp_path)
    (folder / "figures" / "trace.csv").write_text("t,v\n", encoding="utf-8")
    assert [problem.found for problem in findings(folder, "figure-unused")] == ["trace.csv"]
    add_cells(folder, "P0118", ("code", FIGURE))
    assert findings(folder, "figure-unused") == []
    edit(folder, "P0118", "#| figure: trace", "# no figure")
    assert [problem.found for problem in findings(folder, "figure-unused")] == ["trace.csv"]


def test_a_series_that_there_is_not_and_a_note_left_in_a_caption_are_found(tmp_path: Path) -> None:
    folder = small_manual(tmp_path)
    add_cells(folder, "P0118", ("code", FIGURE.replace("A trace", "TODO\n#| series: Z")))
    (problem,) = findings(folder, "series-unknown")
    assert problem.place.file == "chapters/P0118.ipynb"
    cells = {problem.place.cell for problem in findings(folder, "todo-left")}
    assert problem.place.cell in cells
