"""The faces of the connectors that the circuit passes through."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.drawing import beside
from authorkit.manual.anchors import inside
from authorkit.manual.blocks import Block, Figure, Heading
from authorkit.manual.faces import face_picture
from authorkit.manual.scope import Scope
from authorkit.model.chapter import SECTIONS
from authorkit.model.wiring import Connector
from authorkit.problems import Problem

# The width of the text on the narrowest page (US Letter with its margins), in millimetres.
_TEXT_WIDTH = 170.0


def connectors(scope: Scope) -> Iterator[Block | Problem]:
    """Every connector of the circuit that has a layout, side by side, with this circuit's cavities marked."""
    faces = [
        face_picture(scope.shared.store, connector, _used(connector, scope), _here(connector, scope))
        for connector in _drawable(scope)
    ]
    if not faces:
        return
    yield Heading(2, SECTIONS["connectors"], inside(scope.code, "section", "connectors"))
    sheets = beside(faces, _TEXT_WIDTH)
    for number, sheet in enumerate(sheets, start=1):
        part = f" ({number} of {len(sheets)})" if len(sheets) > 1 else ""
        yield Figure(
            f"Connectors of {scope.code}{part}. A bold frame marks a cavity of this circuit.",
            sheet.svg,
            "svg",
            sheet.alt,
            sheet.width_mm,
            sheet.height_mm,
            inside(scope.code, "figure", f"connectors-{number}"),
        )


def _drawable(scope: Scope) -> list[Connector]:
    """Each connector of any series once, by name."""
    found = {connector.id: connector for circuit in scope.circuits.values() for connector in circuit.connectors}
    return [connector for _, connector in sorted(found.items()) if connector.rows]


def _used(connector: Connector, scope: Scope) -> dict[str, str]:
    """Every cavity that anything in the book uses, with its signal name ('' for an in-line connector)."""
    used = {
        point.cavity: next((use.signal for use in uses if use.signal), "")
        for point, uses in scope.harness.uses.items()
        if point.owner == connector.id
    }
    for point in scope.harness.wires:
        if point.owner == connector.id and point.is_cavity:
            used.setdefault(point.cavity, "")
    return dict(sorted(used.items()))


def _here(connector: Connector, scope: Scope) -> frozenset[str]:
    """The cavities that this circuit uses."""
    ends = {end for circuit in scope.circuits.values() for wire in circuit.wires for end in wire.ends}
    ends |= {use.point for circuit in scope.circuits.values() for use in circuit.cavities}
    return frozenset(point.cavity for point in ends if point.owner == connector.id)
