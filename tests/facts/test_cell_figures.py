"""Figure cells: what their head says, where they stand, and what of a book their pictures depend on."""

from __future__ import annotations

import pytest

from authorkit.facts.cell_figures import is_figure_cell, read_cell_figures
from authorkit.facts.cell_runs import Shown, code_cells, keep_shown, read_shown, seen_by_cells, was_run
from authorkit.facts.notebook import Cell, Notebook, read_notebook
from authorkit.store import KeptFiles
from tests.desk.manuals import add_cells, edit, small_manual

HEAD = "#| figure: trace\n#| caption: A trace\n#| alt: A square wave\n"


def notebook(*cells: tuple[str, str]) -> Notebook:
    file = "chapters/P0118.ipynb"
    return Notebook(file, tuple(Cell(file, number, *cell) for number, cell in enumerate(cells, 1)))


@pytest.mark.parametrize(
    ("kind", "source", "expected"),
    [
        ("code", HEAD + "1", True),
        ("code", "\n  \n#|figure: trace", True),
        ("code", "# figure: trace", False),
        ("code", "#| caption: A\n#| figure: trace", False),
        ("code", "x = 1\n#| figure: trace", False),
        ("markdown", HEAD, False),
        ("raw", HEAD, False),
    ],
)
def test_a_figure_cell_is_code_that_begins_with_its_name(kind: str, source: str, expected: bool) -> None:
    assert is_figure_cell(Cell("a.ipynb", 1, kind, source)) is expected


def test_a_figure_stands_in_the_section_that_is_open_at_its_cell() -> None:
    figures, problems = read_cell_figures(
        notebook(
            ("code", HEAD.replace("trace", "first", 1)),
            ("markdown", "# P0118\n\n## Waveforms"),
            ("code", "x = 1"),
            ("code", HEAD + "#| series: A\ncapture('figures/a.csv')"),
            ("markdown", "Text.\n\n```\n## Notes from the bay\n```"),
            ("code", HEAD.replace("trace", "last", 1)),
        )
    )
    assert problems == ()
    assert [(each.id, each.section, each.place.cell) for each in figures] == [
        ("first", "meaning", 1),
        ("trace", "waveforms", 4),
        ("last", "waveforms", 6),
    ]
    assert (figures[1].caption, figures[1].alt, figures[1].series) == ("A trace", "A square wave", ("A",))
    assert "figures/a.csv" in figures[1].code


@pytest.mark.parametrize(
    ("source", "rule", "line", "column"),
    [
        ("#| figure: trace\n#| caption: A trace\nplot()", "key-missing", 1, 4),
        ("\n" + HEAD + "#| colour: red", "key-unknown", 5, 4),
        ("#| figure: trace\n#| caption:\n#| alt: A wave", "value-empty", 2, 4),
        ("#| figure: trace\n#| caption: x: y", "yaml-syntax", 2, 14),
        ("#| figure: trace\n#| figure: other\n#| caption: A\n#| alt: B", "key-repeated", 2, 4),
    ],
)
def test_a_wrong_head_is_a_finding_at_its_line_and_column(source: str, rule: str, line: int, column: int) -> None:
    _, problems = read_cell_figures(notebook(("code", source)))
    assert (problems[0].rule, problems[0].place.line, problems[0].place.column) == (rule, line, column)
    assert problems[0].place.cell == 1


def test_facts_and_empty_cells_are_not_run() -> None:
    cells = code_cells(
        notebook(("code", "%%facts\na: b"), ("code", "x"), ("markdown", "y"), ("code", " \n"), ("code", "z"))
    )
    assert [cell.source for cell in cells] == ["x", "z"]


SHOWN = Shown("svg", b"<svg/>")


@pytest.fixture
def kept(tmp_path) -> KeptFiles:
    return KeptFiles(tmp_path / "kept")


@pytest.fixture
def manual(tmp_path, kept):
    """A small manual whose cell 8 was run."""
    folder = small_manual(tmp_path)
    add_cells(folder, "P0118", ("code", "x = 1"), ("code", HEAD + "x"))
    whole, _ = read_notebook(folder, "chapters/P0118.ipynb")
    assert whole is not None
    seen = seen_by_cells(folder)
    assert not was_run(kept, whole, seen)
    keep_shown(kept, whole, seen, {whole.cells[-1].number: SHOWN})
    assert was_run(kept, whole, seen)
    return folder


def shown(kept, folder):
    return read_shown(kept, folder, "chapters/P0118.ipynb", seen_by_cells(folder))


def test_what_was_shown_is_found_again(manual, kept) -> None:
    assert list(shown(kept, manual).values()) == [SHOWN]


def test_prose_and_another_place_of_the_cell_change_nothing(manual, kept) -> None:
    before = shown(kept, manual)
    edit(manual, "P0118", "## What the code means", "## What the code means\n\nMore.")
    assert shown(kept, manual) == before
    add_cells(manual, "P0118", ("markdown", "A cell below."))
    assert shown(kept, manual) == before


@pytest.mark.parametrize(
    "change",
    [
        lambda folder: edit(folder, "P0118", "x = 1", "x = 2"),
        lambda folder: edit(folder, "P0118", "trips: 2", "trips: 3"),
        lambda folder: edit(folder, "vehicle", "Engine control module", "Motor control module"),
        lambda folder: (folder / "figures" / "a.csv").write_text("t,v\n"),
        lambda folder: add_cells(folder, "P0118", ("code", "y")),
    ],
    ids=["code above", "facts", "vehicle", "figures", "code below"],
)
def test_what_the_code_can_see_makes_it_run_anew(manual, kept, change) -> None:
    change(manual)
    assert shown(kept, manual) is None


def test_without_a_folder_nothing_is_kept(manual) -> None:
    assert shown(KeptFiles(None), manual) is None
