"""What hangs on a point by wires alone."""

from __future__ import annotations

from collections import deque

from authorkit.model.point import Point
from authorkit.model.wiring import Wiring


def reached_by_wire(start: Point, wiring: Wiring) -> list[Point]:
    """Every other point on the same wires, through splices and in-line connectors; ground points end the way."""
    grounds = {ground.id for ground in wiring.grounds}
    seen: dict[Point, None] = {start: None}
    queue = deque([start])
    while queue:
        point = queue.popleft()
        if point.owner in grounds:
            continue
        for wire in wiring.wires:
            if point in wire.ends:
                for end in wire.ends:
                    if end not in seen:
                        seen[end] = None
                        queue.append(end)
    return [point for point in seen if point != start]
