"""What is shown below a cell of the vehicle notebook: the faces of the connectors that it describes."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.circuit.harness import Harness, build_harness
from authorkit.desk.look import Look
from authorkit.drawing import beside
from authorkit.drawing.store import PictureStore
from authorkit.manual.blocks import Block, Figure, Heading
from authorkit.manual.faces import face_picture
from authorkit.model.wiring import Connector

_WIDTH_MM = 170.0


def vehicle_blocks(seen: Look, store: PictureStore) -> Iterator[Block]:
    """The faces of the connectors of this cell, with every cavity that the book uses."""
    if seen.book is None or not seen.located.is_vehicle:
        return
    harness = build_harness(seen.book)
    number = seen.located.cell.number
    bodies = [
        harness.whole_connectors[body.id]
        for body in seen.book.vehicle.wiring.connectors
        if body.place.cell == number and body.rows
    ]
    faces = [face_picture(store, body, _used(body, harness), frozenset()) for body in bodies]
    if faces:
        yield Heading(3, "Connectors of this cell; grey cavities are used")
    for sheet in beside(faces, _WIDTH_MM):
        yield Figure("", sheet.svg, "svg", sheet.alt, sheet.width_mm, sheet.height_mm)


def _used(body: Connector, harness: Harness) -> dict[str, str]:
    """The cavities that any wire or part of the book uses, with the signal name where there is one."""
    named = {point.cavity: uses[0].signal for point, uses in harness.uses.items() if point.owner == body.id}
    wired = {point.cavity: "" for point in harness.wires if point.owner == body.id and point.is_cavity}
    return {cavity: (wired | named)[cavity] for cavity in sorted(wired | named)}
