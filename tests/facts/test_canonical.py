"""The canonical form of a notebook: nothing of the author's is lost, and a second time changes nothing."""

from __future__ import annotations

import json
from typing import Any

import nbformat
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from authorkit.facts.canonical import canonical, layout, read_json, told, untidy_things

ANY_TEXT = st.text(st.characters(exclude_categories=[]), max_size=40)
KEYS = st.text("abcxyz_", min_size=1, max_size=8)
VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(10**20), 10**20)
    | st.floats(allow_nan=False, allow_infinity=False)
    | ANY_TEXT,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=3),
    max_leaves=6,
)
VOLATILE = st.sampled_from(["scrolled", "execution", "collapsed", "tags", "jupyter", "mine"])
METADATA = st.dictionaries(VOLATILE | KEYS, VALUES, max_size=3)
SOURCES = ANY_TEXT | st.lists(ANY_TEXT, max_size=3)
IDS = st.sampled_from(["a", "b", "facts", "bad id", "", "x" * 65]) | st.integers()
OUTPUT = st.fixed_dictionaries(
    {"output_type": st.just("execute_result"), "data": st.dictionaries(KEYS, VALUES, max_size=2), "metadata": METADATA},
    optional={"execution_count": st.none() | st.integers(0, 99)},
)


def cells() -> st.SearchStrategy[dict[str, Any]]:
    written = st.fixed_dictionaries(
        {"cell_type": st.sampled_from(["markdown", "raw"]), "source": SOURCES},
        optional={"id": IDS, "metadata": METADATA, "attachments": st.dictionaries(KEYS, VALUES, max_size=2)},
    )
    code = st.fixed_dictionaries(
        {"cell_type": st.just("code"), "source": SOURCES},
        optional={
            "id": IDS,
            "metadata": METADATA,
            "outputs": st.lists(OUTPUT, max_size=2),
            "execution_count": st.none() | st.integers(0, 99),
        },
    )
    return written | code


NOTEBOOKS = st.fixed_dictionaries(
    {"cells": st.lists(cells(), max_size=5), "nbformat": st.just(4)},
    optional={"metadata": METADATA, "nbformat_minor": st.integers(0, 6), "mine": VALUES},
)


def source(cell: dict[str, Any]) -> str:
    return cell["source"] if isinstance(cell["source"], str) else "".join(cell["source"])


def tidied(text: str, **ways: bool) -> str:
    data, problems = read_json(text, "chapters/a.ipynb")
    assert data is not None, problems
    return canonical(data, **ways)


@settings(max_examples=150, deadline=None)
@given(NOTEBOOKS, st.booleans())
def test_a_second_time_changes_nothing_and_no_text_of_the_author_is_lost(data: dict[str, Any], keep: bool) -> None:
    once = tidied(json.dumps(data), keep_outputs=keep)
    assert tidied(once, keep_outputs=keep) == once
    after = json.loads(once)
    assert [source(cell) for cell in after["cells"]] == [source(cell) for cell in data["cells"]]
    assert [cell["cell_type"] for cell in after["cells"]] == [cell["cell_type"] for cell in data["cells"]]
    for cell, old in zip(after["cells"], data["cells"], strict=True):
        assert cell.get("attachments") == old.get("attachments")
    assert after.get("mine") == data.get("mine")
    ids = [cell["id"] for cell in after["cells"]]
    assert len(set(ids)) == len(ids)
    once.encode("utf-8")


@settings(max_examples=80, deadline=None)
@given(NOTEBOOKS, st.booleans())
def test_what_is_told_is_empty_exactly_where_nothing_but_the_layout_changes(data: dict[str, Any], keep: bool) -> None:
    canonical_text = tidied(json.dumps(data), keep_outputs=keep)
    again, _ = read_json(canonical_text, "a.ipynb")
    assert again is not None
    assert told(untidy_things(again, keep_outputs=keep)) == ""


def notebook(*cells: dict[str, Any], **rest: Any) -> str:
    return json.dumps({"cells": list(cells), "metadata": {}, "nbformat": 4, "nbformat_minor": 5, **rest})


RAN = {
    "cell_type": "code",
    "execution_count": 7,
    "id": "ran",
    "metadata": {
        "execution": {"shell.execute_reply": "2026-11-02"},
        "tags": ["keep"],
        "jupyter": {"outputs_hidden": True},
    },
    "outputs": [{"output_type": "execute_result", "execution_count": 7, "data": {"text/plain": "1"}, "metadata": {}}],
    "source": "1",
}


