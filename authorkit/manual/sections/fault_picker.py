"""The readings with each fault, for a reader at a screen to pick from."""

from __future__ import annotations

from authorkit.circuit.fault_words import thing_words
from authorkit.circuit.faults import Fault
from authorkit.circuit.measurement import inside
from authorkit.circuit.study import Question
from authorkit.manual.anchors import inside as inside_anchor
from authorkit.manual.blocks import FaultReadings
from authorkit.manual.computed import alike, questions_of, verdict, window_words
from authorkit.manual.scope import Scope

LABEL = "Show the readings with a fault"
_SETS = {
    "sets": "The code sets.",
    "may set": "The code may set.",
    "does not set": "The code does not set.",
    "not computed": "Whether the code sets is not computed.",
}
_BESIDE = {"outside": ", not healthy", "straddles": ", perhaps not healthy", "inside": "", "unknown": ", not healthy"}
_NO_READING = ("undetermined", "not converged", "chatter")


def fault_picker(scope: Scope, column: int) -> FaultReadings | None:
    """The picker over the column of computed readings; None where nothing is computed.

    A fault with which all series read the same stands once; the others come after, by series.
    """
    asked = [questions_of(scope, spec) for spec in scope.chapter.specs]
    rows: dict[tuple[str, ...], int] = {}
    groups: list[tuple[str, tuple[tuple[str, int], ...]]] = []
    lists = {
        series: tuple((thing_words(fault), fault.sentence, _row(fault, series, asked, scope)) for fault in faults)
        for series in scope.circuits
        if (faults := scope.study(series).faults) and any(series in questions for questions in asked)
    }
    common = set.intersection(*map(set, lists.values())) if lists else set()
    shared = tuple(told for told in next(iter(lists.values()), ()) if told in common)
    own = alike({series: tuple(each for each in told if each not in common) for series, told in lists.items()})
    for before, told in (("", shared), *((f"Series {', '.join(series)}: ", told) for series, told in own)):
        by_thing: dict[str, list[tuple[str, int]]] = {}
        for thing, sentence, cells in told:
            by_thing.setdefault(thing, []).append((sentence, rows.setdefault(cells, len(rows))))
        groups += [(before + thing, tuple(options)) for thing, options in by_thing.items()]
    if not groups:
        return None
    anchor = inside_anchor(scope.code, "table", "readings")
    return FaultReadings(LABEL, anchor, column, tuple(groups), tuple(rows))


def _row(fault: Fault, series: str, asked: list[dict[str, Question]], scope: Scope) -> tuple[str, ...]:
    """What each reading of the page comes to with a fault, and whether the code sets."""
    study, cells = scope.study(series), []
    for spec, questions in zip(scope.chapter.specs, asked, strict=True):
        reading = study.reading(questions[series], fault.id) if series in questions else None
        if reading is None:
            cells.append("not on this series" if questions and series not in questions else "not computed")
        elif reading.status in _NO_READING:
            cells.append("not computed")
        else:
            cells.append(window_words(reading, spec.reads) + _BESIDE[inside(reading, spec.reads)])
    return (*cells, _SETS[verdict(study, fault.id)])
