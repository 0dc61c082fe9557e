"""Wires as a finger follows them: `[M1-A.23, K131 BU/WH 0.5 mm2 1.8 m, X12.4, K131 BU/WH 0.5 mm2 0.6 m, B5.1]`."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from authorkit.facts.node import Node, told_of
from authorkit.facts.schema.devices import SERIES
from authorkit.facts.schema.form import REFUSALS, RefusalError, Scalar, Schema, report_refusal
from authorkit.facts.schema.reader import Reader
from authorkit.facts.schema.record import Found, Key, Record
from authorkit.facts.schema.scalars import ANY_TEXT, NAME, POINT
from authorkit.model.point import Point
from authorkit.model.wire_colour import WireColour, parse_colour
from authorkit.model.wiring import Wire
from authorkit.problems import Place
from authorkit.units import Quantity, parse_quantity

_EXAMPLE = "K131 BU/WH 0.5 mm2 1.8 m"
_EXPECTED = f"circuit, colour, size and perhaps length, such as '{_EXAMPLE}'"


@dataclass(frozen=True)
class _Section:
    """What the text of one wire says."""

    circuit: str
    colour: WireColour
    size: Quantity
    length: Quantity | None


@dataclass(frozen=True)
class WireLine:
    """Node, wire, node, wire, node: gives a wire for each section that can be read."""

    words: str = f"a line such as [M1-A.23, {_EXAMPLE}, B5.1]"

    def read(self, node: Node, reader: Reader) -> tuple[Wire, ...] | None:
        """The wires; `position` counts from 1 along the line, `chain` is set by whoever has all lines."""
        if not isinstance(node.value, list):
            self._report(node, node, "found no list", reader)
            return None
        if len(node.value) < 3 or len(node.value) % 2 == 0:
            self._report(node, node, f"found {len(node.value)} items", reader)
            return None
        points = [reader.read(POINT, item) for item in node.value[::2]]
        sections = [_section(item, reader) for item in node.value[1::2]]
        wires = [
            _wire(section, (points[index], points[index + 1]), node.value[2 * index + 1].place, index + 1)
            for index, section in enumerate(sections)
        ]
        return tuple(wire for wire in wires if wire is not None)

    def schema(self, defs: dict[str, Any]) -> Schema:
        """An array of at least three texts (JSON Schema cannot ask for an odd number)."""
        return {"type": "array", "items": ANY_TEXT, "minItems": 3}

    def _report(self, node: Node, at: Node, found: str, reader: Reader) -> None:
        reader.report(
            "wire-malformed",
            told_of(node, f"{found}, expected point, wire, point in turn, beginning and ending with a point."),
            at.spot,
            found=found.removeprefix("found "),
            expected="point, wire, point, perhaps wire, point again",
            suggestion=f"Write it as a finger follows the wire: [M1-A.23, {_EXAMPLE}, B5.1].",
        )


def _wire(
    section: _Section | None, ends: tuple[Point | None, Point | None], place: Place, position: int
) -> Wire | None:
    first, second = ends
    if section is None or first is None or second is None:
        return None
    return Wire(
        section.circuit,
        section.colour,
        section.size,
        (first, second),
        place,
        length=section.length,
        position=position,
    )


def _section(node: Node, reader: Reader) -> _Section | None:
    """The text of one wire; each of its words that is wrong is reported where it stands."""
    if node.value is None or not isinstance(node.value, str) or node.is_empty:
        reader.read(Scalar(_EXPECTED, lambda text, _: text, ANY_TEXT), node)
        return None
    words = _words(node.value)
    if not 3 <= len(words) <= 4:
        report_refusal(RefusalError(node.value, _EXPECTED, rule="wire-malformed"), node, reader)
        return None
    circuit = _part(words[0], NAME.convert, node, reader)
    colour = _part(words[1], lambda text, _: parse_colour(text, reader.colours), node, reader)
    size = _part(words[2], lambda text, _: parse_quantity(text, "area"), node, reader)
    length = _part(words[3], lambda text, _: parse_quantity(text, "length"), node, reader) if words[3:] else None
    if circuit is None or colour is None or size is None:
        return None
    return _Section(circuit, colour, size, length)


def _part(word: tuple[int, str], convert: Any, node: Node, reader: Reader) -> Any:
    offset, text = word
    try:
        return convert(text, reader)
    except REFUSALS as error:
        place = replace(node.place, column=node.place.column + offset) if node.bare else node.place
        report_refusal(error, node, reader, place)
        return None


def _words(text: str) -> list[tuple[int, str]]:
    """Circuit and colour, then a part for each number with what follows it, all with their offsets."""
    starts = []
    for number, offset in enumerate(_word_starts(text)):
        if number < 2 or text[offset] in "0123456789.+-":
            starts.append(offset)
    ends = [*starts[1:], len(text)]
    return [(start, text[start:end].strip()) for start, end in zip(starts, ends, strict=True)]


def _word_starts(text: str) -> list[int]:
    return [i for i, letter in enumerate(text) if not letter.isspace() and (i == 0 or text[i - 1].isspace())]


def _build(found: Found) -> tuple[Wire, ...]:
    series = found.values.get("series", ())
    return tuple(replace(wire, series=series) for wire in found.values["wire"]) if series else found.values["wire"]


WIRE = Record(
    "a line of wires",
    _build,
    (
        Key("wire", WireLine(), "point, wire, point, wire, point", f"[M1-A.23, {_EXAMPLE}, B5.1]", True),
        SERIES,
    ),
    short="wire",
)
