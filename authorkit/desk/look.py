"""A facts cell as the desk sees it: what the book becomes with it, and every finding that concerns it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path

from authorkit.checks.run import Findings, check_notebook
from authorkit.circuit.study import Store, Studies
from authorkit.desk.book_state import BookState, with_cell
from authorkit.desk.located import Located
from authorkit.desk.mend import Mended, mended, with_code
from authorkit.facts.read_chapter import read_chapter
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.model.trouble_code import CodeError, parse_trouble_code
from authorkit.problems import Place, Problem


@dataclass(frozen=True)
class Look:
    """What running a facts cell found out.

    `book` holds what can be shown, None if nothing can. `chapter` is the cell's chapter, None in the vehicle notebook.
    `left_out` names lines that could not be read ('lines 12 to 20'). `findings` are those of the cell's notebook and
    of others that speak of it. `is_whole` says that the rules were run: they are not where a part cannot be read.
    `studies` hold what is computed of the chapter.
    """

    located: Located
    book: Book | None
    chapter: Chapter | None
    findings: Findings
    left_out: str = ""
    is_whole: bool = True
    studies: Studies | None = None

    @property
    def here(self) -> tuple[Problem, ...]:
        """The open findings in the cell itself."""
        return tuple(problem for problem in self.findings.open if self._is_here(problem.place))

    @property
    def elsewhere(self) -> tuple[Problem, ...]:
        """The open findings in other cells and notebooks."""
        return tuple(problem for problem in self.findings.open if not self._is_here(problem.place))

    def _is_here(self, place: Place) -> bool:
        return place.file == self.located.file and place.cell in (0, self.located.cell.number)


def look(state: BookState, located: Located, store: Store | None = None) -> Look:
    """Read the book with the cell in it and check it; `store` keeps what is computed. No typed text makes it raise."""
    book, reading = state.book(located.notebook)
    part = mended(located.cell)
    chapter = _chapter(book, located.file)
    is_whole = part is not None and not part.left_out
    if is_whole and book is not None and (located.is_vehicle or chapter is not None):
        studies = _studies(book, chapter, store)
        findings = _touching(check_notebook(book, chapter, reading, studies), located)
        return Look(located, book, chapter, findings, studies=studies)
    findings = _touching(Findings(reading, ()), located)
    if part is None:
        return Look(located, None, None, findings, is_whole=False)
    return replace(_partial(state, located, part, store), findings=findings)


def _studies(book: Book, chapter: Chapter | None, store: Store | None) -> Studies | None:
    """What is computed of one chapter, each when it is asked for."""
    return Studies(replace(book, chapters=(chapter,)), store) if chapter else None


def _partial(state: BookState, located: Located, part: Mended, store: Store | None) -> Look:
    """The look at a cell of which only a part can be read, without findings."""
    number, source = located.cell.number, part.source
    notebook = with_cell(located.notebook, number, source)
    if not located.is_vehicle and read_chapter(notebook)[0] is None:
        notebook = with_cell(notebook, number, with_code(source, _usual_code(located.file)))
    book, _ = state.book(notebook)
    chapter = _chapter(book, located.file)
    studies = _studies(book, chapter, store) if book else None
    return Look(located, book, chapter, Findings((), ()), part.words, is_whole=False, studies=studies)


def _usual_code(file: str) -> str:
    """The code that the name of the file gives, or one to go on with."""
    try:
        return str(parse_trouble_code(Path(file).stem))
    except CodeError:
        return "P0001"


def _chapter(book: Book | None, file: str) -> Chapter | None:
    return next((chapter for chapter in book.chapters if chapter.file == file), None) if book else None


def _touching(findings: Findings, located: Located) -> Findings:
    """Only the findings that stand in the cell's notebook or speak of it; for the vehicle notebook, all of them."""
    if located.is_vehicle:
        return findings
    accepted = tuple(item for item in findings.accepted if item.problem.place.file == located.file)
    return Findings(tuple(_about(findings.open, located.file)), accepted)


def _about(problems: Iterable[Problem], file: str) -> Iterable[Problem]:
    return (problem for problem in problems if file in (problem.place.file, *(place.file for place in problem.also)))


def joined(seen: Look, problems: Iterable[Problem]) -> Look:
    """The look with further findings about the cell's notebook, each once."""
    more = [problem for problem in _about(problems, seen.located.file) if problem not in seen.findings.open]
    found = tuple(sorted({*seen.findings.open, *more}, key=lambda problem: problem.sort_key))
    return replace(seen, findings=replace(seen.findings, open=found))
