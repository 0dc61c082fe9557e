"""Blocks and findings as HTML for the output of a cell.

Jupyter strips style sheets, scripts and drawn-in SVG from notebooks that it does not trust, so that styles stand in the
elements and drawings are pictures with a data address, which are always shown.
"""

from __future__ import annotations

import base64
from collections.abc import Iterable, Iterator, Sequence

from authorkit.manual.blocks import Block, Figure, Heading, Inlines, Paragraph, Strong, Table, Text
from authorkit.output.html.markup import escape, tag
from authorkit.problems import Problem
from authorkit.problems.explain import explanation
from authorkit.problems.show import LineOf, excerpt, printable

_COLOURS = {"error": "#b3261e", "warning": "#8a5a00", "note": "#005387"}
_CELL = "border:1px solid #888;padding:2px 8px;text-align:left;vertical-align:top"
_MEDIA = {"svg": "image/svg+xml", "png": "image/png"}


def blocks_html(blocks: Iterable[Block]) -> str:
    """Headings, paragraphs, figures and tables, one below the other; other blocks have no place in a cell."""
    return "\n".join(filter(None, map(_block, blocks)))


def _block(block: Block) -> str:
    if isinstance(block, Heading):
        return tag("h4", escape(block.text), style="margin:0.9em 0 0.3em")
    if isinstance(block, Paragraph):
        return tag("p", _plain(block.children))
    if isinstance(block, Figure):
        return figure_html(block)
    return _table(block) if isinstance(block, Table) else ""


def figure_html(figure: Figure) -> str:
    """The figure in its true size on white paper, its caption below."""
    address = f"data:{_MEDIA[figure.media]};base64,{base64.b64encode(figure.data).decode()}"
    size = f"width:{figure.width_mm:.1f}mm;max-width:none;background:#fff;padding:2mm"
    caption = " ".join(filter(None, (figure.number, figure.caption)))
    return tag(
        "div",
        tag("img", src=address, alt=figure.alt, style=size),
        tag("div", escape(caption), style="font-size:90%;margin:0 0 1em"),
        style="overflow-x:auto",
    )


def _table(table: Table) -> str:
    head = tag("tr", *(tag("th", escape(name), style=f"{_CELL};font-weight:bold") for name in table.columns))
    rows = [tag("tr", *(tag("td", _plain(cell), style=_CELL) for cell in row)) for row in table.rows]
    caption = tag("caption", escape(table.caption), style="text-align:left;padding:2px 0;color:inherit")
    table_html = tag("table", caption, tag("thead", head), tag("tbody", *rows), style="border-collapse:collapse")
    return tag("div", table_html, style="overflow-x:auto;margin:0 0 1em")


def _plain(inlines: Inlines) -> str:
    pieces = []
    for inline in inlines:
        if isinstance(inline, Text):
            pieces.append(escape(inline.text))
        elif isinstance(inline, Strong):
            pieces.append(tag("strong", _plain(inline.children)))
    return "".join(pieces)


def problems_html(problems: Sequence[Problem], line_of: LineOf, *, with_file: bool) -> str:
    """Each finding with the author's line and a marker below the spot; what a rule means folds out."""
    return "\n".join(
        tag("div", *_finding(problem, line_of, with_file=with_file), style=_frame(problem)) for problem in problems
    )


def _frame(problem: Problem) -> str:
    return f"border-left:5px solid {_COLOURS[problem.severity]};padding:2px 0 2px 10px;margin:6px 0"


def _finding(problem: Problem, line_of: LineOf, *, with_file: bool) -> Iterator[str]:
    word = tag("strong", problem.severity.capitalize(), style=f"color:{_COLOURS[problem.severity]}")
    where = str(problem.place) if with_file else _line_words(problem)
    yield tag("div", f"{word} {escape(where)}: {escape(printable(problem.message))}")
    typed = line_of(problem.place)
    if typed is not None:
        yield _marked(typed, problem)
    if problem.suggestion:
        yield tag("div", tag("strong", "Suggestion:"), " ", escape(printable(problem.suggestion)))
    if problem.expected and not problem.suggestion:
        yield tag("div", tag("strong", "Expected:"), " ", escape(printable(problem.expected)))
    for place in problem.also:
        yield tag("div", f"See also {escape(str(place))}")
    about = tag("pre", escape(explanation(problem.rule)), style="white-space:pre-wrap;margin:4px 0")
    yield tag("details", tag("summary", escape(problem.rule), style="cursor:pointer;font-size:90%"), about)


def _line_words(problem: Problem) -> str:
    """'line 7, column 12': the cell is the one above."""
    numbers = {"line": problem.place.line, "column": problem.place.column}
    return ", ".join(f"{name} {number}" for name, number in numbers.items() if number) or "the cell"


def _marked(typed: str, problem: Problem) -> str:
    """The author's line with its number, and a marker under the column."""
    shown, column = excerpt(typed, problem.place.column)
    number = f"{problem.place.line:>4} | "
    column, length = _marker(shown, column, problem.found or "")
    marker = f"\n{' ' * (len(number) + column - 1)}{'^' * length}" if column else ""
    text = printable(f"{number}{shown.replace(chr(9), ' ')}{marker}")
    return tag("pre", escape(text), style="margin:2px 0;line-height:1.25;overflow-x:auto")


def _marker(shown: str, column: int, found: str) -> tuple[int, int]:
    """Column and length of the marker: under what was found if that stands there, or only once in the line."""
    if not column or not found:
        return column, 1
    if shown.startswith(found, column - 1):
        return column, len(found)
    return (shown.index(found) + 1, len(found)) if shown.count(found) == 1 else (column, 1)
