"""Building blocks: a text that means something, one or more of it, a list, a mapping by name."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Generic, TypeAlias, TypeVar

from authorkit.facts.node import Node, told_of
from authorkit.facts.schema.reader import Form, Reader, shown
from authorkit.model.signal_word import SignalWordError
from authorkit.model.trouble_code import CodeError
from authorkit.model.voltage_limits import RatingError
from authorkit.model.wire_colour import ColourError
from authorkit.problems import Place
from authorkit.problems.closest import did_you_mean
from authorkit.units import UnitError

T = TypeVar("T")
K = TypeVar("K")
Schema: TypeAlias = dict[str, Any]


class RefusalError(ValueError):
    """A text that a form of this room cannot take: what was found, what was expected, a suggestion, the rule.

    `counted` says that `found` is not what was typed but a count of it.
    """

    def __init__(
        self,
        found: str,
        expected: str,
        suggestion: str | None = None,
        *,
        rule: str = "value-malformed",
        counted: bool = False,
    ) -> None:
        super().__init__(f"found {found}, expected {expected}")
        self.found = found
        self.expected = expected
        self.suggestion = suggestion
        self.rule = rule
        self.counted = counted


Refusal: TypeAlias = RefusalError | UnitError | CodeError | ColourError | RatingError | SignalWordError
REFUSALS = (RefusalError, UnitError, CodeError, ColourError, RatingError, SignalWordError)


def report_refusal(error: Refusal, node: Node, reader: Reader, place: Place | None = None) -> None:
    """Turn the exception of a parser into a finding at `place`, or where the value stands."""
    rule, found, suggestions = "value-malformed", shown(error.found), (error.suggestion,)
    if isinstance(error, UnitError):
        # Its phrase quotes what was typed already, and it may offer two readings.
        rule, found, suggestions = "quantity-malformed", error.found, error.args[2:]
    elif isinstance(error, CodeError):
        rule = "code-malformed"
    elif isinstance(error, ColourError):
        rule = "colour-unknown"
    elif isinstance(error, RefusalError):
        rule, found = error.rule, error.found if error.counted else found
    reader.report(
        rule,
        told_of(node, f"found {found}, expected {error.expected}."),
        place or node.place,
        found=error.found,
        expected=error.expected,
        suggestion=did_you_mean(*suggestions) or f"Write {error.expected}.",
    )


@dataclass(frozen=True)
class Scalar(Generic[T]):
    """A text and what it means. `convert` raises one of REFUSALS for a text that it cannot take.

    `dimension` is a key of units.DIMENSIONS where numbers with a unit of it stand, 'any' where of any; else ''.
    """

    words: str
    convert: Callable[[str, Reader], T]
    shape: Schema
    dimension: str = ""

    def read(self, node: Node, reader: Reader) -> T | None:
        """The meaning of the text."""
        if not isinstance(node.value, str):
            reader.wrong_type(node, self.words, "text")
            return None
        try:
            return self.convert(node.value.strip(), reader)
        except REFUSALS as error:
            report_refusal(error, node, reader)
            return None

    def schema(self, defs: dict[str, Any]) -> Schema:
        """A text, perhaps one of a few."""
        return dict(self.shape)


@dataclass(frozen=True)
class OneOrMore(Generic[T]):
    """A list, or one item written without the brackets. The form itself must not be a list."""

    item: Form[T]

    @property
    def words(self) -> str:
        """What one item may be."""
        return f"{self.item.words}, or a list of such"

    def read(self, node: Node, reader: Reader) -> tuple[T, ...]:
        """Every item that can be read."""
        items = node.value if isinstance(node.value, list) else [node]
        found = (reader.read(self.item, item) for item in items)
        return tuple(item for item in found if item is not None)

    def schema(self, defs: dict[str, Any]) -> Schema:
        """One, or an array."""
        item = self.item.schema(defs)
        return {"anyOf": [item, {"type": "array", "items": item}]}


@dataclass(frozen=True)
class ListOf(Generic[T]):
    """A list of items of one form."""

    item: Form[T]

    @property
    def words(self) -> str:
        """What the list holds."""
        return f"a list of items, each {self.item.words}"

    def read(self, node: Node, reader: Reader) -> tuple[T, ...] | None:
        """Every item that can be read."""
        if not isinstance(node.value, list):
            reader.wrong_type(node, self.words, "list")
            return None
        found = (reader.read(self.item, item) for item in node.value)
        return tuple(item for item in found if item is not None)

    def schema(self, defs: dict[str, Any]) -> Schema:
        """An array."""
        return {"type": "array", "items": self.item.schema(defs)}


@dataclass(frozen=True)
class MapOf(Generic[T]):
    """A mapping from names to items; the items find their name in their node."""

    item: Form[T]
    name: Scalar[Any]

    @property
    def words(self) -> str:
        """What the mapping holds."""
        return f"keys, each {self.name.words}, each with {self.item.words}"

    def read(self, node: Node, reader: Reader) -> tuple[T, ...] | None:
        """Every item whose name and value can be read."""
        pairs = _pairs(self.name, self.item, node, reader)
        return None if pairs is None else tuple(value for _, value in pairs)

    def schema(self, defs: dict[str, Any]) -> Schema:
        """An object with any names."""
        return {"type": "object", "additionalProperties": self.item.schema(defs)}


@dataclass(frozen=True)
class Pairs(Generic[K, T]):
    """A mapping whose keys mean something themselves: pairs of key and value."""

    key: Scalar[K]
    value: Form[T]

    @property
    def words(self) -> str:
        """What the mapping holds."""
        return f"keys, each {self.key.words}, each with {self.value.words}"

    def read(self, node: Node, reader: Reader) -> tuple[tuple[K, T], ...] | None:
        """Every pair that can be read."""
        return _pairs(self.key, self.value, node, reader)

    def schema(self, defs: dict[str, Any]) -> Schema:
        """An object with any names."""
        return {"type": "object", "additionalProperties": self.value.schema(defs)}


@dataclass(frozen=True)
class AsWritten:
    """A text or mapping that can only be understood together with its neighbours: handed on as its node."""

    words: str
    shape: Schema
    mapping: bool = False

    def read(self, node: Node, reader: Reader) -> Node | None:
        """The node itself."""
        if isinstance(node.value, dict if self.mapping else str):
            return node
        reader.wrong_type(node, self.words, "mapping" if self.mapping else "text")
        return None

    def schema(self, defs: dict[str, Any]) -> Schema:
        """As given."""
        return dict(self.shape)


def key_node(node: Node) -> Node:
    """The key of a value as a text of its own."""
    return Node(node.name, node.key, node.key, node.path, node.name, bare=True)


def meaning_of_key(form: Scalar[K], node: Node) -> K | None:
    """What the key of a value means; None, without a finding, if it cannot be read (its mapping reports that)."""
    return form.read(key_node(node), Reader())


def _pairs(key: Scalar[K], form: Form[T], node: Node, reader: Reader) -> tuple[tuple[K, T], ...] | None:
    """Every pair whose key and value can both be read; both are always looked at."""
    if not isinstance(node.value, dict):
        reader.wrong_type(node, f"keys, each {key.words}, each with {form.words}", "mapping")
        return None
    found = []
    for child in node.value.values():
        name, value = key.read(key_node(child), reader), reader.read(form, child)
        if name is not None and value is not None:
            found.append((name, value))
    return tuple(found)
