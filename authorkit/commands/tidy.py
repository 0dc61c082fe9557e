"""`authorkit tidy`: notebooks in canonical form, so that an edit is a small diff; cells keep their text."""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from authorkit.commands import CLEAN, COULD_NOT_RUN, FINDINGS
from authorkit.commands.folder import Lines, add_folder_argument, manual_folder
from authorkit.desk.save import NotSavedError, replace_text
from authorkit.facts.canonical import canonical, read_json, told, untidy_things
from authorkit.facts.read_book import VEHICLE_FILE, chapter_files
from authorkit.facts.read_text import read_text
from authorkit.problems.show import show_problem


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The options of `tidy`."""
    parser.add_argument("files", nargs="*", metavar="FILE", help="notebooks or folders (default: all of the manual)")
    add_folder_argument(parser)
    ways = parser.add_mutually_exclusive_group()
    ways.add_argument("--dry-run", action="store_true", help="only say what would be done")
    ways.add_argument("--check", action="store_true", help="only say what would be done; exit code 1 if it is anything")
    parser.add_argument("--keep-outputs", action="store_true", help="keep the stored outputs of code cells")


@dataclass(frozen=True)
class _Way:
    """Where the files are, and what may be done to them."""

    folder: Path
    keep_outputs: bool
    only_say: bool


def run(options: argparse.Namespace) -> int:
    """Put notebooks in order; 1 if one is damaged (or, with --check, untidy), 2 if one cannot be written."""
    folder = Path() if options.files else manual_folder(options.manual)
    way = _Way(folder, options.keep_outputs, options.dry_run or options.check)
    files = list(_named(options.files)) if options.files else [VEHICLE_FILE, *chapter_files(folder)]
    outcomes = Counter(_one(file, way) for file in files)
    print(_summary(outcomes, way))
    if outcomes["not saved"]:
        return COULD_NOT_RUN
    untidy = options.check and outcomes["untidy"]
    return FINDINGS if outcomes["damaged"] or untidy else CLEAN


def _named(names: list[str]) -> Iterator[str]:
    """The notebooks named, and those in the folders named, without hidden folders such as checkpoints."""
    for name in names:
        path = Path(name)
        if not path.is_dir():
            yield name
            continue
        below = (file for file in sorted(path.rglob("*.ipynb")) if file.is_file())
        yield from (str(file) for file in below if not any(p.startswith(".") for p in file.relative_to(path).parts))


def _one(file: str, way: _Way) -> str:
    """Put one notebook in order: 'tidy', 'untidy', 'damaged' or 'not saved'."""
    text, problems = read_text(way.folder, file)
    data = None
    if text is not None:
        data, problems = read_json(text, file)
    if data is None:
        for problem in problems:
            print(show_problem(problem, Lines(way.folder).line_of), file=sys.stderr)
        return "damaged"
    path = way.folder / file
    before, after = path.read_bytes(), canonical(data, keep_outputs=way.keep_outputs)
    if before == after.encode("utf-8"):
        return "tidy"
    print(f"{file}: {'would be tidied' if way.only_say else 'tidied'}: {_changes(data, way)}")
    if not way.only_say:
        try:
            replace_text(path, before, after)
        except NotSavedError as error:
            print(f"authorkit: {file} was left as it is: {error}.", file=sys.stderr)
            return "not saved"
    return "untidy"


def _changes(data: Mapping[str, Any], way: _Way) -> str:
    """'a stored output (2 times), an execution count', or the layout where nothing else differs."""
    return told(untidy_things(data, keep_outputs=way.keep_outputs)) or "the layout of the file"


def _summary(outcomes: Mapping[str, int], way: _Way) -> str:
    total = sum(outcomes.values())
    changed = f"{outcomes['untidy']} {'to tidy' if way.only_say else 'tidied'}"
    damaged = f", {outcomes['damaged']} damaged and left alone" if outcomes["damaged"] else ""
    kept = f", {outcomes['not saved']} not written" if outcomes["not saved"] else ""
    return f"{total} notebook{'' if total == 1 else 's'}: {changed}, {outcomes['tidy']} in order{damaged}{kept}"
