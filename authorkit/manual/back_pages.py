"""The pages after the chapters: connectors, grounds, fuses, components, tools, terms, the list of codes."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.manual.anchors import listed_anchor, listed_code_anchor
from authorkit.manual.blocks import (
    Block,
    FactList,
    Figure,
    Heading,
    IndexMark,
    Inlines,
    Link,
    Page,
    Paragraph,
    Table,
    Text,
    words,
)
from authorkit.manual.faces import face_picture
from authorkit.manual.scope import Shared
from authorkit.model.point import Point
from authorkit.model.wiring import Connector
from authorkit.units import Quantity, show


def back_pages(shared: Shared) -> tuple[Page, ...]:
    """Every page that lists what several chapters share."""
    return (
        Page("codes", "List of codes", "codes", tuple(_codes(shared))),
        Page("connectors", "Connectors", "front", tuple(_connectors(shared))),
        Page("grounds-and-fuses", "Grounds and fuses", "front", (*_grounds(shared), *_fuses(shared))),
        Page("components", "Modules and components", "front", tuple(_parts(shared))),
        Page("tools-and-terms", "Tools and terms", "front", (*_tools(shared), *_terms(shared))),
        Page("index", "Index", "index"),
    )


def _codes(shared: Shared) -> Iterator[Block]:
    """Every code of the list and of the chapters, with its page or 'listed only'."""
    yield Paragraph(words("Codes with a chapter lead to it. The others are listed with their meaning only."))
    listed = {str(code.code): (code.title, code.set_by) for code in shared.book.vehicle.codes}
    written = {str(chapter.code): (chapter.title, chapter.set_by) for chapter in shared.book.chapters}
    everything = {**listed, **written}
    rows = []
    for code in sorted(everything):
        title, module = everything[code]
        first: Inlines = (Link(code, (Text(code),), page=True),) if code in written else words(code)
        rows.append((first, words(title), words(module), words("chapter" if code in written else "listed only")))
    anchors = tuple("" if code in written else listed_code_anchor(code) for code in sorted(everything))
    columns = ("Code", "Meaning", "Stored by", "In this manual")
    yield Table(
        "Codes of this vehicle", columns, tuple(rows), "table-codes", widths=(1.9, 5.0, 1.0, 1.2), row_anchors=anchors
    )


def _connectors(shared: Shared) -> Iterator[Block]:
    """Each connector: where it is, how it is reached, its face with all cavities that the book uses, its signals."""
    for name in sorted(shared.harness.connectors):
        connector = shared.harness.connector(name)
        if connector is None:
            continue
        yield Heading(2, _connector_title(connector, shared), listed_anchor("connector", name))
        facts = tuple(_connector_facts(connector))
        if facts:
            yield FactList(facts)
        used = _cavities_of(connector, shared)
        if connector.rows:
            face = face_picture(shared.store, connector, used, frozenset())
            yield Figure(f"{name}, {connector.view}", face.svg, "svg", face.alt, face.width_mm, face.height_mm)
        signals = tuple((words(cavity), words(signal)) for cavity, signal in used.items() if signal)
        if signals:
            yield Table(f"Signals at {name}", ("Cavity", "Signal at this end"), signals, widths=(1.0, 4.0))


def _connector_title(connector: Connector, shared: Shared) -> str:
    part = shared.harness.part(connector.part)
    if connector.in_line:
        return f"{connector.id}, in-line connector"
    return f"{connector.id}, at {connector.part} {part.name}" if part else connector.id


def _connector_facts(connector: Connector) -> Iterator[tuple[str, Inlines]]:
    if connector.location:
        yield "Location", words(connector.location)
    if connector.colour:
        yield "Colour", words(connector.colour)
    if connector.access is not None:
        yield "Time to reach it", words(show(connector.access))
    yield "Back-probing", words("possible" if connector.back_probe else "not possible: unplug it to measure")


def _cavities_of(connector: Connector, shared: Shared) -> dict[str, str]:
    used: dict[str, str] = {}
    for cavity in connector.cavities:
        point = Point(connector.id, cavity)
        uses = shared.harness.uses.get(point, ())
        if uses or point in shared.harness.wires:
            used[cavity] = next((use.signal for use in uses if use.signal), "")
    return used


def _grounds(shared: Shared) -> Iterator[Block]:
    yield Heading(2, "Grounds")
    rows, anchors = [], []
    for name in sorted(shared.harness.grounds):
        ground = shared.harness.grounds[name][0]
        torque = show(ground.torque) if ground.torque else "not stated"
        rows.append((words(name), words(ground.location), words(ground.bolt or "not stated"), words(torque)))
        anchors.append(listed_anchor("ground", name))
    columns = ("Ground", "Where it bolts on", "Bolt", "Torque")
    yield Table(
        "Ground points", columns, tuple(rows), "table-grounds", widths=(1.0, 4.0, 1.2, 1.2), row_anchors=tuple(anchors)
    )


def _fuses(shared: Shared) -> Iterator[Block]:
    yield Heading(2, "Fuses")
    rows, anchors = [], []
    for name in sorted(shared.harness.fuses, key=_natural):
        fuse = shared.harness.fuses[name][0]
        rating = fuse.values.get("rating")
        feed, load = (str(point) for point in fuse.terminals[:2])
        shown = show(rating) if isinstance(rating, Quantity) else ""
        rows.append((words(name), words(shown), words(fuse.part), words(feed), words(load)))
        anchors.append(listed_anchor("fuse", name))
    columns = ("Fuse", "Rating", "Fuse box", "Fed from", "Feeds")
    yield Table("Fuses", columns, tuple(rows), "table-fuses", row_anchors=tuple(anchors))


def _natural(name: str) -> tuple[str, int, str]:
    """F2 before F10."""
    digits = "".join(character for character in name if character.isdigit())
    return name.rstrip("0123456789"), int(digits or 0), name


def _parts(shared: Shared) -> Iterator[Block]:
    rows, anchors = [], []
    for name in sorted(shared.harness.parts):
        part = shared.harness.part(name)
        if part is None:
            continue
        duty = ", ".join(part.in_charge_of)
        rows.append((words(name), words(part.name), words(part.location or "not stated"), words(duty or part.kind)))
        anchors.append(listed_anchor("part", name))
        yield IndexMark("component", f"{name} {part.name}".strip())
    columns = ("Name", "What it is", "Where it is", "In charge of")
    yield Table(
        "Modules and components",
        columns,
        tuple(rows),
        "table-parts",
        widths=(0.8, 2.6, 3.0, 3.0),
        row_anchors=tuple(anchors),
    )


def _tools(shared: Shared) -> Iterator[Block]:
    yield Heading(2, "Tools and meters")
    tools = shared.book.vehicle.tools
    rows = tuple(
        (words(tool.name), words(tool.category or "not rated"), words(tool.note or "no remark")) for tool in tools
    )
    anchors = tuple(listed_anchor("tool", tool.id) for tool in tools)
    columns = ("Tool", "Rating (IEC 61010)", "Remark")
    yield Table("Tools and meters", columns, rows, "table-tools", widths=(2.6, 1.8, 4.0), row_anchors=anchors)


def _terms(shared: Shared) -> Iterator[Block]:
    yield Heading(2, "Terms")
    terms = sorted(shared.book.vehicle.terms, key=lambda term: term.word.lower())
    rows = tuple((words(term.word), words(term.meaning)) for term in terms)
    anchors = tuple(listed_anchor("term", term.word) for term in terms)
    yield Table(
        "Terms and abbreviations", ("Term", "Meaning"), rows, "table-terms", widths=(1.4, 6.0), row_anchors=anchors
    )
