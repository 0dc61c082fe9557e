"""One chapter as a page: the sections in the order in which a technician needs them."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from authorkit.manual.anchors import inside
from authorkit.manual.blocks import Block, Heading, Page
from authorkit.manual.markdown import render_markdown
from authorkit.manual.scope import Scope
from authorkit.manual.sections.cautions import cautions
from authorkit.manual.sections.cell_figures import cell_figure
from authorkit.manual.sections.closing import after_repair, related
from authorkit.manual.sections.conditions import sets
from authorkit.manual.sections.connectors import connectors
from authorkit.manual.sections.differences import circuit_with_differences
from authorkit.manual.sections.identity import identity
from authorkit.manual.sections.notes import pictures, placed_picture
from authorkit.manual.sections.proof import proof
from authorkit.manual.sections.readings import readings
from authorkit.manual.sections.step_chart import procedure_with_chart
from authorkit.manual.sections.suspects import suspects
from authorkit.manual.sections.waveforms import waveforms
from authorkit.model.chapter import SECTIONS, CellFigure, Prose
from authorkit.problems import Problem

Section = Callable[[Scope], Iterator[Block | Problem]]

# THE order of the page: the prose section (a key of SECTIONS) and the facts that stand in it. Prose comes right after
# the section's heading, except before the drawings and tables that it explains.
_ORDER: tuple[tuple[str, Section | None], ...] = (
    ("meaning", None),
    ("sets", sets),
    ("circuit", circuit_with_differences),
    ("connectors", connectors),
    ("readings", readings),
    ("waveforms", waveforms),
    ("suspects", suspects),
    ("procedure", procedure_with_chart),
    ("after", after_repair),
    ("related", related),
    ("notes", pictures),
    ("instructor", proof),
)


def chapter_page(scope: Scope) -> tuple[Page, tuple[Problem, ...]]:
    """The page of one chapter, and what could not be shown on it."""
    made = [*identity(scope), *cautions(scope)]
    for key, section in _ORDER:
        made += _section(key, section, scope)
    chapter = scope.chapter
    page = Page(
        anchor=scope.code,
        title=chapter.title,
        kind="chapter",
        blocks=tuple(item for item in made if not isinstance(item, Problem)),
        mark=scope.code,
        system=chapter.system,
        source=chapter.file,
    )
    return page, tuple(item for item in made if isinstance(item, Problem))


def _section(key: str, section: Section | None, scope: Scope) -> list[Block | Problem]:
    """A section's heading, then its prose, then its facts."""
    facts = list(section(scope)) if section else []
    prose = list(_prose(key, scope))
    headed = bool(facts) and isinstance(facts[0], Heading)
    if not facts and not prose:
        return []
    heading = facts[:1] if headed else [Heading(2, SECTIONS[key], inside(scope.code, "section", key))]
    return [*heading, *prose, *(facts[1:] if headed else facts)]


def _prose(key: str, scope: Scope) -> Iterator[Block | Problem]:
    def picture(source: str, _alt: str, _title: str) -> Block | None:
        return placed_picture(source, scope)

    chapter = scope.chapter
    pieces: list[Prose | CellFigure] = [piece for piece in chapter.prose if piece.section == key]
    pieces += [figure for figure in chapter.cell_figures if figure.section == key]
    for piece in sorted(pieces, key=lambda piece: (piece.place.cell, piece.place.line)):
        if isinstance(piece, CellFigure):
            yield from cell_figure(piece, scope)
            continue
        blocks, problems = render_markdown(piece.text, scope.resolve, piece.place, picture=picture)
        yield from blocks
        yield from problems
