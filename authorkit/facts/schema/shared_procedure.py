"""Procedures that the vehicle notebook keeps once, with parameters; a chapter's step calls them by name."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from authorkit.facts.node import Node, Value, told_of
from authorkit.facts.schema.form import MapOf
from authorkit.facts.schema.procedure import STEP, Call
from authorkit.facts.schema.reader import Reader, one_of
from authorkit.facts.schema.record import Found, Key, Record
from authorkit.facts.schema.scalars import NAME, NAMES, TEXT
from authorkit.model.procedure import SharedProcedure
from authorkit.problems import Place
from authorkit.problems.closest import closest, did_you_mean

# A parameter where its value will stand. No YAML sign, and no sign of the references in braces.
_PARAMETER = re.compile(r"<([A-Za-z][\w-]*)>")


@dataclass(frozen=True)
class WrittenProcedure:
    """A shared procedure and its steps as written. One that is not `sound` has findings of its own already."""

    procedure: SharedProcedure
    steps: tuple[Node, ...]
    sound: bool


@dataclass(frozen=True)
class _Steps:
    """Steps that are kept as written, since they can only be read together with the arguments of a call."""

    words: str = "steps by number, each with 'do', 'verdict' or 'end'"

    def read(self, node: Node, reader: Reader) -> tuple[Node, ...] | None:
        """The steps, after a reading that passes over what the parameters will fill."""
        if not isinstance(node.value, dict):
            reader.wrong_type(node, self.words, "mapping")
            return None
        return tuple(node.value.values())

    def schema(self, defs: dict[str, Any]) -> dict[str, Any]:
        """As the steps of a chapter."""
        return MapOf(STEP, NAME).schema(defs)


def _written(found: Found) -> WrittenProcedure:
    values, node, reader = found.values, found.node, found.reader
    assert isinstance(node.value, dict)
    procedure = SharedProcedure(found.name, values["name"], values.get("needs", ()), values["answers"], found.place)
    steps = values["steps"]
    own = Reader(colours=reader.colours)
    _check_steps(steps, own)
    _check_parameters(node, procedure, own)
    _check_answers(steps, procedure, own)
    reader.problems += own.problems
    return WrittenProcedure(procedure, steps, sound=not own.problems)


SHARED_PROCEDURE: Record[WrittenProcedure] = Record(
    "a shared procedure",
    _written,
    (
        Key("name", TEXT, "its title on the page; <part> stands for what is given", "Prove the ground of <part>", True),
        Key("needs", NAMES, "the names of what a call must give", "[part, point, ground]"),
        Key("answers", NAMES, "what it may find out; answers of its steps lead here", "[good, bad]", True),
        Key(
            "steps",
            _Steps(),
            "its steps, with <point> where the point given stands",
            "{1: {do: Key on., volts: [<point>, G1], then: {below 0.1 V: good, else: bad}}}",
            True,
        ),
    ),
)


def filled(node: Node, given: Mapping[str, Node]) -> Node:
    """The node with every `<name>` replaced by what is given; what is not given stays.

    A text that is nothing but a parameter stands where its argument is written, so that findings name that place.
    """
    value: Value = node.value
    if isinstance(value, list):
        return node._replace(value=[filled(item, given) for item in value])
    if isinstance(value, dict):
        children = (filled(child, given) for child in value.values())
        named = (child._replace(name=filled_text(child.name, given)) for child in children)
        return node._replace(value={child.name: child for child in named})
    if value is None:
        return node
    whole = _PARAMETER.fullmatch(value.strip())
    argument = given.get(whole[1]) if whole else None
    if argument is not None:
        return node._replace(value=argument.value, place=argument.place)
    return node._replace(value=filled_text(value, given))


def filled_text(text: str, given: Mapping[str, Node]) -> str:
    """A text with every `<name>` replaced by what is given."""
    return _PARAMETER.sub(lambda match: str(given[match[1]].value) if match[1] in given else match[0], text)


def _check_steps(steps: tuple[Node, ...], reader: Reader) -> None:
    """Report what is wrong whatever the arguments are, and a call inside: procedures do not nest, so none recurs."""
    quiet = Reader(colours=reader.colours)
    for node in steps:
        step = quiet.read(STEP, node)
        if isinstance(step, Call):
            reader.report(
                "shared-procedure-wrong",
                told_of(node, f"a shared procedure cannot call another one, such as '{step.procedure}'."),
                node.key,
                found=f"call: {step.procedure}",
                expected="steps with 'do', 'verdict' or 'end'",
                suggestion=f"Write the steps of '{step.procedure}' here, or call both from the chapter.",
            )
    reader.problems += [each for each in quiet.problems if not _PARAMETER.search(each.found or "")]


def _check_parameters(node: Node, procedure: SharedProcedure, reader: Reader) -> None:
    """Report a parameter that is used and not needed, and one that is needed and not used."""
    assert isinstance(node.value, dict)
    used = {name: place for key in ("name", "steps") for name, place in _parameters(node.value[key])}
    for name, place in used.items():
        if name not in procedure.needs:
            reader.report(
                "shared-procedure-wrong",
                told_of(node, f"'<{name}>' is used, but 'needs' does not name it."),
                place,
                found=f"<{name}>",
                expected=one_of([f"<{need}>" for need in procedure.needs]) if procedure.needs else "no parameters",
                suggestion=did_you_mean(closest(name, procedure.needs)) or f"Add '{name}' to 'needs'.",
            )
    for name in procedure.needs:
        if name not in used:
            reader.report(
                "shared-procedure-wrong",
                told_of(node, f"'needs' names '{name}', but '<{name}>' stands nowhere in it."),
                node.value["needs"].key,
                found=name,
                expected=f"'<{name}>' in the name or the steps",
                suggestion=f"Delete '{name}' from 'needs', or write '<{name}>' where it belongs.",
            )


def _parameters(node: Node) -> Iterator[tuple[str, Place]]:
    value = node.value
    if isinstance(value, str):
        yield from ((match[1], node.place) for match in _PARAMETER.finditer(value))
        return
    for child in value.values() if isinstance(value, dict) else value or ():
        yield from ((match[1], child.key) for match in _PARAMETER.finditer(child.name))
        yield from _parameters(child)


def _check_answers(steps: tuple[Node, ...], procedure: SharedProcedure, reader: Reader) -> None:
    """Report an answer that leads to no step and is none of the procedure's, and one that no step gives."""
    numbers = [node.name for node in steps]
    allowed = [*numbers, *procedure.answers]
    targets = [target for node in steps for target in _targets(node)]
    for target in targets:
        goto = str(target.value).strip()
        if goto not in allowed:
            reader.report(
                "shared-procedure-wrong",
                told_of(target, f"'{goto}' is neither a step nor an answer of '{procedure.id}'."),
                target.place,
                found=goto,
                expected=one_of(allowed),
                suggestion=did_you_mean(closest(goto, allowed)) or f"Add '{goto}' to 'answers'.",
            )
    given = {str(target.value).strip() for target in targets}
    for answer in procedure.answers:
        if answer not in given:
            reader.report(
                "shared-procedure-wrong",
                f"No step of '{procedure.id}' gives the answer '{answer}'.",
                procedure.place,
                found=answer,
                expected=f"a 'then' that leads to '{answer}'",
                suggestion=f"Delete '{answer}' from 'answers', or let a step lead to it.",
            )


def _targets(step: Node) -> Iterator[Node]:
    """What the answers of a step lead to."""
    then = step.value.get("then") if isinstance(step.value, dict) else None
    children = then.value.values() if then is not None and isinstance(then.value, dict) else ()
    return (child for child in children if isinstance(child.value, str))
