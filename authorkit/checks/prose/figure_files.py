"""The folder figures/: what lies in it, and what a name in the facts means there."""

from __future__ import annotations

from pathlib import Path, PurePosixPath

FIGURES = "figures"


def figure_files(folder: Path) -> tuple[str, ...]:
    """Every file below figures/ of a manual's folder, relative to figures/, sorted, without hidden ones."""
    root = folder / FIGURES
    files = (path.relative_to(root).as_posix() for path in root.rglob("*") if path.is_file())
    return tuple(sorted(file for file in files if not any(part.startswith(".") for part in file.split("/"))))


def normal(file: str) -> str | None:
    """A name below figures/ in one form; None if it leads out of that folder."""
    path = PurePosixPath(file)
    if path.is_absolute() or "\\" in file or (len(file) > 1 and file[1] == ":"):
        return None
    parts: list[str] = []
    for part in path.parts:
        if part != "..":
            parts.append(part)
        elif parts:
            parts.pop()
        else:
            return None
    return "/".join(parts) or None


def is_outside(folder: Path, file: str) -> bool:
    """Whether a name leads out of figures/, by dots, as a full path, or through a link of the file system."""
    name = normal(file)
    if name is None:
        return True
    root = (folder / FIGURES).resolve()
    try:
        return not (root / name).resolve().is_relative_to(root)
    except (OSError, ValueError, RuntimeError):
        # A name that no file can have, or a ring of links: such a file is missing.
        return False
