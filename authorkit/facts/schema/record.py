"""A mapping with known keys: the building block that most of the written form is made of."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Generic, TypeVar

from authorkit.facts.node import Node, plain, told_of
from authorkit.facts.schema.form import Schema
from authorkit.facts.schema.reader import Form, Reader, one_of
from authorkit.facts.yaml_lines import read_yaml
from authorkit.problems import Place
from authorkit.problems.closest import closest, did_you_mean

T = TypeVar("T")


@dataclass(frozen=True)
class Key:
    """One key: its form, what it means, an example in YAML.

    `field` names the value for `build` (the key with underscores, unless said otherwise). A record whose `required`
    key is missing or unreadable is given up, unless `otherwise` says what to go on with.
    """

    name: str
    form: Form[Any]
    help: str
    example: str
    required: bool = False
    otherwise: Any = None
    field: str = ""

    @property
    def target(self) -> str:
        """Under which name the value reaches `build`."""
        return self.field or self.name.replace("-", "_")


@dataclass(frozen=True)
class OneOf:
    """Keys that exclude each other; `field` receives the pair of name and value.

    At least one must be there if `required`. With `when`, all this holds where that key is there, and none may stand
    where it is not.
    """

    names: tuple[str, ...]
    field: str
    required: bool = True
    when: str = ""


@dataclass(frozen=True)
class Found:
    """What was read of one record, for `build`."""

    values: dict[str, Any]
    node: Node
    reader: Reader

    @property
    def place(self) -> Place:
        """The place of its key, or of the item."""
        return self.node.key

    @property
    def name(self) -> str:
        """Its key; '' in a list."""
        return self.node.name


def into(kind: Callable[..., T], name: str = "") -> Callable[[Found], T]:
    """A `build` that hands every value to a dataclass under its field's name; `name` is the field of the key."""

    def build(found: Found) -> T:
        named = {name: found.name} if name else {}
        return kind(place=found.place, **named, **found.values)

    return build


