"""One sentence gives two instructions: whoever reads it with the tool in hand forgets the second."""

from __future__ import annotations

import re
from collections.abc import Iterator

from authorkit.checks.language.sentences import Sentence, sentences, shortened
from authorkit.checks.language.verbs import ALONGSIDE, DOUBLE, IMPERATIVES, OBJECTS, PARTICLES
from authorkit.checks.passage import Passage
from authorkit.checks.subject import Subject
from authorkit.problems import Problem

RULE = "instruction-two-in-one"

_JOINT = re.compile(r"(?P<joint>,? and then|,? then|,? and|,)\s+(?P<verb>[a-z-]+)\b(?P<rest>[^,]*)")
_NAME = re.compile(r"[A-Z]+[\w+-]*\d[\w.+-]*")


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such sentence of a step, a repair, an end or a caution."""
    for passage in subject.passages:
        yield from problems_of(passage)


def problems_of(passage: Passage) -> Iterator[Problem]:
    """The findings of one passage."""
    for sentence in sentences(passage):
        if sentence.kind in ("instruction", "advice"):
            second = _second(sentence)
            if second:
                yield _problem(sentence, second)


def _second(sentence: Sentence) -> str:
    """What joins the second instruction with the first: 'and turn', ';'. '' if there is none."""
    if ";" in sentence.plain:
        return ";"
    command = sentence.command
    if not _is_verb(command.split(" ")[0]):
        return ""
    for match in _JOINT.finditer(command):
        verb, joint = match["verb"], match["joint"].strip(" ,")
        if _is_second(command[: match.start()], verb, match["rest"], bool(joint.endswith("then"))):
            return f"{joint} {verb}".strip()
    return ""


def _is_second(before: str, verb: str, rest: str, sequence: bool) -> bool:
    """Whether a verb after a joint begins an instruction of its own.

    'Open and close the door' has one object for both verbs, and so have the ends of 'to find and repair the wire'. A
    verb that is also a thing needs an object that only a verb takes.
    """
    words = before.split()
    if not _is_verb(verb) or (len(words) == 1 and not sequence):
        return False
    if len(words) == 2 and words[1] in PARTICLES and not sequence:
        return False
    if words[-2:-1] in (["to"], ["not"]) and _is_verb(words[-1]):
        return False
    if verb in ALONGSIDE and not sequence:
        return False
    following = rest.split()
    if not following:
        return False
    first = following[0].strip(".,")
    if verb in DOUBLE:
        return first in ("the", "it", "them", "its")
    return first in OBJECTS | PARTICLES | {"again", "at", "for", "from", "to", "with"} or bool(_NAME.match(first))


def _is_verb(word: str) -> bool:
    return word.strip(",.").lower() in IMPERATIVES


def _problem(sentence: Sentence, second: str) -> Problem:
    return Problem(
        RULE,
        f"The sentence '{shortened(sentence.text)}' gives two instructions.",
        sentence.place,
        found=f"'{second}'",
        expected="one instruction in a sentence, unless both happen together ('move it and watch the value')",
        suggestion="End the first instruction with a full stop, and begin the second one anew.",
    )
