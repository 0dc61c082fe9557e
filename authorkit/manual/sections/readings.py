"""What an instrument must read, test point by test point."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.manual.anchors import inside
from authorkit.manual.blocks import Block, Heading, Inlines, Strong, Table, Text, words
from authorkit.manual.phrases import between_words, state_words
from authorkit.manual.scope import Scope
from authorkit.model.chapter import SECTIONS
from authorkit.model.specification import INSTRUMENTS, Spec
from authorkit.problems import Problem
from authorkit.units import show


def readings(scope: Scope) -> Iterator[Block | Problem]:
    """The table of specifications."""
    specs = scope.chapter.specs
    if not specs:
        return
    yield Heading(2, SECTIONS["readings"], inside(scope.code, "section", "readings"))
    limited = any(scope.series_words(spec.series) for spec in specs)
    cited = any(spec.source for spec in specs)
    further = (("Series",) if limited else ()) + (("Source",) if cited else ())
    columns = ("No.", "Measure with", "Where", "State", "Must read", *further)
    rows = tuple(_row(number, spec, scope, limited=limited, cited=cited) for number, spec in enumerate(specs, start=1))
    widths = (0.6, 1.7, 4.0, 2.6, 2.0, *((0.9,) if limited else ()), *((1.3,) if cited else ()))
    yield Table("Expected readings, healthy", columns, rows, inside(scope.code, "table", "readings"), widths=widths)


def _row(number: int, spec: Spec, scope: Scope, *, limited: bool, cited: bool) -> tuple[Inlines, ...]:
    instrument = INSTRUMENTS[spec.instrument][0]
    cells: list[Inlines] = [
        words(str(number)),
        words(f"{instrument[:1].upper()}{instrument[1:]}"),
        words(between_words(spec.at, spec.to, scope.harness, scope.chapter, side=spec.side)),
        words(state_words(spec.state)),
        (Strong((Text(show(spec.reads)),)),),
    ]
    if limited:
        cells.append(words(scope.series_words(spec.series) or "all"))
    if cited:
        cells.append(words(spec.source or "circuit"))
    return tuple(cells)
