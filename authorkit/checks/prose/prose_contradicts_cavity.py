"""A plain text names a cavity that the chapter's circuit does not have, or gives it the signal of another one."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from authorkit.checks.passage import Passage
from authorkit.checks.prose.cavity_mentions import CavityMention, live_mentions, plain_mentions
from authorkit.checks.subject import Subject
from authorkit.model.chapter import Chapter
from authorkit.model.point import Point
from authorkit.problems import Problem

RULE = "prose-contradicts-cavity"

_WORD = re.compile(r"[\w+-]+")


@dataclass(frozen=True)
class _Sockets:
    """The connectors of a chapter's circuit: their cavities, and what arrives at each of them.

    `named` maps a circuit name, or a signal name of two words or more, onto the points where it arrives.
    """

    cavities: Mapping[str, set[str]]
    named: Mapping[str, set[Point]]

    def at(self, point: Point) -> str:
        """What arrives at a cavity, for a sentence."""
        return " and ".join(sorted(name for name, points in self.named.items() if point in points)) or "nothing"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each mention, in the prose and the facts of every chapter."""
    known: dict[str, _Sockets] = {}
    for passage in subject.passages:
        chapter = passage.chapter
        mentions = list(plain_mentions(passage)) if chapter is not None else []
        if chapter is None or not mentions:
            continue
        sockets = known.setdefault(chapter.file, _sockets(chapter, subject))
        for mention in mentions:
            problem = _judge(passage, mention, sockets, subject)
            if problem is not None:
                yield problem


def _sockets(chapter: Chapter, subject: Subject) -> _Sockets:
    cavities: dict[str, set[str]] = defaultdict(set)
    named: dict[str, set[Point]] = defaultdict(set)
    for circuit in subject.circuits_of(chapter):
        for point in circuit.points:
            if point.is_cavity:
                cavities[point.owner].add(point.cavity)
        for wire in circuit.wiring.wires:
            named[wire.circuit].update(end for end in wire.ends if end.is_cavity)
        for use in circuit.wiring.cavities:
            if " " in use.signal:
                named[use.signal].add(use.point)
    return _Sockets(cavities, named)


def _judge(passage: Passage, mention: CavityMention, sockets: _Sockets, subject: Subject) -> Problem | None:
    point = mention.point
    if point.owner not in sockets.cavities:
        return _elsewhere(passage, mention, subject)
    said = _said(passage, mention, sockets)
    if point.cavity not in sockets.cavities[point.owner]:
        return _no_cavity(passage, mention, sockets, said)
    mine = [name for name, points in said.items() if point in points]
    others = {name: {each for each in points if each.owner == point.owner} for name, points in said.items()}
    wrong = next((name for name, points in others.items() if points), None)
    if wrong is None or mine or not _is_alone(passage, mention):
        return None
    right = min(others[wrong])
    return Problem(
        RULE,
        f"The text puts '{wrong}' at {point}, but it arrives at {right}; at {point} there is {sockets.at(point)}.",
        passage.at(mention.start),
        found=str(point),
        expected=str(right),
        suggestion=f"Write '{{cavity:{right}}}'.",
    )


def _said(passage: Passage, mention: CavityMention, sockets: _Sockets) -> dict[str, set[Point]]:
    """The circuit and signal names in the sentence of a mention, with the points where they arrive."""
    start, end = next(span for span in passage.sentences() if span[0] <= mention.start < span[1])
    sentence = passage.text[start:end]
    words = set(_WORD.findall(sentence))
    return {
        name: points
        for name, points in sockets.named.items()
        if (name in words if " " not in name else re.search(rf"(?<!\w){re.escape(name)}(?!\w)", sentence))
    }


def _is_alone(passage: Passage, mention: CavityMention) -> bool:
    """Whether the sentence names no other cavity of this connector, to which the signal may belong."""
    start, end = next(span for span in passage.sentences() if span[0] <= mention.start < span[1])
    return not any(
        other.point.owner == mention.point.owner and other.point != mention.point and start <= other.start < end
        for other in (*plain_mentions(passage), *live_mentions(passage))
    )


def _no_cavity(passage: Passage, mention: CavityMention, sockets: _Sockets, said: Mapping[str, set[Point]]) -> Problem:
    point = mention.point
    known = sorted((Point(point.owner, name) for name in sockets.cavities[point.owner]), key=_order)
    meant = [each for name in sorted(said) for each in sorted(said[name]) if each.owner == point.owner]
    assert passage.chapter is not None
    return Problem(
        RULE,
        f"The text names {point}, but the circuit of {passage.chapter.code} has no cavity '{point.cavity}' "
        f"in {point.owner}.",
        passage.at(mention.start),
        found=str(point),
        expected=f"one of {', '.join(map(str, known))}",
        suggestion=f"Did you mean '{meant[0]}'?"
        if meant
        else f"Correct it. If you mean the cavity of another circuit, write '{{cavity:{point}}}'.",
    )


def _elsewhere(passage: Passage, mention: CavityMention, subject: Subject) -> Problem | None:
    """A connector of another chapter: only a cavity that its layout lacks is wrong for certain."""
    point = mention.point
    connector = subject.harness.connector(point.owner)
    if connector is None or not connector.cavities or point.cavity in connector.cavities:
        return None
    return Problem(
        RULE,
        f"The text names {point}, but the connector {point.owner} has no cavity '{point.cavity}'.",
        passage.at(mention.start),
        found=str(point),
        expected=f"one of the {len(connector.cavities)} cavities of {point.owner}",
        suggestion="Correct the cavity.",
        also=(connector.place,),
    )


def _order(point: Point) -> tuple[int, str]:
    digits = re.sub(r"\D", "", point.cavity)
    return int(digits) if digits else 0, point.cavity
