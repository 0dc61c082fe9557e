"""A folder of files that is either whole or not there: written aside, then swapped in."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path

# Every page carries this line; a folder whose index lacks it was not made here and is not replaced.
GENERATOR = '<meta name="generator" content="authorkit">'


def may_replace(target: Path) -> bool:
    """Whether nothing is lost if the folder is replaced: it is absent, empty, or an earlier manual."""
    if not target.exists():
        return True
    if not target.is_dir():
        return False
    index = target / "index.html"
    if index.is_file():
        with index.open("rb") as file:
            return GENERATOR.encode() in file.read(2000)
    return not any(target.iterdir())


def write_folder(target: Path, files: Mapping[str, bytes]) -> None:
    """Write all files (by relative path with forward slashes) into a new folder and put it in the target's place.

    Raises OSError if the disk refuses; the folder that stood there before is then still in place.
    """
    target = target.resolve()
    target.parent.mkdir(parents=True, exist_ok=True)
    aside = Path(tempfile.mkdtemp(prefix=f".{target.name}-", dir=target.parent))
    try:
        fresh = aside / "new"
        for name, content in files.items():
            path = fresh / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)
        _swap(fresh, target, aside / "old")
    finally:
        shutil.rmtree(aside, ignore_errors=True)


def _swap(fresh: Path, target: Path, old: Path) -> None:
    """Put `fresh` where `target` is; two renames, so a reader meets the old folder, none for an instant, or the new."""
    if not target.exists():
        fresh.rename(target)
        return
    target.rename(old)
    try:
        fresh.rename(target)
    except OSError:
        old.rename(target)
        raise
