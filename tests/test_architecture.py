"""The shape of the project: its top level, its rooms, its sizes, and words that have no place in it."""

from __future__ import annotations

import ast
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "authorkit",
    "chapters",
    "figures",
    "build",
    "tests",
}

ROOMS = [
    "units",
    "problems",
    "model",
    "facts",
    "circuit",
    "checks",
    "drawing",
    "manual",
    "output",
    "commands",
]

# Files over MOST_LINES, each with the reason why it is better whole.
LONG_FILES: dict[str, str] = {}
MOST_LINES = 400
MOST_FUNCTION_LINES = 50


@pytest.fixture(scope="session")
def project_files(repo_root: Path) -> list[str]:
    """Every file that is, or would be, committed."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=repo_root,
        capture_output=True,
        text=True,
        check=True,
    )
    return sorted(name for name in listed.stdout.split("\0") if name and (repo_root / name).is_file())


@pytest.fixture(scope="session")
def python_files(project_files: list[str]) -> list[str]:
    return [name for name in project_files if name.endswith(".py")]


# Top level


def test_the_top_level_holds_what_the_customer_listed_and_dot_files(project_files: list[str]) -> None:
    found = {name.split("/")[0] for name in project_files}
    assert {name for name in found if not name.startswith(".")} == TOP_LEVEL


# Rooms


def run_contracts(folder: Path) -> subprocess.CompletedProcess[str]:
    """lint-imports on the package in `folder`, by the contracts in its pyproject.toml."""
    program = "from importlinter.cli import lint_imports_command; lint_imports_command()"
    return subprocess.run(
        [sys.executable, "-c", program, "--no-cache", "--no-logo"],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "COLUMNS": "200", "NO_COLOR": "1"},
    )


@pytest.fixture
def tiny_package(repo_root: Path, tmp_path: Path) -> Path:
    """A folder with the project's contracts and a package of the same rooms, all of them empty."""
    shutil.copy(repo_root / "pyproject.toml", tmp_path)
    for room in ROOMS:
        (tmp_path / "authorkit" / room).mkdir(parents=True)
        (tmp_path / "authorkit" / room / "__init__.py").touch()
    (tmp_path / "authorkit" / "__init__.py").touch()
    (tmp_path / "authorkit" / "__main__.py").write_text("from authorkit import commands\n")
    return tmp_path


def test_the_package_keeps_every_import_contract(repo_root: Path) -> None:
    result = run_contracts(repo_root)
    assert result.returncode == 0, result.stdout + result.stderr


def test_rooms_that_import_nothing_keep_every_contract(tiny_package: Path) -> None:
    result = run_contracts(tiny_package)
    assert result.returncode == 0, result.stdout + result.stderr


# File, its code, and the import that lint-imports must name.
OFFENCES = [
    ("circuit/solve.py", "from authorkit import drawing", "authorkit.circuit.solve -> authorkit.drawing"),
    ("units/say.py", "def f():\n    import authorkit.model", "authorkit.units.say -> authorkit.model"),
    ("facts/read.py", "import authorkit", "authorkit.facts.read -> authorkit"),
    ("checks/look.py", "import schemdraw.elements", "authorkit.checks.look -> schemdraw"),
    ("output/plot.py", "import matplotlib", "authorkit.output.plot -> matplotlib"),
    ("manual/set.py", "import typst", "authorkit.manual.set -> typst"),
    ("model/load.py", "import yaml", "authorkit.model.load -> yaml"),
    ("commands/__init__.py", "import nbformat", "authorkit.commands -> nbformat"),
]


def test_an_import_to_the_right_or_of_a_foreign_library_breaks_its_contract(tiny_package: Path) -> None:
    for file, code, _ in OFFENCES:
        (tiny_package / "authorkit" / file).write_text(code + "\n")
    result = run_contracts(tiny_package)
    assert result.returncode == 1
    for _, _, arrow in OFFENCES:
        assert re.search(rf"{re.escape(arrow)} \(l\.\d\)", result.stdout), f"{arrow}\n{result.stdout}"
    assert "0 kept" in result.stdout


