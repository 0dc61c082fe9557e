"""For the instructor: where each fault ends by the procedure, and what it cannot tell apart."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from authorkit.diagnosis.report import EndRow, names_in_words
from authorkit.manual.anchors import inside
from authorkit.manual.blocks import Block, Heading, Paragraph, Table, words
from authorkit.manual.scope import Scope
from authorkit.manual.told import SeriesProof
from authorkit.model.chapter import SECTIONS
from authorkit.problems import Problem


def proof(scope: Scope) -> Iterator[Block | Problem]:
    """What the walk of every single fault through the procedure has shown; nothing on a page without a procedure."""
    proofs = scope.told.proofs
    if not proofs:
        return
    yield Heading(2, SECTIONS["instructor"], inside(scope.code, "section", "instructor"))
    yield Paragraph(words(" ".join(_summary(scope.code, proofs))))
    several = len(proofs) > 1
    columns = ("Step", "Verdict", "Faults that end there", "Minutes", *(("Series",) if several else ()))
    rows = tuple(
        (
            words(row.step),
            words(names_in_words(row.verdict) or "none"),
            words("; ".join(row.faults) + (f" (wrong: {'; '.join(row.wrong)})" if row.verdict and row.wrong else "")),
            words(_minutes(row)),
            *((words(", ".join(series) if len(series) < len(proofs) else "all"),) if several else ()),
        )
        for row, series in _merged(proofs)
    )
    widths = (0.7, 2.0, 5.2, 1.0, *((0.8,) if several else ()))
    yield Table("Where each fault ends", columns, rows, inside(scope.code, "table", "proof"), widths=widths)
    yield Paragraph(words(_left(proofs)))


def _summary(code: str, proofs: Sequence[SeriesProof]) -> Iterator[str]:
    if all(each.is_computed for each in proofs):
        yield f"Every single fault of the circuit that can set {code} was walked through the procedure."
    else:
        yield (
            f"A set condition of {code} is told in words. The faults that this page speaks of and that a meter can "
            "show were walked through the procedure."
        )
    yield "The walk takes the tolerances of parts and meters into account; two faults at once are left out."
    for each in proofs:
        series = f"On series {each.series}" if each.series else "Here"
        counted = each.tally
        yield (
            f"{series}, {counted.proven} of {counted.faults} faults always end at a verdict that names them, after "
            f"{counted.minutes:.0f} min on average."
        )


def _merged(proofs: Sequence[SeriesProof]) -> list[tuple[EndRow, list[str]]]:
    """The rows of all series, equal ones once, in the order of the steps on the first series that has them."""
    found: dict[tuple[str, tuple[str, ...], tuple[str, ...]], tuple[EndRow, list[str]]] = {}
    for each in proofs:
        for row in each.rows:
            found.setdefault((row.step, row.verdict, row.faults), (row, []))[1].append(each.series)
    return list(found.values())


def _minutes(row: EndRow) -> str:
    low, high = (f"{value:.0f}" for value in row.minutes)
    return low if low == high else f"{low} to {high}"


def _left(proofs: Sequence[SeriesProof]) -> str:
    """The honest line on what stays together."""
    left = {names_in_words(each.names): each.step for proof in proofs for each in proof.undivided}
    if not left:
        return "The procedure tells all of these faults apart as far as one repair differs from another."
    listed = "; ".join(f"{names} (step {step})" for names, step in left.items())
    return f"The procedure does not tell apart: {listed}. The repair text of those steps shares out the rest."
