"""The digest of the toolkit: another one whenever its results could differ."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from authorkit.store import toolkit_digest
from authorkit.store.toolkit import LIBRARIES

ROOT = Path(__file__).parents[2]
# Watching files and the like changes nothing in what is made of them.
_MAKES_NOTHING = {"watchfiles"}


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """A copy of the room that makes digests, in a small package of its own."""
    package = tmp_path / "authorkit"
    shutil.copytree(ROOT / "authorkit" / "store", package / "store", ignore=shutil.ignore_patterns("__pycache__"))
    (package / "__init__.py").touch()
    (package / "face.ttf").write_bytes(b"font")
    return package


def digest_of(package: Path) -> str:
    code = "from authorkit.store import toolkit_digest; print(toolkit_digest())"
    command = [sys.executable, "-P", "-c", f"import sys; sys.path.insert(0, {str(package.parent)!r}); {code}"]
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout


def test_every_library_the_package_needs_is_named() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    needed = {re.split(r"[^\w-]", entry)[0] for entry in project["dependencies"]}
    assert set(LIBRARIES) == needed - _MAKES_NOTHING


def test_a_changed_module_or_font_changes_it_and_compiled_files_do_not(copy: Path) -> None:
    seen = [digest_of(copy)]
    (copy / "__pycache__").mkdir(exist_ok=True)
    (copy / "__pycache__" / "x.cpython-311.pyc").write_bytes(b"compiled")
    assert digest_of(copy) == seen[0]
    (copy / "face.ttf").write_bytes(b"Font")
    seen.append(digest_of(copy))
    (copy / "new.py").touch()
    seen.append(digest_of(copy))
    assert len(set(seen)) == 3


def test_another_version_of_a_library_changes_it(monkeypatch: pytest.MonkeyPatch) -> None:
    before = toolkit_digest()
    monkeypatch.setattr("authorkit.store.toolkit.version", lambda name: "0.0.1")
    toolkit_digest.cache_clear()
    try:
        assert toolkit_digest() != before
    finally:
        monkeypatch.undo()
        toolkit_digest.cache_clear()
    assert toolkit_digest() == before
