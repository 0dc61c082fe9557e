"""A folder as a book: what is found in it, in which order, and that no content upsets the reading."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from authorkit.facts.notebook import notebook_of
from authorkit.facts.read_book import read_book
from authorkit.facts.read_chapter import read_chapter
from authorkit.facts.read_recipe import read_recipe
from authorkit.facts.read_vehicle import read_vehicle
from authorkit.model.book import FrontPage, Recipe
from authorkit.model.chapter import Prose
from authorkit.problems import Place

Manual = Callable[[dict[str, Any]], Path]
HERE = Path(__file__).parent
FULL = (HERE / "full_chapter.yaml").read_text(encoding="utf-8")
FULL_VEHICLE = (HERE / "full_vehicle.yaml").read_text(encoding="utf-8")


def chapter(code: str) -> dict[str, Any]:
    return {"cells": [{"code": f"%%facts\ncode: {code}\ntitle: T\nset-by: M1\nsystem: S\n"}]}


def test_chapters_come_in_code_order_from_any_folder_but_hidden_ones(manual: Manual) -> None:
    files = {
        "chapters/a/U0100.ipynb": chapter("U0100"),
        "chapters/b/P2122.ipynb": chapter("P2122"),
        "chapters/P0118-17.ipynb": chapter("P0118-17"),
        "chapters/.ipynb_checkpoints/P0119-checkpoint.ipynb": chapter("P0119"),
        "chapters/notes.txt": "not a notebook",
    }
    book, problems = read_book(manual({"files": files}))
    assert problems == ()
    assert book is not None
    assert [str(each.code) for each in book.chapters] == ["P0118", "P0118-17", "P2122", "U0100"]
    assert book.chapters[3].file == "chapters/a/U0100.ipynb"
    assert book.vehicle.file == "chapters/vehicle.ipynb"


def test_only_some_chapters_can_be_asked_for_by_code_or_file(manual: Manual) -> None:
    files = {f"chapters/{code}.ipynb": chapter(code) for code in ("P0117", "P0119", "P2122")}
    files["chapters/other.ipynb"] = chapter("U0100")
    folder = manual({"files": {**files, "chapters/broken.ipynb": "{"}})
    asked = ["P0117", "chapters/P2122.ipynb", "U0100"]
    book, problems = read_book(folder, asked)
    assert problems == ()
    assert book is not None
    assert [str(each.code) for each in book.chapters] == ["P0117", "P2122", "U0100"]


def test_front_pages_are_sorted_by_file_and_lose_their_title_line(manual: Manual) -> None:
    files = {
        "chapters/front-2-safety.ipynb": {"cells": [{"markdown": "Before.\n# Safety\nAfter."}]},
        "chapters/front-1-reading.ipynb": {"cells": [{"markdown": "# How to read\n\n## Readings\nText"}, {"raw": "x"}]},
    }
    book, problems = read_book(manual({"files": files}))
    assert problems == ()
    assert book is not None
    first, second = "chapters/front-1-reading.ipynb", "chapters/front-2-safety.ipynb"
    assert book.front == (
        FrontPage(
            "How to read", first, (Prose("", "## Readings\nText", Place(first, 1, 3, 1)),), Place(first, 1, 1, 1)
        ),
        FrontPage("Safety", second, (Prose("", "Before.\n\nAfter.", Place(second, 1, 1, 1)),), Place(second, 1, 2, 1)),
    )


def test_a_recipe_with_every_key_is_this_model(manual: Manual) -> None:
    text = """title: Veldrun Parcel
