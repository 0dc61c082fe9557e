"""The circuit: the drawing, then every wire with the name at both ends, then each ground down to its bolt."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache, partial

from authorkit.drawing import Picture, draw_circuit
from authorkit.drawing.store import Drawn
from authorkit.drawing.variants import draw_variants
from authorkit.manual.anchors import inside, listed_anchor
from authorkit.manual.blocks import Block, Code, Figure, Heading, IndexMark, Inlines, Link, Table, Text, words
from authorkit.manual.phrases import point_words
from authorkit.manual.scope import Scope
from authorkit.model.chapter import SECTIONS, CircuitPath
from authorkit.model.point import Point
from authorkit.model.wiring import Ground, Wire, Wiring, applies
from authorkit.problems import Problem
from authorkit.store import content
from authorkit.units import show


def circuit(scope: Scope) -> Iterator[Block | Problem]:
    """Heading, drawings, table of wires, table of grounds."""
    yield Heading(2, SECTIONS["circuit"], inside(scope.code, "section", "circuit"))
    yield from _marks(scope)
    yield from _figures(scope)
    yield from _paths(scope)
    yield from _wire_table(scope)
    yield from _ground_table(scope)


def _marks(scope: Scope) -> Iterator[IndexMark]:
    for name in sorted({wire.circuit for wire in _wires(scope)}):
        yield IndexMark("circuit", name)
    for part in sorted({(part.id, part.name) for circuit in scope.circuits.values() for part in circuit.parts}):
        yield IndexMark("component", f"{part[0]} {part[1]}".strip())
    for point in sorted({use.point for circuit in scope.circuits.values() for use in circuit.cavities}):
        yield IndexMark("connector", point.owner, point.cavity)
    for ground in _grounds(scope):
        yield IndexMark("ground", f"{ground.id} {ground.location}".strip())


def _figures(scope: Scope) -> Iterator[Block | Problem]:
    """One drawing for each circuit that differs, all in one layout; series with the same circuit share one."""
    groups = grouped(scope)
    wirings = tuple(wiring for _, wiring in groups)
    coloured = scope.book.recipe.wire_colours
    kind = "circuit-coloured" if coloured else "circuit"
    # Once for all, and only if one of them is not in the store.
    drawn = cache(partial(draw_variants, wirings, coloured=coloured))
    for position, (series, wiring) in enumerate(groups):
        where = f", Series {' and '.join(series)}" if len(scope.circuits) > 1 else ""
        facts = (wiring, wirings)
        pictures, problems = scope.shared.store.pictures(kind, facts, partial(_one_of, drawn, position))
        yield from (_at_chapter(problem, scope) for problem in problems)
        for number, picture in enumerate(pictures, start=1):
            part = f" ({number} of {len(pictures)})" if len(pictures) > 1 else ""
            name = "-".join(("circuit", *series, *((str(number),) if part else ())))
            yield Figure(
                f"Circuit of {scope.code}{where}{part}",
                picture.svg,
                "svg",
                picture.alt,
                picture.width_mm,
                picture.height_mm,
                inside(scope.code, "figure", name),
                picture.landscape,
            )


def _paths(scope: Scope) -> Iterator[Block | Problem]:
    """The same drawing once more for each path, with its wires in a heavy line, on each series where it holds."""
    for path in scope.chapter.paths:
        anchor = inside(scope.code, "figure", path.id)
        for series, wiring in grouped(scope):
            on = tuple(name for name in series if applies(path.series, name))
            if not on or not {wire.circuit for wire in wiring.wires} & set(path.circuits):
                continue
            where = f", Series {' and '.join(on)}" if len(scope.circuits) > 1 else ""
            for picture in _highlighted(path, wiring, scope):
                yield Figure(
                    f"{path.caption.rstrip('.')}{where}",
                    picture.svg,
                    "svg",
                    picture.alt,
                    picture.width_mm,
                    picture.height_mm,
                    anchor,
                    picture.landscape,
                )
                anchor = f"{anchor}-more"  # a reference leads to the first of several


def _highlighted(path: CircuitPath, wiring: Wiring, scope: Scope) -> list[Picture]:
    """The sheets that show any of the path. What could not be drawn was said of the whole circuit."""
    heavy = frozenset(path.circuits)
    draw = partial(draw_circuit, wiring, highlight=heavy)
    pictures, _ = scope.shared.store.pictures("path", (wiring, heavy), draw)
    return [picture for picture in pictures if b'class="strong-wire"' in picture.svg]


def _one_of(drawn: Callable[[], tuple[Drawn, ...]], position: int) -> Drawn:
    return drawn()[position]


def _at_chapter(problem: Problem, scope: Scope) -> Problem:
    """A drawing's finding without a place of its own is put at the chapter's circuit."""
    return problem if problem.place.file else replace(problem, place=scope.chapter.place_of("circuit"))


def grouped(scope: Scope) -> list[tuple[tuple[str, ...], Wiring]]:
    """The circuits of the page, each with the series that share it."""
    groups: list[tuple[tuple[str, ...], Wiring, object]] = []
    for series, wiring in scope.circuits.items():
        said = content(wiring, ("place", "series", "chain", "position"))
        for position, (names, first, known) in enumerate(groups):
            if known == said:
                groups[position] = ((*names, series), first, known)
                break
        else:
            groups.append(((series,), wiring, said))
    return [(names, wiring) for names, wiring, _ in groups]


def _wires(scope: Scope) -> list[Wire]:
    """Every wire section of any series, in the order of the drawing's facts."""
    return list(dict.fromkeys(wire for circuit in scope.circuits.values() for wire in circuit.wires))


