"""The files of a new manual: a small vehicle, one worked chapter, a front page, the recipe."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

from authorkit.facts.read_book import VEHICLE_FILE
from authorkit.facts.read_recipe import RECIPE_FILE
from authorkit.starters.error import StarterError
from authorkit.starters.notebook import notebook_text, write_new
from authorkit.starters.template import cells_of, fill, quoted, read_template

EXAMPLE_NAME = "Example vehicle"

# File of the manual → template in 'first/'; '' is an empty file that keeps a folder in version control.
_FILES = {
    VEHICLE_FILE: "vehicle.md",
    "chapters/front-1-safety.ipynb": "front-1-safety.md",
    "chapters/P0118.ipynb": "P0118.md",
    "figures/.gitkeep": "",
    RECIPE_FILE: "manual.yaml",
}
_LONGEST_NAME = 80


def make_manual(folder: Path, name: str = EXAMPLE_NAME) -> tuple[Path, ...]:
    """Write a new manual into a folder that holds none; nothing is replaced, and a failure leaves nothing behind.

    Raises StarterError if something is in the way, OSError if the folder cannot be written.
    """
    texts = _texts(name)
    in_the_way = [file for file in (VEHICLE_FILE, RECIPE_FILE, *texts) if (folder / file).exists()]
    if in_the_way:
        what = "a manual" if in_the_way[0] in (VEHICLE_FILE, RECIPE_FILE) else "files of a manual"
        raise StarterError(f"There is {what} in {folder} already ({in_the_way[0]}); nothing was written.")
    if folder.exists() and not folder.is_dir():
        raise StarterError(f"{folder} is a file, and a manual needs a folder.")
    paths = tuple(folder / file for file in texts)
    folders = sorted({parent for path in paths for parent in path.parents if not parent.exists()})
    made: list[Path] = []
    try:
        for path, text in zip(paths, texts.values(), strict=True):
            path.parent.mkdir(parents=True, exist_ok=True)
            write_new(path, text)
            made.append(path)
    except BaseException:  # Ctrl-C as well
        _take_away(made, folders)
        raise
    return paths


def _texts(name: str) -> dict[str, str]:
    """What each file holds. Raises StarterError for a name that cannot stand on a title page."""
    name = name.strip()
    if not name or not name.isprintable() or len(name) > _LONGEST_NAME:
        raise StarterError(f"The name of the vehicle must be 1 to {_LONGEST_NAME} printable characters, not {name!r}.")
    values = {"name": name, "quoted_name": quoted(name), "quoted_title": quoted(f"{name}: diagnosis")}
    return {file: _text(template, values) for file, template in _FILES.items()}


def _text(template: str, values: dict[str, str]) -> str:
    if not template:
        return ""
    text = fill(read_template("first", template), values)
    return notebook_text(cells_of(text)) if template.endswith(".md") else text


def _take_away(made: list[Path], folders: list[Path]) -> None:
    """Undo a making that failed: the files that were written, and the folders that hold nothing else."""
    for path in made:
        path.unlink(missing_ok=True)
    for folder in reversed(folders):
        with suppress(OSError):
            folder.rmdir()
