"""From a notebook to the nodes of its facts: which cells hold them, and how many there must be."""

from __future__ import annotations

from authorkit.facts.node import Node
from authorkit.facts.notebook import MAGIC, Cell, Notebook, facts_text, nearly_facts
from authorkit.facts.yaml_lines import read_yaml, repeated_key
from authorkit.problems import Place, Problem

_WRITE_IT = f"Add a code cell whose first line is '{MAGIC}'."


def read_one_cell(notebook: Notebook) -> tuple[Node | None, tuple[Problem, ...]]:
    """The facts of a notebook that has one cell of them; the first one if there are more."""
    if not notebook.facts:
        return None, (facts_missing(notebook),)
    first, *others = notebook.facts
    node, problems = _read(first)
    return node, (*problems, *(_repeated(cell, first) for cell in others))


def read_all_cells(notebook: Notebook) -> tuple[Node | None, tuple[Problem, ...]]:
    """The facts of all cells as one mapping; a key that stands in two cells is a finding, the first one counts."""
    if not notebook.facts:
        return None, (facts_missing(notebook),)
    merged: dict[str, Node] = {}
    problems: list[Problem] = []
    tops = []
    for cell in notebook.facts:
        node, found = _read(cell)
        problems += found
        if node is None:
            continue
        tops.append(node)
        for name, child in node.value.items() if isinstance(node.value, dict) else ():
            if name in merged:
                problems.append(repeated_key(name, child.key, merged[name].key))
            merged.setdefault(name, child)
    if not tops:
        return None, tuple(problems)
    return tops[0]._replace(value=merged), tuple(problems)


def facts_missing(notebook: Notebook) -> Problem:
    """The finding for a notebook without facts; names a cell that was probably meant to hold them."""
    near = nearly_facts(notebook)
    suggestion, found = _WRITE_IT, None
    place = Place(notebook.file)
    if near is not None:
        cell, found = near
        place = cell.place(1)
        suggestion = f"Did you mean '{MAGIC}'?"
        if found == MAGIC and cell.kind != "code":
            found, suggestion = f"'{MAGIC}' in a {cell.kind} cell", "Change the type of the cell to Code."
    return Problem(
        "facts-cell-missing",
        f"The notebook '{notebook.file}' has no cell of facts.",
        place,
        found=found,
        expected=f"a code cell whose first line is '{MAGIC}'",
        suggestion=suggestion,
    )


def _read(cell: Cell) -> tuple[Node | None, tuple[Problem, ...]]:
    text, problems = facts_text(cell)
    node, found = read_yaml(text, cell.file, cell.number)
    if node is not None and not isinstance(node.value, dict):
        what = "a list" if isinstance(node.value, list) else "a single text"
        found = (*found, _no_mapping(what, node.place))
        node = None
    return node, (*problems, *found)


def _no_mapping(what: str, place: Place) -> Problem:
    return Problem(
        "value-malformed",
        f"The facts are {what}, expected 'key: value' lines.",
        place,
        found=what,
        expected="'key: value' lines",
        suggestion="Begin each line with a key, such as 'code: P0118'.",
    )


def _repeated(cell: Cell, first: Cell) -> Problem:
    return Problem(
        "facts-cell-repeated",
        f"The notebook has facts in cell {first.number} and in cell {cell.number}; only the first are read.",
        cell.place(1),
        found=f"facts in cells {first.number} and {cell.number}",
        expected="one cell of facts in a chapter",
        suggestion="Move the facts into one cell, or make a chapter of each code.",
        also=(first.place(1),),
    )
