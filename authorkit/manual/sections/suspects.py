"""What can be wrong, as the author knows it."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.circuit.suspects import meant
from authorkit.manual.anchors import inside
from authorkit.manual.blocks import Block, Heading, Table, words
from authorkit.manual.computed import verdict
from authorkit.manual.scope import Scope
from authorkit.model.chapter import SECTIONS
from authorkit.model.specification import Suspect
from authorkit.model.wiring import applies
from authorkit.problems import Problem


def suspects(scope: Scope) -> Iterator[Block | Problem]:
    """The table of suspects, with how often each happens and why."""
    yield Heading(2, SECTIONS["suspects"], inside(scope.code, "section", "suspects"))
    known = scope.chapter.suspects
    if not known:
        return
    limited = any(scope.series_words(suspect.series) for suspect in known)
    sets = [_sets(suspect, scope) for suspect in known]
    judged = any(told not in ("", NOT_KNOWN) for told in sets)
    columns = ("Fault", "How often", *(("Sets the code",) if judged else ()), "Why", *(("Series",) if limited else ()))
    rows = tuple(
        (
            words(f"{suspect.fault[:1].upper()}{suspect.fault[1:]}"),
            words(suspect.chance or "not rated"),
            *((words(told),) if judged else ()),
            scope.inlines(suspect.because or "no remark"),
            *((words(scope.series_words(suspect.series) or "all"),) if limited else ()),
        )
        for suspect, told in zip(known, sets, strict=True)
    )
    widths = (3.0, 1.2, *((1.2,) if judged else ()), 4.2, *((0.9,) if limited else ()))
    yield Table("Suspects", columns, rows, inside(scope.code, "table", "suspects"), widths=widths)


NOT_KNOWN = "not computed"
_WORDS = {"sets": "yes", "may set": "may", "does not set": "no"}


def _sets(suspect: Suspect, scope: Scope) -> str:
    """Whether the circuit sets the code with what the author names, on all series together.

    'may' stands also for what sets it in one place or on one series and not in another.
    """
    told = {
        _WORDS.get(verdict(study, fault.id), NOT_KNOWN)
        for series in scope.circuits
        if applies(suspect.series, series)
        for study in [scope.study(series)]
        for fault in meant(suspect.fault, study.faults)
    }
    return told.pop() if len(told) == 1 else "may" if told else NOT_KNOWN
