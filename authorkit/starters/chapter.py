"""A new chapter notebook from a kind of circuit, with names and cavities that are free in this book."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from string import Template

from authorkit.model.book import Book
from authorkit.model.point import Point
from authorkit.starters.additions import Additions
from authorkit.starters.bus import draw_bus
from authorkit.starters.cavities import NewBody, introduce, new_connector
from authorkit.starters.ground import module_cavities
from authorkit.starters.high_voltage import HighVoltageSide, high_voltage_side
from authorkit.starters.identity import Identity, Wish, identify, related_codes
from authorkit.starters.kinds import Kind, NewPlug
from authorkit.starters.notebook import notebook_text
from authorkit.starters.numbers import current_window
from authorkit.starters.partner import choose_partner, partner_values
from authorkit.starters.supply import take_fuses
from authorkit.starters.surroundings import Surroundings, surroundings_of
from authorkit.starters.template import cells_of, fill, quoted, read_template, scalar
from authorkit.starters.tools import listed, tools_for

# A charged 12 V battery at rest, where the vehicle notebook does not say it (common practice, from memory).
_BATTERY_VOLTS = 12.6


@dataclass(frozen=True)
class NewChapter:
    """A chapter that is not written yet: its file relative to the manual's folder, the notebook's text, what it is."""

    file: str
    text: str
    identity: Identity


def new_chapter(book: Book, wish: Wish) -> NewChapter:
    """Make the notebook of a chapter. Nothing is written. Raises StarterError."""
    identity = identify(book, wish)
    around = surroundings_of(book, identity.series)
    side = _side(around, identity, wish) if identity.kind.high_voltage else None
    if side is not None and identity.kind.poles_at_module and identity.module != side.part:
        identity = replace(identity, module=side.part)
    values = _values(around, identity, side)
    text = fill(read_template("kinds", f"{identity.kind.name}.md"), values, _conditions(identity, values))
    return NewChapter(f"chapters/{identity.code}.ipynb", notebook_text(cells_of(text)), identity)


def _side(around: Surroundings, identity: Identity, wish: Wish) -> HighVoltageSide:
    """The poles; at the chapter's module, if the kind asks for it and the author or the code list names one."""
    is_named = wish.module is not None or identity.is_listed
    return high_voltage_side(around, identity.module if identity.kind.poles_at_module and is_named else None)


def _conditions(identity: Identity, values: Mapping[str, str]) -> frozenset[str]:
    """The words that decide conditional lines of a template."""
    optional = {name for name in ("insulation", "milliohm", "scope") if values[f"{name}_tool"]}
    return identity.directions | optional


def _values(around: Surroundings, identity: Identity, side: HighVoltageSide | None) -> dict[str, str]:
    """Every placeholder of a template."""
    kind, module = identity.kind, identity.module
    additions = Additions()
    values = {name: around.names.numbered(letters) for name, letters in kind.parts.items()}
    values |= {name: around.names.circuit(letters) for name, letters in kind.circuits.items()}
    values |= _module_values(around, additions, identity, values)
    values |= _fuse_values(around, additions, kind)
    if side is not None:
        values |= _high_voltage_values(around, additions, identity, side)
        values |= _plug_values(around, additions, kind, values)
    values |= _head(around, identity) | _tools(around, kind) | _numbers(around, kind)
    return values | _blocks(additions, () if kind.bus else (module,), module)


def _module_values(
    around: Surroundings, additions: Additions, identity: Identity, parts: Mapping[str, str]
) -> dict[str, str]:
    """The module's cavities and its way to ground; for a bus, everything about the bus."""
    kind, module = identity.kind, identity.module
    if kind.bus:
        bus = draw_bus(around, additions, module)
        partner = choose_partner(around, bus, module, identity.title)
        return {"module": module} | partner_values(around, additions, bus, partner)
    found = module_cavities(around, additions, module, count=len(kind.cavities))
    points = dict(zip(kind.cavities, found.signals, strict=True))
    for name, point in points.items():
        additions.use(module, point, Template(kind.cavities[name]).substitute(parts))
    return {
        "module": module,
        "plug": found.signals[0].owner if found.signals else found.grounding.cavity.owner,
        "through": str(found.grounding.cavity),
        "through_wire": found.grounding.wire,
        "ground": found.grounding.ground,
        **{name: str(point) for name, point in points.items()},
    }


