"""What could be measured on a page: the tests the author has, and those any technician would think of."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from authorkit.model.chapter import Chapter
from authorkit.model.point import Point
from authorkit.model.procedure import Step, Test
from authorkit.model.specification import State
from authorkit.model.wiring import Connector, Wiring, applies

# Meters that a drafted step may use; what needs a sharper eye (a scope) or another person stays the author's choice.
_METERS = ("volts", "drop", "ohms", "insulation", "amps")


def candidates(chapter: Chapter, wiring: Wiring, series: str, high_voltage: bool) -> tuple[Step, ...]:
    """Steps with a state and a test each, none of them twice: the chapter's own first, then its specs, then usual ones.

    With `high_voltage` only those with the service disconnect open are left, and none is added.
    """
    found: dict[tuple[str, Test], Step] = {}
    for step in (*_written(chapter, series), *(() if high_voltage else _usual(chapter, wiring))):
        if step.state is None or step.test is None or not _is_reached(step, wiring):
            continue
        if step.state.disconnect == "open" or not high_voltage:
            found.setdefault((repr(_without_name(step.state)), step.test), step)
    return tuple(found.values())


def _without_name(state: State) -> tuple[object, ...]:
    return (state.key, state.unplugged, state.pulled, state.jumpers, state.settings, state.disconnect)


def _written(chapter: Chapter, series: str) -> Iterator[Step]:
    for step in chapter.steps:
        if applies(step.series, series) and step.test is not None and step.test.kind in _METERS:
            yield step
    for spec in chapter.specs:
        if applies(spec.series, series) and spec.instrument in _METERS:
            points = tuple(point for point in (spec.at, spec.to) if point is not None)
            yield _step(spec.state, Test(spec.instrument, points, side=spec.side), chapter)


def _step(state: State, test: Test, chapter: Chapter) -> Step:
    return Step("", do="", place=chapter.place, state=state, test=test)


def _usual(chapter: Chapter, wiring: Wiring) -> Iterator[Step]:
    """At each component: its plug off, every cavity against ground and against each other; then its wires."""
    ground = Point(wiring.grounds[0].id) if wiring.grounds else None
    parts = {part.id: part.kind for part in wiring.parts}
    plugs = [plug for plug in wiring.connectors if parts.get(plug.part) in ("component", "relay")]
    for plug in plugs:
        off = State("", chapter.place, key="on", unplugged=(plug.id,))
        wired = _wired(plug, wiring)
        if ground is not None:
            yield from (_step(off, Test("volts", (point, ground)), chapter) for point in wired)
        for pair in combinations(wired, 2):
            yield _step(off, Test("volts", pair, side="harness"), chapter)
        yield from _wires(plug, chapter, wiring, ground)


def _wires(plug: Connector, chapter: Chapter, wiring: Wiring, ground: Point | None) -> Iterator[Step]:
    """Each wire of a plug: along it with both ends off, and one end against ground."""
    for point in _wired(plug, wiring):
        for end in _far_ends(point, wiring):
            off = State("", chapter.place, key="off", unplugged=(plug.id, end.owner))
            yield _step(off, Test("ohms", (point, end)), chapter)
            if ground is not None:
                yield _step(off, Test("ohms", (point, ground)), chapter)
        if ground is not None:
            off = State("", chapter.place, key="off", unplugged=(plug.id,))
            yield _step(off, Test("ohms", (point, ground)), chapter)


def _wired(plug: Connector, wiring: Wiring) -> tuple[Point, ...]:
    ends = {end for wire in wiring.wires for end in wire.ends if end.owner == plug.id}
    return tuple(sorted(ends, key=str))


def _far_ends(start: Point, wiring: Wiring) -> list[Point]:
    """The cavities of parts at the other ends of a wire, through splices and in-line connectors."""
    in_line = {connector.id for connector in wiring.connectors if connector.in_line}
    splices = {splice.id for splice in wiring.splices}
    plugs = {connector.id for connector in wiring.connectors if connector.part}
    seen, queue, found = {start}, [start], []
    while queue:
        point = queue.pop(0)
        for wire in wiring.wires:
            for end in wire.ends if point in wire.ends else ():
                if end not in seen:
                    seen.add(end)
                    found += [end] if end.owner in plugs and end.owner != start.owner else []
                    queue += [end] if end.owner in in_line or end.owner in splices else []
    return found


def _is_reached(step: Step, wiring: Wiring) -> bool:
    """Whether a hand can put the leads there, and the key position is one to work in."""
    assert step.state is not None
    assert step.test is not None
    plugs = {connector.id: connector for connector in wiring.connectors}
    splices = {splice.id for splice in wiring.splices}
    off = set(step.state.unplugged)
    for point in step.test.points:
        plug = plugs.get(point.owner)
        is_off = plug is not None and bool({plug.id, plug.part} & off)
        if point.owner in splices or (plug is not None and not plug.back_probe and not is_off):
            return step.state.disconnect == "open"
    return step.state.key in ("on", "off") and not _is_hot(step.state)


def _is_hot(state: State) -> bool:
    """Whether a state wants something warmed up or turning, which takes half an hour or a second person."""
    return any(word.endswith("Hz") or (word.endswith("°C") and word != "20 °C") for _, word in state.settings)
