"""What was written, before anybody asks what it means: texts, lists and mappings, each with its place."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple, TypeAlias

from authorkit.problems import Place

# None is something refused that has been reported (an alias, an endless text): nobody reports it again.
Value: TypeAlias = "str | list[Node] | dict[str, Node] | None"


class Node(NamedTuple):
    """A written value.

    `place` is where it starts, `key` where its key starts (for an item of a list: the item). `path` leads to it
    from the top: keys and, for items of lists, numbers from 1, joined by dots ('procedure.3.do', 'specs.2.reads').
    `name` is its key ('' in a list). `bare` says that a text stands on one line without quotes. A named tuple,
    because hundreds are made for every chapter.
    """

    value: Value
    place: Place
    key: Place
    path: str
    name: str = ""
    bare: bool = False

    @property
    def is_empty(self) -> bool:
        """True for a key or a dash with nothing behind it, and for '~' or 'null' without quotes."""
        value = self.value
        return isinstance(value, str) and (not value.strip() or (self.bare and value in ("~", "null")))

    @property
    def spot(self) -> Place:
        """The place to name when the whole value is meant: a text itself, the key of a list or mapping."""
        return self.place if isinstance(self.value, str) and self.value else self.key


def plain(node: Node) -> object:
    """The value as plain data: str, list and dict, None for what was refused."""
    value = node.value
    if isinstance(value, list):
        return [plain(item) for item in value]
    if isinstance(value, dict):
        return {key: plain(child) for key, child in value.items()}
    return value


def places(node: Node) -> dict[str, Place]:
    """The place of every value below `node`, by its path; a list or mapping counts as standing at its key."""
    return dict(_places(node))


def _places(node: Node) -> Iterator[tuple[str, Place]]:
    value = node.value
    children = value if isinstance(value, list) else value.values() if isinstance(value, dict) else ()
    for child in children:
        yield child.path, child.spot
        if not isinstance(child.value, str):
            yield from _places(child)


def told_of(node: Node, what: str) -> str:
    """A sentence about a value, which says where it stands: 'procedure > 3 > do: no value is given.'"""
    return f"{node.path.replace('.', ' > ')}: {what}" if node.path else what[:1].upper() + what[1:]
