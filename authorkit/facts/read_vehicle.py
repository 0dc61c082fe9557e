"""The vehicle notebook as a Vehicle, and what chapters need to know of it while they are read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from authorkit.facts.node import Node, places
from authorkit.facts.notebook import Notebook
from authorkit.facts.read_cell import read_all_cells
from authorkit.facts.schema.reader import Reader
from authorkit.facts.schema.shared_procedure import WrittenProcedure
from authorkit.facts.schema.vehicle import COLOURS_KEY, VEHICLE
from authorkit.model.vehicle import Vehicle
from authorkit.model.wire_colour import Colour
from authorkit.problems import Problem


@dataclass(frozen=True)
class Shared:
    """What the vehicle notebook declares for all chapters: own colour codes, series, procedures that steps call."""

    colours: Mapping[str, Colour] = field(default_factory=dict)
    series: tuple[str, ...] = ()
    procedures: Mapping[str, WrittenProcedure] = field(default_factory=dict)


def read_vehicle(notebook: Notebook) -> tuple[Vehicle | None, Shared, tuple[Problem, ...]]:
    """The vehicle, as far as it can be read; None if the notebook has no readable facts."""
    node, problems = read_all_cells(notebook)
    if node is None:
        return None, Shared(), problems
    reader = Reader([*problems], colours=_colours(node))
    values = reader.read(VEHICLE, node)
    if values is None:
        return None, Shared(), tuple(reader.problems)
    assert isinstance(node.value, dict)
    place = node.value["vehicle"].key if "vehicle" in node.value else node.place
    written: tuple[WrittenProcedure, ...] = values.pop("procedures", ())
    values["procedures"] = tuple(each.procedure for each in written)
    vehicle = Vehicle(file=notebook.file, place=place, places=places(node), **values)
    shared = Shared(reader.colours, vehicle.series_ids, {each.procedure.id: each for each in written})
    return vehicle, shared, tuple(reader.problems)


def _colours(node: Node) -> dict[str, Colour]:
    """The vehicle's own colours, read ahead of the wires that use them; their findings come with the rest."""
    written = node.value.get("colours") if isinstance(node.value, dict) else None
    colours = Reader().read(COLOURS_KEY.form, written) if written else None
    return {colour.code: colour for colour in colours or ()}
