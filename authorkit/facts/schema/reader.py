"""What every form needs while it reads: where findings go, and what else the book says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal, Protocol, TypeVar

from authorkit.facts.node import Node, told_of
from authorkit.model.specification import State
from authorkit.model.wire_colour import Colour
from authorkit.problems import Place, Problem

_WRITE_A = {
    "text": "Write a single text, in quotes if it holds brackets or commas.",
    "list": "Write a list: [first, second], or a line that begins with '- ' for each item.",
    "mapping": "Write 'key: value' lines below the key, or {key: value}.",
}

T = TypeVar("T")
T_co = TypeVar("T_co", covariant=True)


class Form(Protocol[T_co]):
    """One kind of value: how to read it, how to call it, and its JSON Schema."""

    @property
    def words(self) -> str:
        """What may stand here, as a phrase: "a voltage such as '4.5 V'"."""

    def read(self, node: Node, reader: Reader) -> T_co | None:
        """The value, or None after findings were given to `reader`. Raises nothing."""

    def schema(self, defs: dict[str, Any]) -> dict[str, Any]:
        """The JSON Schema (draft 2020-12); definitions used in several places go into `defs`."""


@dataclass
class Reader:
    """Collects findings. `colours` are the book's own colour codes, `states` the named states as written."""

    problems: list[Problem] = field(default_factory=list)
    colours: Mapping[str, Colour] = field(default_factory=dict)
    states: Mapping[str, Node] = field(default_factory=dict)
    known_states: dict[str, State | None] = field(default_factory=dict)

    def read(self, form: Form[T], node: Node) -> T | None:
        """Read a value that must not be empty; what was refused before is passed over in silence."""
        if node.value is None:
            return None
        if node.is_empty:
            self.report(
                "value-empty",
                told_of(node, "no value is given."),
                node.key,
                found=str(node.value).strip() or "nothing",
                expected=form.words,
                suggestion="Write the value, or delete the key.",
            )
            return None
        return form.read(node, self)

    def report(
        self,
        rule: str,
        message: str,
        place: Place,
        *,
        found: str | None = None,
        expected: str | None = None,
        suggestion: str | None = None,
        also: tuple[Place, ...] = (),
    ) -> None:
        """Add one finding."""
        self.problems.append(Problem(rule, message, place, found, expected, suggestion, also))

    def wrong_type(self, node: Node, expected: str, want: Literal["text", "list", "mapping"]) -> None:
        """Report a list where a text is expected, and the like."""
        found = type_words(node)
        message = told_of(node, f"found {found}, expected {expected}.")
        self.report("value-malformed", message, node.spot, found=found, expected=expected, suggestion=_WRITE_A[want])


def type_words(node: Node) -> str:
    """What a value is, as a phrase."""
    if isinstance(node.value, list):
        return "a list"
    return "a mapping" if isinstance(node.value, dict) else f"the text {shown(node.value or '')}"


def shown(text: str) -> str:
    """A quoted text, shortened if it is long."""
    line = " ".join(text.split())
    return f"'{line}'" if len(line) <= 48 else f"'{line[:48]}…'"


def one_of(names: Sequence[str]) -> str:
    """Names as a phrase: "'a', 'b' or 'c'"."""
    quoted = [f"'{name}'" for name in names]
    return " or ".join(filter(None, (", ".join(quoted[:-1]), quoted[-1])))
