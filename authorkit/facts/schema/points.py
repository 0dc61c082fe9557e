"""Lists of points with a fixed number: the two tips of a meter, the terminals of a device, a pair of wires."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from authorkit.facts.node import Node, told_of
from authorkit.facts.schema.form import RefusalError, Schema, report_refusal
from authorkit.facts.schema.reader import Reader
from authorkit.facts.schema.scalars import NAME, POINT
from authorkit.model.point import Point


@dataclass(frozen=True)
class Points:
    """From `least` to `most` points (None: no limit); a single one may stand without brackets."""

    least: int
    most: int | None
    names: tuple[str, ...] = ()
    rule: str = "value-malformed"

    @property
    def words(self) -> str:
        """How many points belong here, and what they are called."""
        names = f" ({', '.join(self.names)})" if self.names else ""
        return f"{_count(self.least, self.most)}{names}"

    def read(self, node: Node, reader: Reader) -> tuple[Point, ...] | None:
        """All the points; None if one is unreadable or the number is wrong."""
        items = node.value if isinstance(node.value, list) else [node]
        points = [reader.read(POINT, item) for item in items]
        if len(items) < self.least or (self.most is not None and len(items) > self.most):
            found = _count(len(items), len(items))
            reader.report(
                self.rule,
                told_of(node, f"found {found}, expected {self.words}."),
                node.spot,
                found=found,
                expected=self.words,
                suggestion=f"Name {_count(self.least, self.most)}, such as [{', '.join(_examples(self.least))}].",
            )
            return None
        return tuple(point for point in points if point is not None) if None not in points else None

    def schema(self, defs: dict[str, Any]) -> Schema:
        """A point, or an array of points."""
        point = POINT.schema(defs)
        array: Schema = {"type": "array", "items": point, "minItems": self.least}
        if self.most is not None:
            array["maxItems"] = self.most
        return {"anyOf": [point, array]} if self.least <= 1 else array


@dataclass(frozen=True)
class PairList:
    """A list of pairs of points; one pair alone may stand without the outer brackets."""

    words: str = "a list of pairs of points such as [[B5.1, B5.2]]"

    def read(self, node: Node, reader: Reader) -> tuple[tuple[Point, Point], ...] | None:
        """Every pair that can be read."""
        if not isinstance(node.value, list):
            reader.wrong_type(node, self.words, "list")
            return None
        flat = all(isinstance(item.value, str) for item in node.value)
        pairs = [reader.read(_PAIR, item) for item in ([node] if flat else node.value)]
        return tuple((pair[0], pair[1]) for pair in pairs if pair is not None)

    def schema(self, defs: dict[str, Any]) -> Schema:
        """One pair, or an array of them."""
        pair = _PAIR.schema(defs)
        return {"anyOf": [pair, {"type": "array", "items": pair}]}


@dataclass(frozen=True)
class TwoNames:
    """Two names, such as the two circuits of a twisted pair."""

    words: str = "two names such as [D1, D2]"

    def read(self, node: Node, reader: Reader) -> tuple[str, str] | None:
        """Both names; None unless there are two."""
        if not isinstance(node.value, list):
            reader.wrong_type(node, self.words, "list")
            return None
        if len(node.value) != 2:
            found = f"a list of {len(node.value)}"
            report_refusal(RefusalError(found, self.words, counted=True), node, reader)
            return None
        first, second = (reader.read(NAME, item) for item in node.value)
        return None if first is None or second is None else (first, second)

    def schema(self, defs: dict[str, Any]) -> Schema:
        """An array of two."""
        return {"type": "array", "items": NAME.schema(defs), "minItems": 2, "maxItems": 2}


_PAIR = Points(2, 2)


def _count(least: int, most: int | None) -> str:
    if most is None:
        return f"{_points(least)} or more"
    return _points(least) if least == most else f"{least} or {most} points"


def _points(number: int) -> str:
    return "1 point" if number == 1 else f"{number} points"


def _examples(number: int) -> Sequence[str]:
    return ["B5.1", "B5.2", "B5.3"][: max(number, 1)]