subtitle: Engine management
publisher: Demo publisher
edition: First
date: 2026-11-02
language: en
page-sizes: [a4, us-letter]
series: [A, B]
chapters: [P0118, U0100-87]
classes: {first day: [P0118], second: P0117}
wire-colours: yes
"""
    recipe, problems = read_recipe(manual({"recipe": text}))
    assert problems == ()
    assert recipe == Recipe(
        "Veldrun Parcel",
        "Engine management",
        "Demo publisher",
        "First",
        "2026-11-02",
        "en",
        ("a4", "us-letter"),
        ("A", "B"),
        ("P0118", "U0100-87"),
        (("first day", ("P0118",)), ("second", ("P0117",))),
        wire_colours=True,
    )


def test_without_a_recipe_the_book_is_read_all_the_same(manual: Manual) -> None:
    book, problems = read_book(manual({"files": {"build/manual.yaml": None}}))
    assert [problem.rule for problem in problems] == ["file-missing"]
    assert book is not None
    assert (book.recipe.title, len(book.chapters)) == ("", 1)


def test_without_a_vehicle_there_is_no_book_but_all_findings(manual: Manual) -> None:
    files = {"chapters/vehicle.ipynb": None, "chapters/P0119.ipynb": chapter("P9999")}
    book, problems = read_book(manual({"files": files}))
    assert book is None
    assert [problem.rule for problem in problems] == ["code-malformed", "file-missing"]


def test_an_empty_folder_and_a_missing_one_give_findings(tmp_path: Path) -> None:
    for folder in (tmp_path, tmp_path / "missing"):
        book, problems = read_book(folder)
        assert book is None
        assert [problem.place.file for problem in problems] == ["build/manual.yaml", "chapters/vehicle.ipynb"]


def test_connector_bodies_find_their_part_in_any_notebook(manual: Manual) -> None:
    vehicle = 'connectors: {B5: {rows: "1 2"}, X12: {rows: 1-4, in-line: yes}}\n'
    facts = 'circuit: {parts: {B5: {name: S, connectors: {B5: {"1": SIG}}}}}\n'
    book, problems = read_book(manual({"vehicle": vehicle, "chapter": facts}))
    assert problems == ()
    assert book is not None
    bodies = {connector.id: connector for connector in book.vehicle.wiring.connectors}
    assert (bodies["B5"].part, bodies["B5"].rows) == ("B5", (("1", "2"),))
    assert bodies["X12"].in_line
    assert not bodies["B5"].in_line


def test_findings_come_in_reading_order(manual: Manual) -> None:
    _, problems = read_book(manual({"chapter": "zzz: 1\nlamp: [a]\n", "vehicle": "zzz: 1\n", "recipe": "zzz: 1\n"}))
    assert [problem.sort_key for problem in problems] == sorted(problem.sort_key for problem in problems)
    assert [problem.place.file for problem in problems] == [
        "build/manual.yaml",
        "build/manual.yaml",
        "chapters/P0118.ipynb",
        "chapters/P0118.ipynb",
        "chapters/vehicle.ipynb",
    ]


def test_code_in_a_notebook_is_never_run(manual: Manual, tmp_path: Path) -> None:
    trap = tmp_path / "trap"
    code = f"open({str(trap)!r}, 'w')"
    facts = "%%facts\ncode: P0118\ntitle: T\nset-by: M1\nsystem: S\n"
    tag = f"{facts}lamp: !!python/object/apply:os.mkdir ['{trap}']\n"
    _, problems = read_book(manual({"cells": [{"code": code}, {"code": tag}]}))
    assert {problem.rule for problem in problems} == {"yaml-alias", "value-malformed"}
    assert not trap.exists()


@settings(max_examples=60, deadline=None)
@given(st.binary(max_size=200), st.binary(max_size=200), st.binary(max_size=200))
def test_no_bytes_upset_the_reading_of_a_book(
    tmp_path_factory: pytest.TempPathFactory, recipe: bytes, vehicle: bytes, page: bytes
) -> None:
    folder = tmp_path_factory.getbasetemp() / "bytes"
    for name, content in {
        "build/manual.yaml": recipe,
        "chapters/vehicle.ipynb": vehicle,
        "chapters/a.ipynb": page,
    }.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(content)
    _, problems = read_book(folder)
    assert problems


LINES = sorted({line for text in (FULL, FULL_VEHICLE) for line in text.split("\n")[1:]})
WORDS = ["on", "M1-A.23", "0.5 V", "1 to 2 V", "cold", "[", "{", "a: b", "- x", "&a", "*a", "<<", "''", "P0118", "\t"]
VALUES = st.recursive(
    st.sampled_from(WORDS) | st.text(max_size=6),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(["key", "wire", "series", "1"]), inner),
    max_leaves=6,
)


def changed(data: Any, choice: st.DataObject) -> Any:
    """The data with a few of its values replaced by anything."""
    if choice.draw(st.integers(0, 7)) == 0:
        return choice.draw(VALUES)
    if isinstance(data, dict):
        return {key: changed(value, choice) for key, value in data.items()}
    return [changed(item, choice) for item in data] if isinstance(data, list) else data


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_no_facts_upset_the_reading_of_a_chapter_or_vehicle(choice: st.DataObject) -> None:
    for full, read in ((FULL, read_chapter), (FULL_VEHICLE, read_vehicle)):
        data = changed(yaml.load(full.split("\n", 1)[1], Loader=yaml.CBaseLoader), choice)
        cell = "%%facts\n" + yaml.dump(data, allow_unicode=True)
        notebook, _ = notebook_of({"nbformat": 4, "cells": [{"cell_type": "code", "source": cell}]}, "x.ipynb")
        assert notebook is not None
        assert len(read(notebook)) in (2, 3)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.sampled_from(LINES) | st.sampled_from(WORDS), max_size=25))
def test_no_order_of_lines_upsets_the_reading(lines: list[str]) -> None:
    data = {"nbformat": 4, "cells": [{"cell_type": "code", "source": "\n".join(["%%facts", *lines])}]}
    notebook, _ = notebook_of(data, "x.ipynb")
    assert notebook is not None
    _, problems = read_chapter(notebook)
    _, _, more = read_vehicle(notebook)
    assert problems or more


def test_reading_needs_no_slow_library() -> None:
    """Importing the room must not bring in what takes seconds to load beside JupyterLab."""
    code = "import sys, authorkit.facts.read_book, authorkit.facts.physical_line; print(*sorted(sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    slow = {"nbformat", "jsonschema", "IPython", "nbconvert", "pydantic", "numpy", "matplotlib"}
    assert slow & {name.partition(".")[0] for name in done.stdout.split()} == set()


def test_a_hundred_chapters_of_150_lines_are_read_in_a_second(tmp_path: Path) -> None:
    """A book of 1,000 should take about 4 s on one core; the limit here leaves room for a slow machine."""
    steps = "".join(
        f"  {number}:\n    do: Read it.\n    volts: [M1-A.{number}, G1]\n    then: {{1 to {number} V: 8, else: 9}}\n"
        for number in range(10, 27)
    )
    facts = FULL.replace("procedure:\n", f"procedure:\n{steps}")
    assert facts.count("\n") > 150
    cell = {"cell_type": "code", "source": facts.splitlines(keepends=True), "metadata": {}, "outputs": []}
    text = json.dumps({"nbformat": 4, "nbformat_minor": 5, "metadata": {}, "cells": [cell]})
    (tmp_path / "chapters").mkdir()
    for number in range(100):
        (tmp_path / "chapters" / f"{number}.ipynb").write_text(text.replace("P0118-17", f"P0{number + 100}"))
    start = time.process_time()
    _, problems = read_book(tmp_path)
    assert time.process_time() - start < 1.5
    assert [problem.rule for problem in problems] == ["file-missing"] * 2
