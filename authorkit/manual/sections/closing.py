"""After the repair, and the codes that belong together."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.manual.anchors import inside
from authorkit.manual.blocks import Block, BulletList, Heading, Inlines, Paragraph, Table, Text, words
from authorkit.manual.scope import Scope, link_to
from authorkit.model.chapter import SECTIONS
from authorkit.problems import Problem


def after_repair(scope: Scope) -> Iterator[Block | Problem]:
    """What to do and to confirm once the fault is repaired."""
    yield Heading(2, SECTIONS["after"], inside(scope.code, "section", "after"))
    steps = tuple((Paragraph(scope.inlines(text)),) for text in scope.chapter.after_repair)
    if steps:
        yield BulletList(steps, ordered=True)


def related(scope: Scope) -> Iterator[Block | Problem]:
    """Codes that the author names as related, with their titles and pages."""
    if not scope.chapter.related:
        return
    yield Heading(2, SECTIONS["related"], inside(scope.code, "section", "related"))
    rows = tuple(_row(code, scope) for code in scope.chapter.related)
    yield Table("Related codes", ("Code", "Title"), rows, inside(scope.code, "table", "related"), widths=(1.6, 6.0))


def _row(code: str, scope: Scope) -> tuple[Inlines, ...]:
    name = scope.shared.names.find("code", code, scope.chapter)
    first = (link_to(name) if name else Text(code),)
    return first, words(scope.shared.names.listed_code(code) or "not in the code list")
