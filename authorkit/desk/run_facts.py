"""One run of a facts cell: findings and drawings first, then what takes longer."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from authorkit.circuit.study import Studies
from authorkit.desk.book_state import BookState
from authorkit.desk.endings import ending_blocks
from authorkit.desk.html import blocks_html, problems_html
from authorkit.desk.located import Origin, locate
from authorkit.desk.look import Look, joined, look
from authorkit.desk.preview import page_figures, reading_blocks, scope_for, shown_figures
from authorkit.desk.vehicle_preview import vehicle_blocks
from authorkit.drawing.store import PictureStore
from authorkit.manual.blocks import Block
from authorkit.output.findings.text import count_words
from authorkit.output.html.markup import escape, tag
from authorkit.problems import Place
from authorkit.problems.show import LineOf, show_problem
from authorkit.store import KeptFiles

# Where a build keeps its pictures, so that neither draws what the other has drawn.
_KEPT = "build/out/.cache/kept"
_MOST_ELSEWHERE = 12


@dataclass(frozen=True)
class Output:
    """A piece of a cell's output, for programs that show HTML and for those that show text."""

    html: str
    text: str

    def _repr_mimebundle_(self, **_: object) -> dict[str, str]:
        """IPython's hook."""
        return {"text/html": self.html, "text/plain": self.text}


def run_facts(state: BookState, source: str, origin: Origin) -> Iterator[Output]:
    """The pieces of output, each as soon as it is ready."""
    located = locate(state, source, origin)
    state.remember(located.notebook)
    kept = KeptFiles(state.folder / _KEPT)
    seen = look(state, located, kept)
    lines = _line_of(state, seen)
    store = PictureStore(kept)
    scope = scope_for(seen, store)
    if scope is None:
        yield _findings(seen, lines)
        yield from _pieces(lambda: vehicle_blocks(seen, store))
        return
    drawn = page_figures(scope)
    yield _findings(joined(seen, drawn.problems), lines)
    yield from _pieces(lambda: shown_figures(drawn.figures))
    studies = seen.studies or Studies(scope.book)
    yield from _pieces(lambda: reading_blocks(scope, studies))
    yield from _pieces(lambda: ending_blocks(scope, studies))


def _pieces(make: Callable[[], Iterator[Block]]) -> Iterator[Output]:
    blocks = tuple(make())
    if blocks:
        yield Output(blocks_html(blocks), "\n".join(filter(None, map(_words, blocks))))


def _words(block: Block) -> str:
    """A block as a line of text."""
    return str(getattr(block, "text", "") or getattr(block, "alt", "") or getattr(block, "caption", ""))


def _line_of(state: BookState, seen: Look) -> LineOf:
    """The author's line: as typed in the cell that is run, as saved elsewhere."""
    here = seen.located.cell
    lines = here.source.split("\n")

    def line_of(place: Place) -> str | None:
        if (place.file, place.cell) != (here.file, here.number):
            return state.line_of(place.file, place.cell, place.line)
        return lines[place.line - 1] if 0 < place.line <= len(lines) else None

    return line_of


def _findings(seen: Look, line_of: LineOf) -> Output:
    """The count, the findings in this cell, and those elsewhere."""
    here, elsewhere = seen.here, seen.elsewhere
    parts = [tag("div", tag("strong", escape(_summary(seen))))]
    parts.append(problems_html(here, line_of, with_file=False))
    if elsewhere:
        parts.append(tag("div", escape("In other cells and notebooks, as last saved:"), style="margin-top:8px"))
        parts.append(problems_html(elsewhere[:_MOST_ELSEWHERE], line_of, with_file=True))
    if len(elsewhere) > _MOST_ELSEWHERE:
        more = len(elsewhere) - _MOST_ELSEWHERE
        parts.append(tag("div", f"and {more} more; 'authorkit check' lists them all."))
    text = "\n".join([_summary(seen), *(show_problem(problem, line_of) for problem in (*here, *elsewhere))])
    return Output("\n".join(parts), text)


def _summary(seen: Look) -> str:
    """'chapters/P0118.ipynb: 1 error.' and what to know about what is shown."""
    words = f"{seen.located.file}: {count_words(seen.findings)}"
    if seen.left_out:
        words += f" Shown without {seen.left_out}, which cannot be read."
    elif seen.book is None:
        words += " Nothing can be shown until this is mended."
    elif not seen.is_whole:
        words += " Shown as far as it can be read; the rules are checked once it can be read as a whole."
    return words