def _fuse_values(around: Surroundings, additions: Additions, kind: Kind) -> dict[str, str]:
    fused = take_fuses(around, additions, tuple(kind.fuses.values())) if kind.fuses else ()
    numbers = {name: each.fuse for name, each in zip(kind.fuses, fused, strict=True)}
    outputs = {f"{name}_output": str(each.output) for name, each in zip(kind.fuses, fused, strict=True)}
    feeds = {f"{name}_feed": each.feed for name, each in zip(kind.fuses, fused, strict=True)}
    return numbers | outputs | feeds


def _high_voltage_values(
    around: Surroundings, additions: Additions, identity: Identity, side: HighVoltageSide
) -> dict[str, str]:
    """The poles where the absence of voltage is proven, and the service disconnect."""
    for point in (side.plus, side.minus):
        additions.use(side.part, point, around.signal_at(point))
    hazard = "hazards: [high voltage]"
    if side.part != identity.module:
        introduce(around, additions, side.part)
        additions.about[side.part].append(hazard)
    return {
        "poles": side.part,
        "poles_plug": side.plus.owner,
        "plus": str(side.plus),
        "minus": str(side.minus),
        "disconnect": side.entry.disconnect,
        "module_hazards": hazard if side.part == identity.module else "",
    }


def _plug_values(around: Surroundings, additions: Additions, kind: Kind, values: Mapping[str, str]) -> dict[str, str]:
    """The connectors that the chapter adds to parts of the high-voltage circuit, and their cavities."""
    found: dict[str, str] = {}
    for plug in kind.plugs:
        points = _new_plug(around, additions, plug, values)
        found |= {f"new_{plug.part}_plug": points[0].owner}
        found |= {name: str(point) for name, point in zip(plug.cavities, points, strict=True)}
    return found


def _new_plug(
    around: Surroundings, additions: Additions, plug: NewPlug, values: Mapping[str, str]
) -> tuple[Point, ...]:
    part, count = values[plug.part], len(plug.cavities)
    row = " ".join(str(number) for number in range(1, count + 1))
    body = NewBody((row,), "OG", plug.location, "terminal side")
    points = new_connector(around, additions, part, count=count, new=body)
    for point, signal in zip(points, plug.cavities.values(), strict=True):
        additions.use(part, point, Template(signal).substitute(values))
    if plug.linked:
        additions.inside[part].append(f"{{link: [{points[0]}, {points[1]}], r: 10 mΩ}}")
    return points


def _head(around: Surroundings, identity: Identity) -> dict[str, str]:
    """What the page says about itself."""
    book, code = around.book, identity.code
    related = related_codes(book, identity)
    date = book.recipe.date or max((chapter.revision.date for chapter in book.chapters), default="")
    source = "meaning-source: TODO who says what this code means"
    return {
        "code": str(code),
        "title": identity.title,
        "quoted_title": quoted(identity.title),
        "system": scalar(identity.system),
        "series_line": f"series: [{', '.join(identity.series)}]" if identity.series else "",
        "meaning_source": source if code.owner == "manufacturer" else "",
        "date": f", date: {date}" if date else "",
        "related_line": f"related: [{', '.join(related)}]" if related else "",
    }


def _tools(around: Surroundings, kind: Kind) -> dict[str, str]:
    single = {f"{name}_tool": ", ".join(tools_for(around, [name])) for name in ("insulation", "milliohm", "scope")}
    return {
        "tools": listed(tools_for(around, kind.tools)),
        "proof_tools": listed(tools_for(around, ("proof", "gloves", "face"))),
        **single,
    }


def _numbers(around: Surroundings, kind: Kind) -> dict[str, str]:
    battery = around.book.vehicle.battery.base if around.book.vehicle.battery else _BATTERY_VOLTS
    return {"current": current_window(battery, *kind.load) if kind.load else "", "battery": f"{battery:g}"}


def _blocks(additions: Additions, written: tuple[str, ...], module: str) -> dict[str, str]:
    """The facts that stand in the template as whole blocks; parts that it writes itself are left out of them."""
    return {
        "module_connectors": additions.connectors_text(module),
        "module_inside": additions.inside_block(module),
        "more_parts": additions.parts_block(written),
        "bodies": additions.bodies_block(),
        "bodies_section": additions.section("connectors", additions.bodies_block()),
        "more_wires": additions.wires_block(),
        "splices_section": additions.splices_section(),
        "grounds_section": additions.grounds_section(),
        "pairs_line": additions.pairs_line(),
    }