def test_a_room_missing_from_the_contract_is_reported(tiny_package: Path) -> None:
    (tiny_package / "authorkit" / "utils").mkdir()
    (tiny_package / "authorkit" / "utils" / "__init__.py").touch()
    result = run_contracts(tiny_package)
    assert result.returncode != 0
    assert "authorkit.utils" in result.stdout + result.stderr


# Words


# Pieces are joined here so that this file can be searched like any other.
OUT_OF_PLACE = {
    "a package registry's address": (
        "pypi" + r"\.org",
        "python" + "hosted",
        "registry" + r"\.npmjs",
        "deb" + r"\.debian",
    ),
    "a path of one machine": ("/" + "work/", "/" + "tmp/", "/" + "root/", "/" + "home/" + r"\w"),
    "how the project was made": (
        "clau" + "de",
        "anth" + "ropic",
        "open" + "ai",
        "chat" + "gpt",
        "language" + " model",
        "sub-?" + "agent",
        "shared/" + "design",
        "DESIGN" + r"\.md",
        r"issue #" + r"\d",
    ),
}


def words_out_of_place(text: str) -> Iterator[tuple[int, str, str]]:
    """Line number, kind and match of every word that does not belong in the project."""
    for kind, patterns in OUT_OF_PLACE.items():
        for match in re.finditer("|".join(patterns), text, re.IGNORECASE):
            yield text.count("\n", 0, match.start()) + 1, kind, match.group()


def test_no_file_names_a_registry_a_machine_or_how_it_was_made(repo_root: Path, project_files: list[str]) -> None:
    found = []
    for name in project_files:
        content = (repo_root / name).read_bytes()
        if b"\0" not in content:
            hits = words_out_of_place(content.decode("utf-8", "replace"))
            found += [f"{name}:{line}: {word!r} is {kind}" for line, kind, word in hits]
    assert found == []


@pytest.mark.parametrize("kind", OUT_OF_PLACE)
def test_every_kind_of_word_out_of_place_is_found(kind: str) -> None:
    for pattern in OUT_OF_PLACE[kind]:
        sample = pattern.replace("\\.", ".").replace("?", "").replace(r"\w", "x").replace(r"\d", "7")
        hits = words_out_of_place(f"first\nsee {sample} there")
        assert [(line, found) for line, found, _ in hits] == [(2, kind)]


def test_no_test_is_skipped(repo_root: Path, python_files: list[str]) -> None:
    """A missing program must fail a test: a run that skipped it would say that all is well."""
    skips = re.compile(r"pytest\." + r"(skip|importorskip)\b|mark\." + r"skip")
    tests = [name for name in python_files if name.startswith("tests/")]
    assert [name for name in tests if skips.search((repo_root / name).read_text(encoding="utf-8"))] == []


# Sizes


def test_a_long_file_gives_its_reason(repo_root: Path, python_files: list[str]) -> None:
    lengths = {name: (repo_root / name).read_bytes().count(b"\n") for name in python_files}
    too_long = {name: lines for name, lines in lengths.items() if lines > MOST_LINES}
    assert {name: lines for name, lines in too_long.items() if name not in LONG_FILES} == {}
    assert LONG_FILES.keys() <= too_long.keys(), "a reason is kept for a file that is short by now"


def function_lengths(source: str) -> Iterator[tuple[str, int]]:
    """Each function's name and its lines without the docstring."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            body = node.body[1:] if ast.get_docstring(node) else node.body
            first = body[0].lineno if body else node.lineno
            yield node.name, (node.end_lineno or first) - first + 1


def test_no_function_of_the_package_is_longer_than_a_page(repo_root: Path, python_files: list[str]) -> None:
    package = [name for name in python_files if name.startswith("authorkit/")]
    found = [
        (file, function, lines)
        for file in package
        for function, lines in function_lengths((repo_root / file).read_text(encoding="utf-8"))
        if lines > MOST_FUNCTION_LINES
    ]
    assert found == []


def test_a_docstring_does_not_count_towards_a_functions_length() -> None:
    source = 'def f():\n    """One\n\n    two."""\n    a = 1\n    return a\n\n\ndef g(): pass\n'
    assert list(function_lengths(source)) == [("f", 2), ("g", 1)]
