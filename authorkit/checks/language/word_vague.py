"""A step leaves to the reader what the author should say: 'properly', 'if necessary', 'etc.'"""

from __future__ import annotations

import re
from collections.abc import Iterator

from authorkit.checks.language.sentences import kind_of, sentences
from authorkit.checks.passage import Passage
from authorkit.checks.subject import Subject
from authorkit.problems import Problem

RULE = "word-vague"

_SAY_WHEN = "Say when, as in 'if the reading is above 2 Ω'."
_SAY_WHAT = "Say what must be seen or measured."
_SAY_HOW_MANY = "Give the number."
_SAY_ALL = "Name them all."

# Own list, after the idea of IEC/IEEE 82079-1 (clear, unambiguous) and the vague terms of ISO/IEC/IEEE 29148; both from
# memory.
_VAGUE = {
    r"(if|as|where|when) (necessary|required|needed|applicable|appropriate)": _SAY_WHEN,
    r"(appropriate|adequate|suitable|sufficient|reasonable|proper)(ly)?|suitably|reasonably": _SAY_WHAT,
    r"(several|a few|a number of)(?= [a-z])": _SAY_HOW_MANY,
    r"for (a while|some time)": "Give the time.",
    r"etc\.?|and so on|and so forth": _SAY_ALL,
    r"and/or": "Write 'A, B, or both'.",
    r"(if|as far as|where) possible": "Say what to do, and what to do if it cannot be done.",
}
_PATTERN = re.compile("|".join(rf"\b(?P<g{number}>{text})(?!\w)" for number, text in enumerate(_VAGUE)), re.IGNORECASE)
_ADVICE = tuple(_VAGUE.values())


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such word of a step, a repair, an end, a question or a caution."""
    for passage in subject.passages:
        yield from problems_of(passage)


def problems_of(passage: Passage) -> Iterator[Problem]:
    """The findings of one passage."""
    if kind_of(passage) == "description":
        return
    for sentence in sentences(passage):
        for match in _PATTERN.finditer(sentence.text):
            number = next(int(name[1:]) for name, text in match.groupdict().items() if text and name[0] == "g")
            yield Problem(
                RULE,
                f"'{match.group()}' can mean anything here.",
                sentence.place,
                found=match.group(),
                expected="what a technician can see, count or measure",
                suggestion=_ADVICE[number],
            )
