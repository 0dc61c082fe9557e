"""The words of the book that may stand at a spot: names, codes, points, circuits, colours, states."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from authorkit.circuit.harness import Harness, build_harness
from authorkit.circuit.names import Names
from authorkit.desk.cursor import Spot
from authorkit.desk.slot import Slot
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.model.point import Point
from authorkit.model.wire_colour import COLOURS
from authorkit.model.wiring import Wiring
from authorkit.problems import RULES
from authorkit.units import show_plain


@dataclass(frozen=True)
class Offer:
    """One word: what is inserted, and in two or three words what it is ('ECT SIG', 'module', 'free')."""

    text: str
    about: str


@dataclass(frozen=True)
class Around:
    """What the words depend on: the book with the cell in it, the chapter that is written, the spot."""

    book: Book
    chapter: Chapter | None
    spot: Spot
    slot: Slot

    @cached_property
    def harness(self) -> Harness:
        """All wiring of the book."""
        return build_harness(self.book)

    @cached_property
    def names(self) -> Names:
        """All names of the book."""
        return Names(self.book, self.harness)

    @property
    def wiring(self) -> Wiring:
        """What the notebook itself says of the harness."""
        return self.chapter.wiring if self.chapter else self.book.vehicle.wiring

    @property
    def steps(self) -> tuple[str, ...]:
        """The keys and item numbers that lead to the spot, as texts."""
        return tuple(str(level.step) for level in self.spot.levels)

    def after(self, key: str) -> str:
        """The step that follows a key on the way to the spot, '' if there is none."""
        at = self.steps.index(key) if key in self.steps else -1
        return self.steps[at + 1] if 0 <= at < len(self.steps) - 1 else ""


def _parts(around: Around) -> Iterator[Offer]:
    for name, part in around.harness.whole_parts.items():
        yield Offer(name, part.name or part.kind)


def _modules(around: Around) -> Iterator[Offer]:
    for name, part in around.harness.whole_parts.items():
        if part.kind == "module":
            yield Offer(name, part.name)


def _connectors(around: Around) -> Iterator[Offer]:
    for name, connector in around.harness.whole_connectors.items():
        yield Offer(name, f"at {connector.part}" if connector.part else "in-line")


def _circuits(around: Around) -> Iterator[Offer]:
    own = {wire.circuit for wire in around.wiring.wires}
    for name in sorted(around.names.circuits):
        yield Offer(name, "circuit here" if name in own else "circuit")


def _fuses(around: Around) -> Iterator[Offer]:
    for name, devices in around.harness.fuses.items():
        yield Offer(name, f"fuse in {devices[0].part}")


def _grounds(around: Around) -> Iterator[Offer]:
    for name, grounds in around.harness.grounds.items():
        yield Offer(name, grounds[0].location or "ground")


def _splices(around: Around) -> Iterator[Offer]:
    for name, splices in around.harness.splices.items():
        yield Offer(name, splices[0].location or "splice")


def _codes(around: Around) -> Iterator[Offer]:
    for name in around.names.known("code", around.chapter):
        yield Offer(name, around.names.listed_code(name) or "code")


def _unwritten_codes(around: Around) -> Iterator[Offer]:
    written = {str(chapter.code) for chapter in around.book.chapters if chapter is not around.chapter}
    return (offer for offer in _codes(around) if offer.text not in written)


def _series(around: Around) -> Iterator[Offer]:
    for series in around.book.vehicle.series:
        yield Offer(series.id, series.name)


def _tools(around: Around) -> Iterator[Offer]:
    for tool in around.book.vehicle.tools:
        yield Offer(tool.id, tool.name)


def _steps(around: Around) -> Iterator[Offer]:
    for step in around.chapter.steps if around.chapter else ():
        yield Offer(step.number, step.do or step.end or f"verdict {', '.join(step.verdict)}")


def _procedures(around: Around) -> Iterator[Offer]:
    for procedure in around.book.vehicle.procedures:
        yield Offer(procedure.id, procedure.title)


def _rules(_: Around) -> Iterator[Offer]:
    for rule in RULES.values():
        yield Offer(rule.id, rule.severity)


def _systems(around: Around) -> Iterator[Offer]:
    for system in around.book.vehicle.systems:
        yield Offer(system, "system")


def _states(around: Around) -> Iterator[Offer]:
    for state in around.chapter.states if around.chapter else ():
        yield Offer(state.name, "state")


def _figure_files(around: Around) -> Iterator[Offer]:
    figures = around.book.folder / "figures"
    for path in sorted(figures.rglob("*")) if figures.is_dir() else ():
        if path.is_file() and not path.name.startswith("."):
            yield Offer(path.relative_to(figures).as_posix(), "file")


def _watched(around: Around) -> Iterator[Offer]:
    for wiring in around.book.wirings if around.chapter is None else (around.book.vehicle.wiring, around.wiring):
        for device in wiring.devices:
            if "as" in device.values:
                yield Offer(f"{device.part}.{device.values['as']}", device.kind)


def _accused(around: Around) -> Iterator[Offer]:
    """What a verdict or suspect may name, those of the notebook itself."""
    for wire in around.wiring.wires:
        yield Offer(wire.circuit, "circuit")
    yield from (Offer(part.id, part.name or "part") for part in around.wiring.parts)
    yield from (Offer(connector.id, "connector") for connector in around.wiring.connectors)
    yield from (*_grounds(around), *_splices(around), *_fuses(around))


_FAULTS = ("open", "short to ground", "short to battery", "added resistance", "internal", "stuck", "blown", "lost")


def _faults(around: Around) -> Iterator[Offer]:
    typed = around.spot.typed.lstrip("\"'")
    kind = next((fault for fault in _FAULTS if typed.startswith(f"{fault} ")), None)
    if kind is None:
        yield from (Offer(f"{fault} ", "fault") for fault in _FAULTS)
        return
    for offer in _accused(around):
        yield Offer(f"{kind} {offer.text}", offer.about)


def _outputs(around: Around) -> Iterator[Offer]:
    """The parts, and the commanded outputs of modules, that a state may set."""
    for part in around.wiring.parts:
        yield Offer(part.id, part.name or "part")
    for wiring in (around.book.vehicle.wiring, around.wiring):
        for device in wiring.devices:
            if "command" in device.values:
                yield Offer(f"{device.part}.{device.values['command']}", "output")


Lister = Callable[[Around], Iterable[Offer]]

# The words for a value by its key; where two kinds of mapping share a key, by the mapping too.
OF_KEY: Mapping[str, Lister] = {
    "set-by": _modules,
    "members": _modules,
    "system": _systems,
    "series": _series,
    "tools": _tools,
    "tool": _tools,
    "unplug": _connectors,
    "pull": _fuses,
    "related": _codes,
    "code": _unwritten_codes,
    "rule": _rules,
    "drain": _circuits,
    "wires": _circuits,
    "colour-change": _circuits,
    "steps": _steps,
    "then": _steps,
    "verdict": _accused,
    "fault": _faults,
    "watch": _watched,
    "scan": _watched,
    "call": _procedures,
    "disconnect": _parts,
    "works-by": _parts,
    "capture": _figure_files,
    "file": _figure_files,
    "state": _states,
    "during": _states,
}

# The words for the keys of a mapping from names, by the key that it belongs to.
OF_NAMES: Mapping[str, Lister] = {
    "parts": _parts,
    "modules": _modules,
    "connectors": _connectors,
    "splices": _splices,
    "grounds": _grounds,
    "codes": _codes,
    "states": lambda _: (),
    "": _outputs,
}


def state_settings(around: Around) -> Iterable[Offer]:
    """What a state may set beside its own keys."""
    return _outputs(around)


def connectors_of_part(around: Around) -> Iterator[Offer]:
    """The connectors of the part that is being described, and bodies that no part has yet."""
    part = around.after("parts") or around.after("modules")
    for name, connector in around.harness.whole_connectors.items():
        if connector.part in (part, ""):
            yield Offer(name, f"at {part}" if connector.part else "no part yet")


def free_cavities(around: Around, connector: str) -> Iterator[Offer]:
    """The cavities of a connector that nothing in the book uses yet."""
    body = around.harness.connector(connector)
    for cavity in body.cavities if body else ():
        point = Point(connector, cavity)
        if point not in around.harness.uses and point not in around.harness.wires:
            yield Offer(cavity, "free")


def points(around: Around, typed: str) -> Iterator[Offer]:
    """Connectors with a dot to go on, then what needs none; behind a dot the cavities of that connector."""
    owner, dot, _ = typed.partition(".")
    if dot:
        known = {name.casefold(): name for name in around.harness.whole_connectors}
        yield from _cavities(around, known.get(owner.casefold(), owner))
        return
    inside = around.after("parts") if "inside" in around.steps else ""
    for name, connector in around.harness.whole_connectors.items():
        if not inside or connector.part == inside:
            yield Offer(f"{name}.", f"at {connector.part}" if connector.part else "in-line")
    yield from _grounds(around)
    yield from _splices(around)
    for name, feeds in around.harness.feeds.items():
        yield Offer(name, feeds[0].name)


def _cavities(around: Around, connector: str) -> Iterator[Offer]:
    harness = around.harness
    body = harness.connector(connector)
    used = [point for point in (*harness.uses, *harness.wires) if point.owner == connector and point.is_cavity]
    for point in dict.fromkeys((*(Point(connector, name) for name in (body.cavities if body else ())), *used)):
        uses, wires = harness.uses.get(point, ()), harness.wires.get(point, ())
        signal = next((use.signal for use in uses if use.signal), "")
        wire = "" if wires else ", no wire yet"
        yield Offer(str(point), f"{signal}{wire}" if signal else wires[0].circuit if wires else "free")


def colours(around: Around) -> Iterator[Offer]:
    """The codes of IEC 60757 and the book's own."""
    own = around.book.vehicle.colours
    yield from (Offer(code, own[code]) for code in own)
    yield from (Offer(code, colour.name) for code, colour in COLOURS.items())


def wire_texts(around: Around) -> Iterator[Offer]:
    """What is known of each circuit: its colour and size, as some wire of it has them; then the bare names."""
    seen: dict[str, None] = {}
    for wiring in around.book.wirings:
        for wire in wiring.wires:
            seen[f"{wire.circuit} {wire.colour} {show_plain(wire.size)}"] = None
    return (Offer(text, "known wire") for text in seen)
