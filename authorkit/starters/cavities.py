"""Finding cavities that nothing uses yet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from authorkit.model.point import Point
from authorkit.model.wiring import Connector
from authorkit.starters.additions import Additions
from authorkit.starters.surroundings import Surroundings
from authorkit.starters.template import scalar
from authorkit.units import as_typed

# The colour of high-voltage connectors and cables (UN R100, ISO 6469-3, seen in excerpts).
_ORANGE = "OG"


@dataclass(frozen=True)
class NewBody:
    """What a connector looks like that has to be added: its rows, colour and the words for its place."""

    rows: tuple[str, ...] = ("1-8", "9-16")
    colour: str = "BK"
    location: str = "TODO where this connector is"
    view: str = "wire side"

    def text(self) -> str:
        """The body as YAML on one line."""
        rows = ", ".join(f'"{row}"' for row in self.rows)
        probe = ", back-probe: no" if self.colour == _ORANGE else ""
        return (
            f"{{rows: [{rows}], view: {self.view}, colour: {self.colour}, location: {self.location}, "
            f"access: 5 min, key: top{probe}}}"
        )


def take_cavities(
    around: Surroundings, additions: Additions, part: str, *, count: int, new: NewBody | None = None
) -> tuple[Point, ...]:
    """The first `count` free cavities that one connector of a part has, in the order of its layout.

    Connectors of the high-voltage circuit and connectors without a layout are passed over. If none has enough, a new
    connector is added to the chapter.
    """
    for plug in around.connectors_of(part):
        free = free_cavities(around, plug)
        if len(free) >= count:
            return claim(around, additions, free[:count])
    return new_connector(around, additions, part, count=count, new=new or NewBody())


def new_connector(
    around: Surroundings, additions: Additions, part: str, *, count: int, new: NewBody
) -> tuple[Point, ...]:
    """The cavities 1 to `count` of a connector that the chapter adds to a part."""
    plug = around.names.connector(part)
    additions.bodies[plug] = new.text()
    introduce(around, additions, part)
    points = tuple(Point(plug, str(number)) for number in range(1, count + 1))
    around.taken.update(points)
    return points


def free_cavities(around: Surroundings, plug: str) -> list[Point]:
    """The cavities of a connector that nothing in the book uses; none of a high-voltage connector."""
    connector = around.harness.whole_connectors[plug]
    points = [Point(plug, cavity) for cavity in connector.cavities]
    if connector.colour == _ORANGE or any(point in around.class_b for point in points):
        return []
    return [point for point in points if point not in around.taken]


def claim(around: Surroundings, additions: Additions, points: Sequence[Point]) -> tuple[Point, ...]:
    """Take cavities of connectors that the book has.

    A chapter's circuit draws on the vehicle notebook only, so what just another chapter says of the connector and of
    its part is said again.
    """
    around.taken.update(points)
    for plug in dict.fromkeys(point.owner for point in points):
        restate_body(around, additions, plug)
        introduce(around, additions, around.harness.whole_connectors[plug].part)
    return tuple(points)


def introduce(around: Surroundings, additions: Additions, part: str) -> None:
    """Say again what a part is, unless the vehicle notebook says it or this chapter does already."""
    records = around.harness.parts.get(part, ())
    if not records or part in additions.about or any(around.is_shared(record) for record in records):
        return
    whole = around.harness.whole_parts[part]
    said = {"name": whole.name, "kind": whole.kind, "location": whole.location}
    additions.about[part] += [f"{key}: {scalar(value)}" for key, value in said.items() if value]


def restate_body(around: Surroundings, additions: Additions, plug: str) -> None:
    """Say again what a connector looks like, unless the vehicle notebook says it."""
    records = around.harness.connectors[plug]
    if not any(around.is_shared(record) and record.rows for record in records):
        additions.bodies[plug] = body_text(around.harness.whole_connectors[plug])


def body_text(connector: Connector) -> str:
    """A connector's body as YAML on one line."""
    rows = ", ".join('"' + " ".join(cavity or "_" for cavity in row) + '"' for row in connector.rows)
    said = {
        "rows": f"[{rows}]" if rows else "",
        "shape": connector.shape if connector.shape != "rectangular" else "",
        "view": connector.view,
        "colour": connector.colour,
        "location": scalar(connector.location) if connector.location else "",
        "access": as_typed(connector.access) if connector.access else "",
        "key": scalar(connector.key) if connector.key else "",
        "lock": scalar(connector.lock) if connector.lock else "",
        "large": f'["{" ".join(connector.large)}"]' if connector.large else "",
        "in-line": "yes" if connector.in_line else "",
        "sealed": "yes" if connector.sealed else "",
        "back-probe": "" if connector.back_probe else "no",
        "colour-change": f"[{', '.join(connector.colour_change)}]" if connector.colour_change else "",
    }
    return "{" + ", ".join(f"{key}: {value}" for key, value in said.items() if value) + "}"