def _wire_table(scope: Scope) -> Iterator[Block]:
    wires = _wires(scope)
    if not wires:
        return
    several = len(grouped(scope)) > 1
    columns = ("Circuit", "Colour", "Size", "From", "To", *(("Series",) if several else ()))
    rows = []
    for wire in wires:
        series = ", ".join(name for name, circuit in scope.circuits.items() if wire in circuit.wires)
        rows.append((*_wire_cells(wire, scope), *((words(series),) if several else ())))
    widths = (1.1, 1.1, 1.2, 3.2, 3.2, *((0.9,) if several else ()))
    caption = "Wires, with the signal name at each end"
    yield Table(caption, columns, tuple(rows), inside(scope.code, "table", "wires"), widths=widths)


def _wire_cells(wire: Wire, scope: Scope) -> tuple[Inlines, ...]:
    return (
        words(wire.circuit),
        words(str(wire.colour)),
        words(show(wire.size)),
        *(_end(end, scope) for end in wire.ends),
    )


def _end(point: Point, scope: Scope) -> Inlines:
    """An end of a wire: the cavity and its signal name, linked to where the connector or ground is described."""
    text = point_words(point, scope.harness, scope.chapter)
    if point.is_cavity:
        return (Link(listed_anchor("connector", point.owner), (Text(text),)),)
    if point.owner in scope.harness.grounds:
        return (Link(listed_anchor("ground", point.owner), (Text(text),)),)
    return (Text(f"splice {text}") if point.owner in scope.harness.splices else Code(text),)


def _grounds(scope: Scope) -> list[Ground]:
    return list({ground.id: ground for circuit in scope.circuits.values() for ground in circuit.grounds}.values())


def _ground_table(scope: Scope) -> Iterator[Block]:
    grounds = _grounds(scope)
    if not grounds:
        return
    rows = []
    for ground in grounds:
        arriving = sorted({_wire_end(wire, ground.id) for wire in _wires(scope) if Point(ground.id) in wire.ends})
        bolt = ", ".join(filter(None, (ground.bolt, show(ground.torque) if ground.torque else "")))
        rows.append((words(ground.id), words(ground.location), words(bolt or "not stated"), words(", ".join(arriving))))
    columns = ("Ground", "Where it bolts on", "Bolt, torque", "Wires that end here")
    yield Table("Grounds", columns, tuple(rows), inside(scope.code, "table", "grounds"), widths=(1.0, 3.4, 2.0, 3.0))


def _wire_end(wire: Wire, ground: str) -> str:
    """A wire that ends at a ground, as the circuit name and where it comes from."""
    other = next(end for end in wire.ends if end.owner != ground)
    return f"{wire.circuit} from {other}"
