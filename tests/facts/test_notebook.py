"""Notebooks as cells, and the way back to the lines of the file."""

from __future__ import annotations

import json
from pathlib import Path

import nbformat
import pytest
from hypothesis import given
from hypothesis import strategies as st

from authorkit.facts.notebook import cell_line, facts_text, notebook_of, physical_line, read_notebook

FACTS = "%%facts\ncode: P0118\ntitle: 'a \"quoted\" title with a \\\\ and Ω'\n\nset-by: M1"
PROSE = "# Title\n\nText {part:B5}\n"


def write_with_nbformat(path: Path) -> None:
    """A notebook as Jupyter itself writes it (nbformat, the reference library of the format)."""
    notebook = nbformat.v4.new_notebook(
        cells=[
            nbformat.v4.new_markdown_cell(PROSE),
            nbformat.v4.new_code_cell(FACTS, outputs=[nbformat.v4.new_output("stream", text="line\nline\n")]),
            nbformat.v4.new_raw_cell(""),
            nbformat.v4.new_markdown_cell("Ende"),
        ]
    )
    nbformat.write(notebook, path)


def test_cells_are_those_that_nbformat_reads(tmp_path: Path) -> None:
    path = tmp_path / "a.ipynb"
    write_with_nbformat(path)
    notebook, problems = read_notebook(tmp_path, "a.ipynb")
    assert problems == ()
    assert notebook is not None
    reference = nbformat.read(path, as_version=4)
    assert [(cell.kind, cell.source) for cell in notebook.cells] == [
        (cell.cell_type, cell.source) for cell in reference.cells
    ]
    assert [cell.number for cell in notebook.facts] == [2]
    assert [cell.number for cell in notebook.markdown] == [1, 4]


@pytest.mark.parametrize(("cell", "source"), [(1, PROSE), (2, FACTS), (4, "Ende")])
def test_the_physical_line_of_a_cell_line_holds_its_text(tmp_path: Path, cell: int, source: str) -> None:
    path = tmp_path / "a.ipynb"
    write_with_nbformat(path)
    lines = path.read_text(encoding="utf-8").split("\n")
    for number, text in enumerate(source.rstrip("\n").split("\n"), 1):
        assert cell_line(path, cell, number) == text
        written = lines[physical_line(path, cell, number) - 1].strip().rstrip(",")
        assert json.loads(written).rstrip("\n") == text


def test_the_physical_line_of_a_source_in_one_string_is_the_line_of_that_string(tmp_path: Path) -> None:
    path = tmp_path / "a.ipynb"
    path.write_text('{"nbformat": 4,\n"cells": [\n{"cell_type": "code",\n"source": "a\\nb\\nc"}\n]}', encoding="utf-8")
    assert [physical_line(path, 1, line) for line in (1, 2, 3, 99)] == [4, 4, 4, 4]


def test_the_physical_line_of_a_plain_file_is_the_line_itself(tmp_path: Path) -> None:
    path = tmp_path / "manual.yaml"
    path.write_text("title: T\n", encoding="utf-8")
    assert physical_line(path, 0, 7) == 7
    assert physical_line(path, 0, 0) == 1
    assert cell_line(path, 0, 1) == "title: T"
    assert cell_line(path, 0, 3) is None


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "[]",
        "{}",
        '{"cells": 3}',
        '{"cells": [{}]}',
        '{"cells": [1]}',
        '{"cells": [{"source": [1, "a"]}]}',
        "[",
    ],
)
def test_the_physical_line_of_what_is_no_notebook_is_some_line_of_it(tmp_path: Path, text: str) -> None:
    path = tmp_path / "a.ipynb"
    path.write_text(text, encoding="utf-8")
    assert physical_line(path, 1, 5) == 1
    assert physical_line(path, 9, 1) == 1
    assert physical_line(tmp_path / "missing.ipynb", 1, 1) == 1
    assert cell_line(path, 9, 1) is None
    assert cell_line(tmp_path / "missing.ipynb", 1, 1) is None


@given(st.text(max_size=300), st.integers(0, 5), st.integers(0, 5))
def test_no_file_upsets_the_physical_line(
    tmp_path_factory: pytest.TempPathFactory, text: str, cell: int, line: int
) -> None:
    path = tmp_path_factory.getbasetemp() / "fuzz.ipynb"
    path.write_bytes(('{"cells": [' + text).encode("utf-8", "surrogatepass"))
    assert physical_line(path, cell, line) >= 1
    assert cell_line(path, cell, line) is None or cell == 0


def test_lines_of_the_facts_keep_their_numbers() -> None:
    data = {"nbformat": 4, "cells": [{"cell_type": "code", "source": ["\r\n", "%%facts \r\n", "code: P0118\r\n"]}]}
    notebook, _ = notebook_of(data, "x.ipynb")
    assert notebook is not None
    text, problems = facts_text(notebook.facts[0])
    assert text.split("\n") == ["", "", "code: P0118", ""]
    assert problems == ()


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(
            st.sampled_from(["cells", "nbformat", "cell_type", "source", "metadata"]) | st.text(max_size=4),
            inner,
            max_size=5,
        )
    ),
    max_leaves=25,
)


@given(JSON, st.booleans())
def test_no_json_upsets_the_reading_of_cells(data: object, wrapped: bool) -> None:
    if wrapped:
        data = {"nbformat": 4, "cells": [data, {"cell_type": "code", "source": data}]}
    notebook, problems = notebook_of(data, "x.ipynb")
    assert notebook is not None or problems
