"""A chapter's notebook as a Chapter."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import fields, replace
from typing import Any

from authorkit.facts.calls import write_out
from authorkit.facts.cell_figures import read_cell_figures
from authorkit.facts.node import Node, places
from authorkit.facts.notebook import Notebook
from authorkit.facts.prose import read_prose
from authorkit.facts.read_cell import read_one_cell
from authorkit.facts.read_vehicle import Shared
from authorkit.facts.schema.chapter import CHAPTER
from authorkit.facts.schema.reader import Reader
from authorkit.model.chapter import Chapter
from authorkit.model.wiring import Series, Wiring
from authorkit.problems import Problem


def read_chapter(notebook: Notebook, shared: Shared | None = None) -> tuple[Chapter | None, tuple[Problem, ...]]:
    """The chapter, without the facts that could not be read; None if its code cannot be read.

    `shared` is what the vehicle notebook declares. Where the chapter is limited to some of the series, so is every
    part of its wiring that names none itself.
    """
    shared = shared or Shared()
    node, problems = read_one_cell(notebook)
    if node is None:
        return None, problems
    reader = Reader([*problems], colours=shared.colours, states=_states(node))
    values = reader.read(CHAPTER, node)
    prose, found = read_prose(notebook, values["code"].text if values else "")
    reader.problems += found
    if values is None:
        return None, tuple(reader.problems)
    assert isinstance(node.value, dict)
    if not shared.series or set(shared.series) - set(values.get("series", ())):
        values["wiring"] = limited(values.get("wiring", Wiring()), values.get("series", ()))
    written = write_out(values.get("steps", ()), shared.procedures, reader)
    values["steps"], values["cautions"] = written.steps, written.cautions(values.get("cautions", ()))
    at = {**places(node), **written.places}
    figures, found = read_cell_figures(notebook)
    reader.problems += found
    place = node.value["code"].key
    chapter = Chapter(file=notebook.file, place=place, prose=prose, cell_figures=figures, places=at, **values)
    return chapter, tuple(reader.problems)


def limited(wiring: Wiring, series: Series) -> Wiring:
    """The wiring with everything that names no series limited to these."""
    if not series:
        return wiring
    return Wiring(**{each.name: tuple(_limited(getattr(wiring, each.name), series)) for each in fields(wiring)})


def _limited(items: Iterable[Any], series: Series) -> Iterable[Any]:
    return (item if item.series else replace(item, series=series) for item in items)


def _states(node: Node) -> dict[str, Node]:
    """The named states as they are written."""
    states = node.value.get("states") if isinstance(node.value, dict) else None
    return states.value if states is not None and isinstance(states.value, dict) else {}