@dataclass(frozen=True)
class Record(Generic[T]):
    """A mapping with known keys.

    `what` names it ('a set condition'), `short` is the key that a value which is no mapping stands for. `extra` takes
    the keys that are not listed, as pairs, under the field `extra_field`.
    """

    what: str
    build: Callable[[Found], T | None]
    keys: tuple[Key, ...]
    one_of: tuple[OneOf, ...] = ()
    short: str = ""
    extra: Form[Any] | None = None
    extra_field: str = "extra"
    shared: bool = field(default=True)

    @cached_property
    def by_name(self) -> dict[str, Key]:
        """The keys by name."""
        return {key.name: key for key in self.keys}

    @property
    def words(self) -> str:
        """What may stand here."""
        return (
            f"{self.by_name[self.short].form.words}, or 'key: value' lines"
            if self.short
            else f"{self.what} ('key: value' lines)"
        )

    def read(self, node: Node, reader: Reader) -> T | None:
        """The record, without what could not be read; None if something required is missing."""
        if self.short and not isinstance(node.value, dict):
            # The same node under the key that it stands for; its name would be that key's, not the record's.
            node = node._replace(value={self.short: node})
        if not isinstance(node.value, dict):
            reader.wrong_type(node, self.words, "mapping")
            return None
        values = self._values(node, reader)
        groups = [self._group(group, node, values, reader) for group in self.one_of]
        complete = self._required(node, values, reader) and all(groups)
        return self.build(Found(values, node, reader)) if complete else None

    def _values(self, node: Node, reader: Reader) -> dict[str, Any]:
        assert isinstance(node.value, dict)
        values: dict[str, Any] = {}
        extra: list[tuple[str, Any]] = []
        for name, child in node.value.items():
            key = self.by_name.get(name)
            if key is not None:
                value = reader.read(key.form, child)
                if value is not None:
                    values[key.target] = value
            elif self.extra is None or self._misspelt(name):
                self._unknown(name, child, node, reader)
            else:
                value = reader.read(self.extra, child)
                if value is not None:
                    extra.append((name, value))
        if extra:
            values[self.extra_field] = tuple(extra)
        return values

    def _misspelt(self, name: str) -> bool:
        """Whether a key that could be anything is almost one of the known keys: 'unplugg', 'jumpers'."""
        return len(name) > 3 and name.islower() and closest(name, self.by_name, cutoff=0.75) is not None

    def _unknown(self, name: str, child: Node, node: Node, reader: Reader) -> None:
        suggestion = did_you_mean(closest(name, self.by_name))
        if child.bare and child.value == "":
            # '{do: Key off, then on}' reads 'then on' as a key without a value, '{number:2}' so 'number:2'.
            head, colon, tail = name.partition(":")
            suggestion = "A comma ends a text inside { }: put the text before it in quotes."
            suggestion = f"Write a space after the ':', as in '{head}: {tail}'." if colon else suggestion
        reader.report(
            "key-unknown",
            told_of(node, f"the key '{name}' is not known in {self.what}."),
            child.key,
            found=name,
            expected=one_of([*self.by_name]),
            suggestion=suggestion or f"Delete '{name}', or write it in the prose.",
        )

    def _required(self, node: Node, values: dict[str, Any], reader: Reader) -> bool:
        assert isinstance(node.value, dict)
        complete = True
        for key in self.keys:
            if not key.required or key.target in values:
                continue
            if key.name not in node.value:
                reader.report(
                    "key-missing",
                    told_of(node, f"the key '{key.name}' is missing in {self.what}."),
                    node.key,
                    expected=key.form.words,
                    suggestion=f"Add '{key.name}: {key.example}'.",
                )
            if key.otherwise is None:
                complete = False
            else:
                values[key.target] = key.otherwise
        return complete

    def _group(self, group: OneOf, node: Node, values: dict[str, Any], reader: Reader) -> bool:
        """Keep one of keys that exclude each other; False if the record cannot do without."""
        assert isinstance(node.value, dict)
        written = [name for name in group.names if name in node.value]
        read = {name: values.pop(self.by_name[name].target, None) for name in written}
        if group.when and group.when not in node.value:
            if written:
                what = f"'{written[0]}' says nothing without '{group.when}' in {self.what}."
                self._refuse(node.value[written[0]], told_of(node, what), f"'{group.when}' with it", reader)
            return True
        if len(written) > 1:
            what = f"'{written[0]}' and '{written[1]}' exclude each other in {self.what}."
            self._refuse(node.value[written[1]], told_of(node, what), one_of(group.names), reader)
        if not written and group.required:
            self._ask_for(group, node, reader)
        if written and read[written[0]] is not None:
            values[group.field] = (written[0], read[written[0]])
            return True
        return not group.required

    def _refuse(self, child: Node, message: str, expected: str, reader: Reader) -> None:
        """Report a key that has no place beside the others."""
        reader.report(
            "value-malformed",
            message,
            child.key,
            found=child.name,
            expected=expected,
            suggestion=f"Delete '{child.name}', or write it as an item of its own.",
        )

    def _ask_for(self, group: OneOf, node: Node, reader: Reader) -> None:
        """Report that none of the keys is there of which one is needed."""
        reader.report(
            "key-missing",
            told_of(node, f"{self.what} needs {one_of(group.names)}."),
            node.key,
            expected=one_of(group.names),
            suggestion=f"Add '{group.names[0]}: {self.by_name[group.names[0]].example}' or the like.",
        )

    def schema(self, defs: dict[str, Any]) -> Schema:
        """A reference to the definition of this record, or the definition itself if it is not shared."""
        if not self.shared:
            return self._definition(defs)
        name = self.what.removeprefix("a ").removeprefix("an ").removeprefix("the ").replace(" ", "-")
        if name not in defs:
            defs[name] = {}
            defs[name] = self._definition(defs)
        return {"$ref": f"#/$defs/{name}"}

    def _definition(self, defs: dict[str, Any]) -> Schema:
        properties = {key.name: _property(key, defs) for key in self.keys}
        schema: Schema = {"type": "object", "properties": properties}
        required = [key.name for key in self.keys if key.required]
        if required:
            schema["required"] = required
        schema["additionalProperties"] = self.extra.schema(defs) if self.extra else False
        groups = [part for group in self.one_of for part in _group_schema(group)]
        if groups:
            schema["allOf"] = groups
        if self.short:
            return {"anyOf": [schema, self.by_name[self.short].form.schema(defs)]}
        return schema


def _property(key: Key, defs: dict[str, Any]) -> Schema:
    node, _ = read_yaml(key.example, "example")
    examples = [] if node is None else [plain(node)]
    return {**key.form.schema(defs), "description": key.help, "examples": examples}


def _group_schema(group: OneOf) -> Iterator[Schema]:
    each: list[Schema] = [{"required": [name]} for name in group.names]
    none: Schema = {"not": {"anyOf": each}}
    rule: Schema = {"oneOf": each if group.required else [*each, none]}
    if group.when:
        rule = {"if": {"required": [group.when]}, "then": rule, "else": none}
    yield rule