def test_traces_of_running_go_and_tags_stay() -> None:
    (cell,) = json.loads(tidied(notebook(RAN)))["cells"]
    assert cell == {
        "cell_type": "code", "execution_count": None, "id": "ran", "metadata": {"tags": ["keep"]}, "outputs": [],
        "source": ["1"],
    }  # fmt: skip


def test_kept_outputs_lose_only_their_count() -> None:
    (cell,) = json.loads(tidied(notebook(RAN), keep_outputs=True))["cells"]
    assert cell["outputs"] == [{**RAN["outputs"][0], "execution_count": None}]
    assert cell["execution_count"] is None


def test_the_machine_leaves_no_mark() -> None:
    metadata = {
        "kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"},
        "language_info": {"name": "python", "version": "3.13.1", "file_extension": ".py"},
        "vscode": {"interpreter": {"hash": "0"}},
        "authors": [{"name": "Demo author"}],
    }
    assert json.loads(tidied(notebook(metadata=metadata)))["metadata"] == {
        "authors": [{"name": "Demo author"}],
        "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
        "language_info": {"name": "python"},
    }


def test_ids_are_kept_and_missing_ones_are_made_of_what_the_cell_holds() -> None:
    def cell(kind: str, text: str, **rest: Any) -> dict[str, Any]:
        return {"cell_type": kind, "metadata": {}, "source": text, **rest}

    text = notebook(
        cell("markdown", "# P0118 Engine coolant\n\nText."),
        cell("code", "%%facts\ncode: P0118"),
        cell("code", "", id="kept"),
        cell("code", "", id="kept"),
        cell("markdown", "\u00b0\u00b0"),
        nbformat_minor=2,
    )
    after = json.loads(tidied(text))
    assert [each["id"] for each in after["cells"]] == ["p0118-engine-coolant", "facts", "kept", "cell", "cell-2"]
    assert after["nbformat_minor"] == 5


def test_jupyter_saves_a_canonical_notebook_as_it_is(tmp_path) -> None:
    """Against the reference writer of the notebook format (nbformat)."""
    text = tidied(notebook(RAN, {"cell_type": "markdown", "metadata": {}, "source": "# \u00dcber\nx\u2028y\r\nz"}))
    nbformat.validate(nbformat.reads(text, as_version=4))
    assert nbformat.writes(nbformat.reads(text, as_version=4)) + "\n" == text


def test_a_half_of_a_surrogate_pair_stays_an_escape() -> None:
    text = notebook({"cell_type": "raw", "id": "a", "metadata": {}, "source": "a\ud800b"})
    assert r"a\ud800b" in tidied(text)
    assert source(json.loads(tidied(text))["cells"][0]) == "a\ud800b"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "is empty"),
        ("[1, 2]", "is not a notebook"),
        ('{"cells": [], "nbformat": 3}', "format 4"),
        ('{"cells": [], "cells": [], "nbformat": 4}', "'cells' stands twice"),
        ('{"cells": [], "metadata": {"a": NaN}, "nbformat": 4}', "'NaN' is no number"),
        ('{"cells": [], "metadata": {"a": 1e999}, "nbformat": 4}', "1e999 is too large"),
        ('{"cells": [], "metadata": [], "nbformat": 4}', "damaged"),
        ('{"cells": [{"cell_type": "code", "outputs": [1]}], "nbformat": 4}', "damaged"),
        ('{"cells": [{"cell_type": "code", "outputs": 1}], "nbformat": 4}', "damaged"),
        ('{"cells": [{"cell_type": "other"}], "nbformat": 4}', "damaged cell 1"),
        ('{"cells": [], "nbformat": 4', "JSON"),
        ('{"cells": [], "metadata": {"a": ' + "[" * 300 + "]" * 300 + '}, "nbformat": 4}', "nested too deeply"),
        ("[" * 100_000, "nested too deeply"),
    ],
)
def test_what_cannot_be_written_again_without_loss_is_refused_by_name(text: str, says: str) -> None:
    data, problems = read_json(text, "chapters/a.ipynb")
    assert data is None
    (problem,) = problems
    assert problem.rule == "notebook-damaged"
    assert says in problem.message


def test_the_layout_is_that_of_the_demo_manual(repo_root) -> None:
    for path in sorted((repo_root / "chapters").glob("*.ipynb")):
        text = path.read_text(encoding="utf-8")
        assert layout(json.loads(text)) == text == tidied(text), path.name
