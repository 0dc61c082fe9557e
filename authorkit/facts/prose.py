"""Prose: Markdown cells split into the sections of a page."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from authorkit.facts.control_characters import without_control_characters
from authorkit.facts.notebook import Cell, Notebook
from authorkit.model.chapter import SECTIONS, Prose
from authorkit.problems import Place, Problem
from authorkit.problems.closest import closest

_HEADING = re.compile(r" {0,3}(#{1,6})[ \t]+(.*?)(?:[ \t]+#+)?[ \t]*")
_FENCE = re.compile(r" {0,3}(`{3,}|~{3,})")
_SECTION_OF = {heading.casefold(): section for section, heading in SECTIONS.items()}


@dataclass(frozen=True)
class _Line:
    """A line of a Markdown cell; `level` and `heading` are set where it is a heading outside of a code block."""

    number: int
    text: str
    level: int = 0
    heading: str = ""

    @property
    def section(self) -> str | None:
        """The section that this heading opens."""
        return _SECTION_OF.get(self.heading.casefold()) if 1 <= self.level <= 4 else None


def read_prose(notebook: Notebook, code: str) -> tuple[tuple[Prose, ...], tuple[Problem, ...]]:
    """The prose of a chapter, piece by piece; a section stays open until a heading opens another one.

    A level-1 heading that begins with the code is the title of the page, which the facts give, and is left out.
    """
    pieces: list[Prose] = []
    problems: list[Problem] = []
    section = "meaning"
    for cell in notebook.markdown:
        text, found = without_control_characters(cell.source, cell.place(1, 1))
        problems += found
        kept: list[_Line] = []
        for line in _lines(text):
            if line.section is not None:
                pieces += _piece(section, kept, cell)
                section, kept = line.section, []
            elif line.level == 1 and code and line.heading.upper().startswith(code):
                kept.append(replace(line, text=""))
            else:
                kept.append(line)
                problems += _misspelt(line, cell)
        pieces += _piece(section, kept, cell)
    return tuple(pieces), tuple(problems)


def open_sections(notebook: Notebook) -> Mapping[int, str]:
    """The section that is open at the end of each cell, by its number: where a figure that follows it belongs."""
    section, found = "meaning", {}
    for cell in notebook.cells:
        if cell.kind == "markdown":
            for line in _lines(cell.source):
                section = line.section or section
        found[cell.number] = section
    return found


def read_front(notebook: Notebook) -> tuple[str, Place, tuple[Prose, ...], tuple[Problem, ...]]:
    """The title of a front page (its first level-1 heading, '' if there is none), its place, and the text."""
    title, place = "", Place(notebook.file)
    pieces: list[Prose] = []
    problems: list[Problem] = []
    for cell in notebook.markdown:
        text, found = without_control_characters(cell.source, cell.place(1, 1))
        problems += found
        kept = []
        for line in _lines(text):
            if line.level == 1 and not title:
                title, place = line.heading, cell.place(line.number, 1)
                line = replace(line, text="")
            kept.append(line)
        pieces += _piece("", kept, cell)
    return title, place, tuple(pieces), tuple(problems)


def _lines(text: str) -> Iterator[_Line]:
    """Number and text of each line, with its heading unless it lies in a fenced code block."""
    fence = ""
    for number, line in enumerate(text.split("\n"), 1):
        mark = _FENCE.match(line)
        if mark and not fence:
            fence = mark.group(1)
        elif mark and line.strip().startswith(fence) and not line.strip().strip(fence[0]):
            fence = ""
        heading = None if mark or fence else _HEADING.fullmatch(line)
        plain = _Line(number, line)
        yield plain if heading is None else replace(plain, level=len(heading[1]), heading=heading[2])


def _piece(section: str, lines: list[_Line], cell: Cell) -> Iterator[Prose]:
    """The lines as one piece of prose, without empty lines around them; nothing if none is left."""
    filled = [index for index, line in enumerate(lines) if line.text.strip()]
    if filled:
        kept = lines[filled[0] : filled[-1] + 1]
        yield Prose(section, "\n".join(line.text for line in kept), cell.place(kept[0].number, 1))


def _misspelt(line: _Line, cell: Cell) -> Iterator[Problem]:
    """A level-2 heading that is almost the heading of a section."""
    near = closest(line.heading, SECTIONS.values(), cutoff=0.8) if line.level == 2 else None
    if near:
        yield Problem(
            "prose-section-unknown",
            f"The heading '{line.heading}' opens no section of the page; the text stays in the section above.",
            cell.place(line.number, line.text.index(line.heading) + 1),
            found=line.heading,
            expected="a heading of a section, or a heading of level 3 inside one",
            suggestion=f"Did you mean '{near}'?",
        )
