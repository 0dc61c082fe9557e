"""A step warns after the action that it warns of: the reader has done it by then."""

from __future__ import annotations

import re
from collections.abc import Iterator

from authorkit.checks.language.sentences import sentences, shortened
from authorkit.checks.passage import Passage
from authorkit.checks.subject import Subject
from authorkit.problems import Problem

RULE = "warning-after-action"

_WARNS = re.compile(
    r"(danger|warning|caution|notice|attention|beware|careful)\b"
    r"|(be careful|take care|watch out|mind the)\b"
    r"|(keep|stay|stand|step)( well)? (clear|away|back|off)\b"
    r"|keep (your |all )?(hands|fingers|hair|clothing|face|arms)\b"
    r"|(do not|never) (touch|reach|lean|stand|breathe|inhale|look into|step)\b"
    r"|the \w+( \w+)? (can|may|could|will) (start|burn|injure|kill|cut|explode|be hot|be live)\b",
    re.IGNORECASE,
)


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each step whose text ends with a warning."""
    for passage in subject.passages:
        yield from problems_of(passage)


def problems_of(passage: Passage) -> Iterator[Problem]:
    """The findings of one passage: its last sentence warns, and none of the actions before it is left to be done."""
    told = [sentence for sentence in sentences(passage) if sentence.kind in ("instruction", "advice")]
    if len(told) < 2 or not _WARNS.match(told[-1].text) or all(_WARNS.match(each.text) for each in told):
        return
    last = told[-1]
    yield Problem(
        RULE,
        f"The warning '{shortened(last.text)}' stands after the action that it warns of.",
        last.place,
        found=shortened(last.text),
        expected="the warning before the action",
        suggestion="Put the sentence first, or write it under 'cautions' with the number of the step.",
    )
