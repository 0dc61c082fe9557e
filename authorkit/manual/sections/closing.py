"""After the repair, and the codes that belong together."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.manual.anchors import inside
from authorkit.manual.blocks import Block, BulletList, Heading, Inline, Inlines, Paragraph, Table, Text, words
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
    """Codes that the author names as related, with their titles and pages; and what sets several codes at once."""
    if not scope.chapter.related and not scope.together:
        return
    yield Heading(2, SECTIONS["related"], inside(scope.code, "section", "related"))
    rows = tuple(_row(code, scope) for code in scope.chapter.related)
    if rows:
        yield Table("Related codes", ("Code", "Title"), rows, inside(scope.code, "table", "related"), widths=(1.6, 6.0))
    if scope.together:
        anchor = inside(scope.code, "table", "together")
        columns = ("If these come as well", "Go there first", *(("Series",) if len(scope.circuits) > 1 else ()))
        widths = (2.4, 5.2, *((0.8,) if len(scope.circuits) > 1 else ()))
        yield Table("Codes that one fault sets together", columns, tuple(_together(scope)), anchor, widths=widths)


def _together(scope: Scope) -> Iterator[tuple[Inlines, ...]]:
    """For each pattern the other codes, and the things of which a fault sets them all."""
    for pattern in scope.together:
        others = [code for code in pattern.codes if code != scope.code]
        links: list[Inline] = []
        for number, code in enumerate(others):
            name = scope.shared.names.find("code", code, scope.chapter)
            links += [Text(", ")] if number else []
            links.append(link_to(name) if name else Text(code))
        things: dict[str, dict[str, None]] = {}
        for fault in pattern.faults:
            if fault.series in scope.circuits:
                things.setdefault(fault.thing, {})[fault.series] = None
        for series in {tuple(held): None for held in things.values()}:
            named = ", ".join(thing for thing, held in things.items() if tuple(held) == series)
            last = "all" if len(series) == len(scope.circuits) else ", ".join(series)
            yield tuple(links), words(named), *((words(last),) if len(scope.circuits) > 1 else ())


def _row(code: str, scope: Scope) -> tuple[Inlines, ...]:
    name = scope.shared.names.find("code", code, scope.chapter)
    first = (link_to(name) if name else Text(code),)
    return first, words(scope.shared.names.listed_code(code) or "not in the code list")
