"""Which points of a circuit can carry voltage of class B: a sound upper bound by reach, not by solving."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterable, Iterator, Mapping

from authorkit.circuit.harness import INNER, book_wiring, device_points, with_inner_points_apart
from authorkit.model.book import Book
from authorkit.model.point import Point
from authorkit.model.voltage_limits import is_class_b
from authorkit.model.wiring import Wiring
from authorkit.units import Quantity

# Devices that keep their terminals apart, or whose inside is not told: voltage does not pass through them. Everything
# else counts as a path, whatever its resistance, because a fault may make it one.
_BARRIERS = frozenset({"converter", "isolation", "block", "read", "loop-source", "transceiver"})

# Devices that join their terminals without a voltage of their own when they are closed: packs joined by them stand in
# series, and their voltages add up.
CONDUCTORS = frozenset({"link", "switch", "selector", "contact", "contactor", "fuse"})

_SOURCES = frozenset({"pack", "battery"})


def class_b_points(wiring: Wiring) -> Mapping[Point, float]:
    """Each point that a class B source can reach, with the source's voltage in volts.

    Sources are feeds, batteries, packs and converter outputs whose nominal voltage with its tolerance exceeds the class
    limit (60 V d.c., 30 V a.c. r.m.s.; UN R100, ISO 6469); batteries that stand in series count with their sum. The
    reach follows wires and devices and stops at ground points and at devices that keep their sides apart.
    """
    wiring = with_inner_points_apart(wiring)
    paths = _paths(wiring)
    grounds = {ground.id for ground in wiring.grounds}
    reached: dict[Point, float] = {}
    for source, volts in sorted(_sources(wiring), key=lambda item: (-item[1], item[0])):
        queue = deque([source])
        while queue:
            point = queue.popleft()
            if point in reached or point.owner in grounds:
                continue
            reached[point] = volts
            queue.extend(paths[point])
    return {point: volts for point, volts in reached.items() if INNER not in point.owner}


def class_b_in(book: Book, series: str) -> Mapping[Point, float]:
    """The same for the whole book on one series: a source counts even where a chapter's own circuit leaves it out."""
    return class_b_points(book_wiring(book, series))


def _sources(wiring: Wiring) -> Iterator[tuple[Point, float]]:
    for feed in wiring.feeds:
        if feed.volts is not None and _exceeds(feed.volts, feed.current):
            yield Point(feed.id), feed.volts.high
    for device in wiring.devices:
        volts = device.values.get("volts")
        if device.kind == "converter" and isinstance(volts, Quantity) and _exceeds(volts, "d.c."):
            yield device.terminals[-1], volts.high
    yield from _batteries(wiring)


def _exceeds(volts: Quantity, current: str) -> bool:
    if current == "a.c.":
        return is_class_b(None, volts.high)
    return is_class_b(volts.high, None)


def _batteries(wiring: Wiring) -> Iterator[tuple[Point, float]]:
    """The terminals of batteries whose stack exceeds the limit, with the voltage across the whole stack."""
    nets = _nets(wiring)
    batteries = [device for device in wiring.devices if device.kind in _SOURCES]
    steps: dict[Point, list[tuple[Point, float]]] = defaultdict(list)
    for device in batteries:
        plus, minus = (nets.get(point, point) for point in device.terminals[:2])
        volts = device.values.get("volts")
        if isinstance(volts, Quantity) and plus != minus:
            steps[minus].append((plus, volts.high))
            steps[plus].append((minus, -volts.high))
    stacks = _stack_volts(steps)
    for device in batteries:
        for terminal in device.terminals[:2]:
            volts_across = stacks.get(nets.get(terminal, terminal), 0.0)
            if is_class_b(volts_across, None):
                yield terminal, volts_across


def _stack_volts(steps: Mapping[Point, list[tuple[Point, float]]]) -> dict[Point, float]:
    """For each net the voltage between the ends of the stack that it belongs to, in volts."""
    across: dict[Point, float] = {}
    for start in list(steps):
        if start in across:
            continue
        levels = {start: 0.0}
        queue = deque([start])
        while queue:
            here = queue.popleft()
            for there, volts in steps[here]:
                if there not in levels:
                    levels[there] = levels[here] + volts
                    queue.append(there)
        across.update(dict.fromkeys(levels, max(levels.values()) - min(levels.values())))
    return across


def _nets(wiring: Wiring) -> dict[Point, Point]:
    """Each point's net: what wires, ground and closed contacts join, named by one of its points."""
    joined: dict[Point, list[Point]] = defaultdict(list)
    for wire in wiring.wires:
        _join(joined, wire.ends)
    for device in wiring.devices:
        if device.kind in CONDUCTORS:
            _join(joined, device.terminals)
    _join(joined, [Point(ground.id) for ground in wiring.grounds])
    nets: dict[Point, Point] = {}
    for start in list(joined):
        queue = deque([start])
        while queue:
            point = queue.popleft()
            if point not in nets:
                nets[point] = start
                queue.extend(joined[point])
    return nets


def _paths(wiring: Wiring) -> Mapping[Point, list[Point]]:
    paths: dict[Point, list[Point]] = defaultdict(list)
    for wire in wiring.wires:
        _join(paths, wire.ends)
    for device in wiring.devices:
        if device.kind not in _BARRIERS:
            _join(paths, device_points(device))
    return paths


def _join(paths: dict[Point, list[Point]], points: Iterable[Point]) -> None:
    points = tuple(points)
    for point in points:
        paths[point].extend(other for other in points if other != point)
