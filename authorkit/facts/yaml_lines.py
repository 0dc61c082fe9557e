"""YAML as nodes: every value stays text, every value and key has its place, nothing clever is understood.

The scanner is libyaml's; of YAML's language only texts, lists and mappings are taken. Aliases, anchors, merge keys and
tags are refused (a page must read as it is written, and a few aliases can stand for a billion values), so are keys
written twice, which a loader would drop without a word. Built from events instead of composed nodes: that needs no
recursion and sees what a composer hides.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import yaml

from authorkit.facts.control_characters import without_control_characters
from authorkit.facts.node import Node, Value
from authorkit.facts.yaml_words import explain_yaml
from authorkit.problems import Place, Problem

LARGEST_CELL = 2_000_000
"""Characters of the largest facts cell."""
MOST_VALUES = 100_000
"""Values of the largest facts cell; a chapter has a few hundred."""
LONGEST_VALUE = 10_000
"""Characters of the longest single value."""
DEEPEST = 20
"""Levels of lists and mappings; the facts need eight."""

_PLAIN_TAGS = (None, "tag:yaml.org,2002:str", "tag:yaml.org,2002:seq", "tag:yaml.org,2002:map")


def read_yaml(text: str, file: str, cell: int = 0) -> tuple[Node | None, tuple[Problem, ...]]:
    """The top node of a YAML text that starts at line 1 of `cell` (0: of the file itself), and what was refused.

    None if the text cannot be read as YAML at all, or is empty. Raises nothing.
    """
    if len(text) > LARGEST_CELL:
        return None, (_too_large(Place(file, cell), f"{len(text)} characters", f"{LARGEST_CELL} characters"),)
    text, problems = without_control_characters(text, Place(file, cell, 1, 1))
    walk = _Walk(file, cell, list(problems))
    try:
        for event in yaml.parse(text, Loader=yaml.CBaseLoader):
            walk.take(event)
    except yaml.MarkedYAMLError as error:
        return None, (*walk.problems, explain_yaml(error, text, Place(file, cell)))
    except _StopError as stop:
        return None, (*walk.problems, stop.problem)
    if walk.root is None:
        walk.problems.append(_nothing(Place(file, cell)))
    return walk.root, tuple(walk.problems)


class _StopError(Exception):
    """The text asks for more than any facts need; reading ends here."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.message)
        self.problem = problem


@dataclass(slots=True)
class _Open:
    """A list or mapping that has begun and not ended; `name` is a key that waits for its value."""

    value: list[Node] | dict[str, Node]
    place: Place
    key: Place
    path: str
    name: str | None = None
    name_place: Place | None = None
    dropped: bool = False


