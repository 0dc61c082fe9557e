"""A fault that may set the code ends at a verdict that accuses something else."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.proof.verdict_wrong import wrong_verdicts
from authorkit.checks.subject import Subject
from authorkit.diagnosis.proof import Proof, surely_sets
from authorkit.diagnosis.walk import Ending
from authorkit.problems import Problem

RULE = "verdict-doubtful"


def check(subject: Subject) -> Iterator[Problem]:
    """As 'verdict-wrong', for faults of which it is not certain that they set the code or come there.

    What the module reads straddles the limit; or the set condition is told in words, and a suspect of the page names
    the fault; or a look should have shown it and did not.
    """
    yield from wrong_verdicts(subject, RULE, _is_doubtful)


def _is_doubtful(proof: Proof, fault: str, ending: Ending) -> bool:
    if ending.open or ending.torn:
        return False
    return not (ending.sure and surely_sets(proof.study, fault))
