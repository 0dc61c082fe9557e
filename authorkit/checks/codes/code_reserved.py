"""A code lies in a range that the standard keeps in reserve, or is the filler P0000."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from authorkit.checks.codes.mentions import Mention, mentions
from authorkit.checks.subject import Subject
from authorkit.model.trouble_code import TroubleCode
from authorkit.problems import Problem

RULE = "code-reserved"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such code, at its chapter if it has one."""
    found: dict[TroubleCode, list[Mention]] = defaultdict(list)
    for mention in mentions(subject):
        if mention.code.owner == "reserved" or mention.code.is_padding:
            found[mention.code].append(mention)
    for code, said in found.items():
        yield _problem(code, said)


def _problem(code: TroubleCode, said: list[Mention]) -> Problem:
    if code.is_padding:
        message = f"{code} fills up a message on the bus and is no fault."
    else:
        message = f"{code.owner_sentence[:1].upper()}{code.owner_sentence[1:]}"
    letter = code.text[0]
    return Problem(
        RULE,
        message,
        said[-1].place,
        found=str(code),
        expected="a code that a module can store",
        suggestion=f"Read the code off the module again. A maker's own codes begin with {letter}1"
        f"{'' if letter == 'P' else f' or {letter}2'}.",
        also=tuple(mention.place for mention in said[:-1]),
    )
