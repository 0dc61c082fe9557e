"""What can be wrong, as the author knows it."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.manual.anchors import inside
from authorkit.manual.blocks import Block, Heading, Table, words
from authorkit.manual.scope import Scope
from authorkit.model.chapter import SECTIONS
from authorkit.problems import Problem


def suspects(scope: Scope) -> Iterator[Block | Problem]:
    """The table of suspects, with how often each happens and why."""
    yield Heading(2, SECTIONS["suspects"], inside(scope.code, "section", "suspects"))
    known = scope.chapter.suspects
    if not known:
        return
    limited = any(scope.series_words(suspect.series) for suspect in known)
    columns = ("Fault", "How often", "Why", *(("Series",) if limited else ()))
    rows = tuple(
        (
            words(f"{suspect.fault[:1].upper()}{suspect.fault[1:]}"),
            words(suspect.chance or "not rated"),
            scope.inlines(suspect.because or "no remark"),
            *((words(scope.series_words(suspect.series) or "all"),) if limited else ()),
        )
        for suspect in known
    )
    widths = (3.0, 1.2, 4.2, *((0.9,) if limited else ()))
    yield Table("Suspects", columns, rows, inside(scope.code, "table", "suspects"), widths=widths)
