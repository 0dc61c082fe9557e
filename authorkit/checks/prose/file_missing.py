"""A file below figures/ that the facts name and that is not there: common to figures and captures."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path

from authorkit.checks.nearest import nearest
from authorkit.checks.prose.figure_files import FIGURES, is_outside, normal
from authorkit.problems import Place, Problem


def missing_file(rule: str, file: str, place: Place, found: tuple[Path, Collection[str]]) -> Problem | None:
    """The finding about a file, or None if it is there; `found` is the manual's folder and the files of figures/.

    Names are compared letter by letter, so that a manual that builds on one computer builds on all.
    """
    folder, files = found
    what = "picture" if rule == "figure-missing" else "capture"
    if is_outside(folder, file):
        return Problem(
            rule,
            f"The {what} '{file}' lies outside of {FIGURES}/.",
            place,
            found=file,
            expected=f"a file below {FIGURES}/, named from there",
            suggestion=f"Copy the file into {FIGURES}/ and write its name alone.",
        )
    if normal(file) in files:
        return None
    return Problem(
        rule,
        f"The {what} '{file}' is not in {FIGURES}/.",
        place,
        found=file,
        expected=f"a file below {FIGURES}/",
        suggestion=nearest(file, files, f"Save the file as {FIGURES}/{file}, or correct the name."),
    )
