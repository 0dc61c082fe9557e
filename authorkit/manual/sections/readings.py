"""What an instrument must read, test point by test point, and what the circuit gives."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.circuit.measurement import Reading
from authorkit.manual.anchors import inside
from authorkit.manual.blocks import Block, Heading, Inlines, Paragraph, Strong, Table, Text, words
from authorkit.manual.computed import MARKS, questions_of, series_lines, window_words
from authorkit.manual.phrases import between_words, state_words
from authorkit.manual.scope import Scope
from authorkit.manual.sections.fault_picker import fault_picker
from authorkit.manual.sections.otherwise import otherwise
from authorkit.manual.sections.test_points import test_points
from authorkit.model.chapter import SECTIONS
from authorkit.model.specification import INSTRUMENTS, Spec
from authorkit.problems import Problem
from authorkit.units import show

COMPUTED = "Computed"


def readings(scope: Scope) -> Iterator[Block | Problem]:
    """The table of specifications, what each point of the circuit gives, and what another reading means."""
    specs = scope.chapter.specs
    if not specs:
        return
    yield Heading(2, SECTIONS["readings"], inside(scope.code, "section", "readings"))
    given = [_given(spec, scope) for spec in specs]
    table = _table(given, scope)
    picker = fault_picker(scope, table.columns.index(COMPUTED)) if COMPUTED in table.columns else None
    if picker is not None:
        yield picker
    yield table
    yield from _notes([reading for by_series in given for reading in by_series.values()])
    yield from otherwise(scope)
    yield from test_points(scope)


def _given(spec: Spec, scope: Scope) -> dict[str, Reading]:
    """What the sound circuit gives for a spec, by series."""
    found = {series: scope.study(series).reading(question) for series, question in questions_of(scope, spec).items()}
    return {series: reading for series, reading in found.items() if reading is not None}


def _table(given: list[dict[str, Reading]], scope: Scope) -> Table:
    specs = scope.chapter.specs
    limited = any(scope.series_words(spec.series) for spec in specs)
    cited = any(spec.source for spec in specs)
    computed = any(given)
    further = [name for name, there in ((COMPUTED, computed), ("Series", limited), ("Source", cited)) if there]
    rows = []
    for number, (spec, by_series) in enumerate(zip(specs, given, strict=True), start=1):
        beside = {
            COMPUTED: _computed(spec, by_series, scope),
            "Series": words(scope.series_words(spec.series) or "all"),
        }
        beside["Source"] = words(spec.source or "circuit")
        rows.append((*_row(number, spec, scope), *(beside[name] for name in further)))
    size = {COMPUTED: 2.0, "Series": 0.9, "Source": 1.3}
    widths = (0.6, 1.7, 3.6, 2.4, 2.0, *(size[name] for name in further))
    columns = ("No.", "Measure with", "Where", "State", "Must read", *further)
    anchor = inside(scope.code, "table", "readings")
    return Table("Expected readings, healthy", columns, tuple(rows), anchor, widths=widths)


def _row(number: int, spec: Spec, scope: Scope) -> tuple[Inlines, ...]:
    instrument = INSTRUMENTS[spec.instrument][0]
    return (
        words(str(number)),
        words(f"{instrument[:1].upper()}{instrument[1:]}"),
        words(between_words(spec.at, spec.to, scope.harness, scope.chapter, side=spec.side)),
        words(state_words(spec.state)),
        (Strong((Text(show(spec.reads)),)),),
    )


def _computed(spec: Spec, by_series: dict[str, Reading], scope: Scope) -> Inlines:
    told = {
        series: window_words(reading, spec.reads) + MARKS.get(reading.basis, ("", ""))[0]
        for series, reading in by_series.items()
    }
    return series_lines(told, told) if told else words("not computed")


def _notes(given: list[Reading]) -> Iterator[Block]:
    """How sure the computed limits are: what needs no sign, then each sign that the table holds."""
    bases = {reading.basis for reading in given} - {""}
    if not bases:
        return
    sentences = ["Computed from the circuit with its tolerances, the battery voltage and the accuracy of the meter."]
    if "guaranteed" in bases:
        sentences.append("Limits without a sign are guaranteed.")
    sentences += [
        f"{sign} {meaning[:1].upper()}{meaning[1:]}." for basis, (sign, meaning) in MARKS.items() if basis in bases
    ]
    yield Paragraph(words(" ".join(sentences)), "note")