@dataclass(slots=True)
class _Walk:
    """Builds nodes from events."""

    file: str
    cell: int
    problems: list[Problem]
    root: Node | None = None
    open: list[_Open] = field(default_factory=list)
    values: int = 0
    documents: int = 0

    def take(self, event: yaml.Event) -> None:
        """Handle one event, the frequent kinds first. Raises _StopError."""
        if isinstance(event, yaml.ScalarEvent):
            self._scalar(event)
        elif isinstance(event, yaml.CollectionStartEvent):
            self._begin(event)
        elif isinstance(event, yaml.CollectionEndEvent):
            self._end()
        elif isinstance(event, yaml.AliasEvent):
            self._alias(event)
        elif isinstance(event, yaml.DocumentStartEvent):
            self.documents += 1
            if self.documents > 1:
                raise _StopError(_second_document(self._place(event)))

    def _alias(self, event: yaml.AliasEvent) -> None:
        """Report an alias and go on without it, be it a value or a key."""
        place = self._place(event)
        self._refuse(f"the alias '*{event.anchor}'", f"*{event.anchor}", place)
        parent = self.open[-1] if self.open else None
        if parent is not None and parent.name is None and isinstance(parent.value, dict):
            parent.name, parent.name_place, parent.dropped = f"*{event.anchor}", place, True
        else:
            self._put(None, place)

    def _place(self, event: yaml.Event) -> Place:
        mark = event.start_mark
        assert mark is not None  # libyaml gives every event one
        return Place(self.file, self.cell, mark.line + 1, mark.column + 1)

    def _scalar(self, event: yaml.ScalarEvent) -> None:
        place = self._place(event)
        parent = self.open[-1] if self.open else None
        if event.anchor or event.tag is not None:
            self._refuse_extras(event, place)
        text = str(event.value)
        bare = not event.style and event.end_mark is not None and event.end_mark.line + 1 == place.line
        if event.style == '"':
            text, problems = without_control_characters(text, place)
            self.problems += problems
        if parent is not None and parent.name is None and isinstance(parent.value, dict):
            self._name(parent, text, place, bare=bare)
        elif len(text) > LONGEST_VALUE:
            self.problems.append(_too_long(place, len(text)))
            self._put(None, place)
        else:
            self._put(text, place, bare=bare)

    def _name(self, parent: _Open, text: str, place: Place, *, bare: bool) -> None:
        """Take a key; the value of one that is refused is read and dropped."""
        assert isinstance(parent.value, dict)
        parent.name, parent.name_place, parent.dropped = text, place, False
        first = parent.value.get(text)
        if text == "<<" and bare:
            self._refuse("the merge key '<<'", "<<", place)
            parent.dropped = True
        elif not text.strip() or len(text) > LONGEST_VALUE:
            self.problems.append(_bad_key(place, "no key" if not text.strip() else f"a key of {len(text)} characters"))
            parent.dropped = True
        elif first is not None:
            self.problems.append(repeated_key(text, place, first.key))
            parent.dropped = True

    def _begin(self, event: yaml.CollectionStartEvent) -> None:
        place = self._place(event)
        if event.anchor or event.tag is not None:
            self._refuse_extras(event, place)
        if len(self.open) >= DEEPEST:
            raise _StopError(too_deep(place, DEEPEST))
        key, path = place, ""
        if self.open:
            parent = self.open[-1]
            if isinstance(parent.value, dict) and parent.name is None:
                raise _StopError(_bad_key(place, "a list or mapping"))
            key, path = self._child(parent, place)
        value: list[Node] | dict[str, Node] = {} if isinstance(event, yaml.MappingStartEvent) else []
        self.open.append(_Open(value, place, key, path))

    def _end(self) -> None:
        done = self.open.pop()
        self._put(done.value, done.place)

    def _put(self, value: Value, place: Place, *, bare: bool = False) -> None:
        """Give a finished value to the list or mapping it belongs to. Raises _StopError."""
        self.values += 1
        if self.values > MOST_VALUES:
            raise _StopError(_too_large(place, f"more than {MOST_VALUES} values", f"{MOST_VALUES} values"))
        if not self.open:
            self.root = Node(value, place, place, "", "", bare)
            return
        parent = self.open[-1]
        key, path = self._child(parent, place)
        if isinstance(parent.value, list):
            parent.value.append(Node(value, place, key, path, "", bare))
            return
        name, parent.name = parent.name or "", None
        if not parent.dropped:
            parent.value[name] = Node(value, place, key, path, name, bare)

    def _child(self, parent: _Open, place: Place) -> tuple[Place, str]:
        """Key place and path of the value that comes next in `parent`."""
        if isinstance(parent.value, list):
            return place, f"{parent.path}.{len(parent.value) + 1}" if parent.path else str(len(parent.value) + 1)
        path = f"{parent.path}.{parent.name}" if parent.path else parent.name or ""
        return parent.name_place or place, path

    def _refuse_extras(self, event: yaml.NodeEvent, place: Place) -> None:
        if event.anchor:
            self._refuse(f"the anchor '&{event.anchor}'", f"&{event.anchor}", place)
        tag = getattr(event, "tag", None)
        if tag not in _PLAIN_TAGS:
            self._refuse("a tag", str(tag).replace("tag:yaml.org,2002:", "!!"), place)

    def _refuse(self, what: str, found: str, place: Place) -> None:
        """Report an alias, anchor, merge key or tag."""
        suggestion = f"Write the value itself; a text that starts with '{found[0]}' needs quotes."
        if found == "<<":
            suggestion = "Write out the keys that it stands for."
        self.problems.append(
            Problem(
                "yaml-alias",
                f"The facts use {what}, which is not read here.",
                place,
                found=found,
                expected="every value written out where it belongs",
                suggestion=suggestion,
            )
        )


def repeated_key(name: str, place: Place, first: Place) -> Problem:
    """The finding for a key that stands twice; the first one counts."""
    where = f"line {first.line}" if first.cell == place.cell else f"cell {first.cell}, line {first.line}"
    return Problem(
        "key-repeated",
        f"The key '{name}' stands twice, first in {where}; only the first is read.",
        place,
        found=name,
        expected="each key once",
        suggestion="Delete one of the two, or merge what they say.",
        also=(first,),
    )


def too_deep(place: Place, levels: int) -> Problem:
    """The finding for lists and mappings nested without end."""
    return Problem(
        "yaml-too-deep",
        f"The facts are nested more than {levels} levels deep.",
        place,
        found=f"more than {levels} levels",
        expected="at most eight levels, as the facts need",
        suggestion="Look for an opening bracket that is repeated or never closed.",
    )


def _too_large(place: Place, found: str, most: str) -> Problem:
    return Problem(
        "notebook-too-large",
        f"The facts are larger than is read: {found}.",
        place,
        found=found,
        expected=f"at most {most}",
        suggestion="Split the notebook: one for each trouble code.",
    )


def _too_long(place: Place, length: int) -> Problem:
    return Problem(
        "value-malformed",
        f"A single value is {length} characters long.",
        place,
        found=f"{length} characters",
        expected=f"at most {LONGEST_VALUE} characters",
        suggestion="Move the text into a Markdown cell.",
    )


def _nothing(place: Place) -> Problem:
    return Problem(
        "value-empty",
        "There are no facts: the text is empty.",
        place,
        found="nothing",
        expected="lines of the form 'key: value'",
        suggestion="Write the facts, or delete the empty cell.",
    )


def _second_document(place: Place) -> Problem:
    return Problem(
        "yaml-syntax",
        "A second document begins here, and only one is read.",
        place,
        found="---",
        expected="one document",
        suggestion="Delete the line '---'.",
    )


def _bad_key(place: Place, found: str) -> Problem:
    return Problem(
        "yaml-syntax",
        f"A key must be a short text; found {found}.",
        place,
        found=found,
        expected="a key such as 'title' before the ':'",
        suggestion="Write a key before the ':', or put the text in quotes.",
    )
