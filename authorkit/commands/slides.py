"""`authorkit slides CODE|CLASS`: a chapter, or the chapters of a class, as slides in one file."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from authorkit.commands import CLEAN, COULD_NOT_RUN, FINDINGS
from authorkit.commands.folder import Lines, add_folder_argument, manual_folder
from authorkit.desk.chapter_file import slides_file
from authorkit.desk.page_view import NoPageError, saved_chapters
from authorkit.facts.read_recipe import read_recipe
from authorkit.problems.closest import closest
from authorkit.problems.show import show_problem

_OUT = Path("build") / "out" / "slides"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The options of `slides`."""
    parser.add_argument("name", metavar="CODE|CLASS", help="a trouble code, or the name of a class of the recipe")
    add_folder_argument(parser)
    parser.add_argument("--output", metavar="FILE", type=Path, help="where to (default: build/out/slides/NAME.html)")


def run(options: argparse.Namespace) -> int:
    """Make the slides; 1 if findings stand in the way, 2 if there is no such code or class."""
    folder = manual_folder(options.manual)
    recipe, _ = read_recipe(folder)
    classes = dict(recipe.classes) if recipe else {}
    try:
        book, chapters, reading = saved_chapters(classes.get(options.name, (options.name,)), folder)
    except NoPageError as error:
        near = closest(options.name, classes)
        hint = f" There is a class '{near}'." if near else ""
        print(f"authorkit: {error}{hint}", file=sys.stderr)
        return COULD_NOT_RUN
    name = f"Class '{options.name}'" if options.name in classes else f"{chapters[0].code} {chapters[0].title}"
    made = slides_file(book, reading, chapters, name)
    for problem in made.problems:
        print(show_problem(problem, Lines(folder).line_of), file=sys.stderr)
    if made.text is None:
        print("No slides were made.", file=sys.stderr)
        return FINDINGS
    target = options.output or folder / _OUT / f"{options.name}.html"
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_text(made.text, encoding="utf-8", newline="\n")
    print(f"Slides: {target}")
    return CLEAN
