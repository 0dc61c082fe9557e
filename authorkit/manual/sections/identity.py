"""The heading band: which code, which series, who stores it, which revision of the page."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.manual.blocks import Block, FactList, IndexMark, Inlines, words
from authorkit.manual.scope import Scope
from authorkit.model.failure_type import failure_type_meaning
from authorkit.problems import Problem


def identity(scope: Scope) -> Iterator[Block | Problem]:
    """The facts under the title."""
    chapter = scope.chapter
    yield IndexMark("code", scope.code, chapter.title)
    rows: list[tuple[str, Inlines]] = [("Series", words(_series(scope))), ("Stored by", _module(scope))]
    if chapter.system:
        rows.append(("System", words(chapter.system)))
    rows.append(("Kind of code", words(_kind(scope))))
    if chapter.code.failure_type is not None:
        meaning = failure_type_meaning(chapter.code.failure_type)
        rows.append(
            ("Failure type", words(f"{chapter.code.failure_type:02X}: {meaning or 'not in the table of the standard'}"))
        )
    if chapter.lamp:
        rows.append(("Warning lamp", scope.inlines(chapter.lamp)))
    if chapter.fail_safe:
        rows.append(("While it is set", scope.inlines(chapter.fail_safe)))
    rows.append(("This page", words(_revision(scope))))
    yield FactList(tuple(rows), anchor=f"{scope.code}-identity")


def _series(scope: Scope) -> str:
    names = {series.id: series.name for series in scope.book.vehicle.series}
    return ", ".join(names[series] for series in scope.circuits)


def _module(scope: Scope) -> Inlines:
    part = scope.harness.part(scope.chapter.set_by)
    return words(f"{scope.chapter.set_by} {part.name}" if part else scope.chapter.set_by)


def _kind(scope: Scope) -> str:
    sentence = scope.chapter.code.owner_sentence
    source = scope.chapter.meaning_source
    return f"{sentence} Source of the meaning: {source}." if source else sentence


def _revision(scope: Scope) -> str:
    revision = scope.chapter.revision
    pieces = [
        f"Revision {revision.number}" if revision.number else "",
        revision.date,
        revision.author,
        f"verified: {revision.verified}" if revision.verified else "",
    ]
    return ", ".join(piece for piece in pieces if piece) or "not stated"
