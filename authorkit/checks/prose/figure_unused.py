"""A file below figures/ that no notebook uses."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import PurePosixPath
from urllib.parse import unquote

from authorkit.checks.nearest import nearest
from authorkit.checks.prose.figure_files import FIGURES, figure_files, normal
from authorkit.checks.prose.markdown_spots import spots
from authorkit.checks.subject import Subject
from authorkit.problems import Place, Problem

RULE = "figure-unused"

# Words about the files, not pictures.
_NOTES = ("readme", "licence", "license")


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such file, at the file itself."""
    files = figure_files(subject.book.folder)
    used = {*_used(subject), *_in_code(subject, files)}
    lost = sorted(used - set(files))
    for file in files:
        if file not in used and not PurePosixPath(file).name.lower().startswith(_NOTES):
            yield Problem(
                RULE,
                f"No notebook uses the file '{file}'.",
                Place(f"{FIGURES}/{file}"),
                found=file,
                expected="a figure, a capture or a link that names it",
                suggestion=nearest(file, lost, "Name it under 'figures' or as a 'capture', or delete it."),
            )


def _in_code(subject: Subject, files: Iterable[str]) -> Iterator[str]:
    """The files that the code of a figure cell names."""
    code = "\n".join(figure.code for chapter in subject.book.chapters for figure in chapter.cell_figures)
    return (file for file in files if f"{FIGURES}/{file}" in code)


def _used(subject: Subject) -> Iterator[str]:
    for chapter in subject.book.chapters:
        names = [figure.file for figure in chapter.figures]
        names += [waveform.capture for waveform in chapter.waveforms if waveform.capture]
        yield from (name for file in names if (name := normal(file)))
    for passage in subject.passages:
        for spot in spots(passage):
            depth = len(PurePosixPath(passage.place.file).parent.parts)
            base = "../" * depth + f"{FIGURES}/"
            target = unquote(spot.target.partition("#")[0])
            if target.startswith(base) and (name := normal(target.removeprefix(base))):
                yield name
