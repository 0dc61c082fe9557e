"""Where the procedure of a chapter ends for each fault of its circuit, as a table for the author."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from authorkit.circuit.study import Studies
from authorkit.diagnosis.proof import Proof, prove
from authorkit.diagnosis.report import EndRow, end_rows, tally
from authorkit.manual.blocks import Block, Heading, Inlines, Paragraph, Strong, Table, Text, words
from authorkit.manual.scope import Scope
from authorkit.model.procedure import Step

_COLUMNS = ("Step", "Verdict", "Faults that end there", "Minutes")


def ending_blocks(scope: Scope, studies: Studies) -> Iterator[Block]:
    """A sentence that counts and a table, for each group of series on which both are the same."""
    groups: list[tuple[list[str], str, tuple[EndRow, ...], Proof]] = []
    for series in scope.circuits:
        proof = prove(scope.book, scope.chapter, studies.of(scope.chapter, series))
        if not proof.steps:
            continue
        said, rows = _count_words(proof), end_rows(proof)
        same = next((group for group in groups if group[1:3] == (said, rows)), None)
        if same is None:
            groups.append(([series], said, rows, proof))
        else:
            same[0].append(series)
    if groups:
        yield Heading(3, "Where the procedure ends for each fault")
    for names, said, rows, proof in groups:
        where = f"Series {' and '.join(names)}: " if len(groups) > 1 else ""
        yield Paragraph(words(f"{where}{said}"))
        if rows:
            yield Table("", _COLUMNS, tuple(_row(row, proof.steps) for row in rows))


def _count_words(proof: Proof) -> str:
    """'54 of 56 faults that can set the code end at the right verdict, after 9.5 minutes on average.'"""
    counted = tally(proof)
    if not counted.faults:
        return "No fault of this circuit can set the code, as far as it is computed."
    sentence = f"{counted.proven} of {counted.faults} faults that can set the code end at the right verdict"
    return f"{sentence}, after {counted.minutes:.0f} minutes on average."


def _row(row: EndRow, steps: Mapping[str, Step]) -> tuple[Inlines, ...]:
    """A last step with the faults that end there; those for which it is wrong come first and stand out."""
    step = steps[row.step]
    verdict = ", ".join(row.verdict) or step.end or "no verdict"
    low, high = row.minutes
    minutes = f"{low:.0f}" if round(low) == round(high) else f"{low:.0f} to {high:.0f}"
    return words(row.step), words(verdict), _faults(row), words(minutes)


def _faults(row: EndRow) -> Inlines:
    right = "; ".join(row.faults)
    if not row.wrong:
        return words(right)
    return (Strong((Text(f"Wrong for: {'; '.join(row.wrong)}."),)), Text(f" In all: {right}"))
