"""A plain text names a connector, ground, splice, circuit or trouble code that the book does not have."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from authorkit.checks.passage import Passage
from authorkit.checks.prose.book_names import book_names
from authorkit.checks.slip import slip_of
from authorkit.checks.subject import Subject
from authorkit.problems import Problem

RULE = "prose-contradicts-name"

_CODE = re.compile(r"[PCBU][0-3][0-9A-F]{3}(?:-[0-9A-F]{2})?")
_TOKEN = re.compile(
    r"(?<![\w.,:{}+-])(?P<name>[PCBU][0-3][0-9A-F]{3}(?:-[0-9A-F]{2})?|[A-Z]{1,4}\d{1,4}(?:-[A-Z]{1,2}\d?)?)(?![\w-]|\.[a-z]{2})"
)
# A word for the kind right before a name says what the name is.
_KIND_BEFORE = re.compile(r"\b(connector|splice|fuse|circuit|ground|ground point|module)\s+\Z", re.IGNORECASE)
# What a letter and a number mean beside these words is no name of the harness: a bolt M8, paper A4, bank B1.
_ELSE_BEFORE = re.compile(
    r"\b(?:bolts?|nuts?|screws?|studs?|threads?|torx|sockets?|bits?|bulbs?|paper|size|class|type|grade|bank"
    r"|page|table|section|version|release|terminal|standard|regulation|no\.|number)\s+\Z",
    re.IGNORECASE,
)
_ELSE_AFTER = re.compile(r"\s+(?:bolts?|nuts?|screws?|studs?|threads?|sockets?|bits?|bulbs?|paper|fuel)\b|\s?[×x]\s?\d")
_SHAPE = re.compile(r"([A-Z]+)\d+(-)?")
# Two digits swapped in 'K131' are seen; a circuit name of one or two digits is too near to ordinary words.
_FEWEST_CIRCUIT_DIGITS = 3
# Texts whose names other rules look up.
_OTHER_RULES = ("meaning-source", "source", "waiting-source")


@dataclass(frozen=True)
class _Known:
    """Every name of the book; the names that a typing error is measured against, by their shape; words for each."""

    names: frozenset[str]
    by_shape: Mapping[str, list[str]]
    kinds: Mapping[str, str]


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each name. Text in code and headings counts; what a live reference names has its own rule."""
    known = _known(subject)
    for passage in subject.passages:
        if passage.path.rpartition(".")[2] not in _OTHER_RULES:
            for match in _TOKEN.finditer(passage.names):
                if match["name"] not in known.names:
                    yield from _judge(passage, match, known)


def _known(subject: Subject) -> _Known:
    harness = subject.harness
    kinds = dict.fromkeys(harness.splices, "splice") | dict.fromkeys(harness.grounds, "ground point")
    kinds |= dict.fromkeys(harness.connectors, "connector")
    for wiring in subject.book.wirings:
        for wire in wiring.wires:
            if sum(letter.isdigit() for letter in wire.circuit) >= _FEWEST_CIRCUIT_DIGITS:
                kinds.setdefault(wire.circuit, "circuit")
    by_shape: dict[str, list[str]] = defaultdict(list)
    for name in kinds:
        if shape := _shape(name):
            by_shape[shape].append(name)
    return _Known(book_names(subject), by_shape, kinds)


def _shape(name: str) -> str:
    """The letters that a name begins with, and whether it has a dash: 'M-' for M1-A, 'X' for X12; '' for others."""
    match = _SHAPE.match(name)
    return f"{match[1]}{match[2] or ''}" if match else ""


def _judge(passage: Passage, match: re.Match[str], known: _Known) -> Iterator[Problem]:
    name = match["name"]
    if _CODE.fullmatch(name):
        if name.partition("-")[0] not in known.names:
            yield _no_code(passage, match, known)
        return
    before = passage.names[max(0, match.start() - 20) : match.start()]
    after = passage.names[match.end() : match.end() + 12]
    stated = _KIND_BEFORE.search(before)
    if stated is None and (_ELSE_BEFORE.search(before) or _ELSE_AFTER.match(after)):
        return
    near = _nearest(name, known)
    if near or stated:
        kind = stated.group(1).lower() if stated else known.kinds[near]
        yield _no_name(passage, match, kind, near)


def _nearest(name: str, known: _Known) -> str:
    """The known name of the same shape that one slip of the finger away is; '' if there is none."""
    return slip_of(name, known.by_shape.get(_shape(name), ())) or ""


def _no_code(passage: Passage, match: re.Match[str], known: _Known) -> Problem:
    name = match["name"]
    near = slip_of(name, (other for other in known.names if _CODE.fullmatch(other)))
    return Problem(
        RULE,
        f"The text names the code {name}, which has no chapter and is not in the code list.",
        passage.at(match.start()),
        found=name,
        expected="a code with a chapter or in the code list",
        suggestion=f"Did you mean '{near}'?" if near else f"Add '{name}' to 'codes' of the vehicle notebook.",
    )


def _no_name(passage: Passage, match: re.Match[str], kind: str, near: str) -> Problem:
    name = match["name"]
    return Problem(
        RULE,
        f"The text names the {kind} '{name}', which the book does not have.",
        passage.at(match.start()),
        found=name,
        expected=f"a {kind} of the book",
        suggestion=f"Did you mean '{near}'?" if near else f"Correct '{name}', or add it to the facts.",
    )
