"""A live reference names a kind of thing that does not exist."""

from __future__ import annotations

import re
from collections.abc import Iterator

from authorkit.checks.nearest import listed, nearest
from authorkit.checks.prose.live_references import live_references
from authorkit.checks.subject import Subject
from authorkit.model.reference import REFERENCE_KINDS
from authorkit.problems import Problem

RULE = "reference-kind-unknown"

# Other words for the kinds, which no likeness of letters would find.
_OTHER_WORDS = {
    "wire": "circuit",
    "pin": "cavity",
    "terminal": "cavity",
    "plug": "connector",
    "module": "part",
    "component": "part",
    "sensor": "part",
    "dtc": "code",
    "chapter": "code",
    "earth": "ground",
    "joint": "splice",
    "spec": "reading",
    "value": "reading",
    "picture": "figure",
    "image": "figure",
    "word": "term",
    "heading": "section",
}
# A reference in all but its capitals, which the page would print as it stands.
_CAPITALS = re.compile(r"\{([A-Za-z]{2,12}):\s*([^{}\n]{1,80})\}")


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such reference, in prose and in facts."""
    for passage in subject.passages:
        for reference in live_references(passage, _CAPITALS):
            if reference.kind not in REFERENCE_KINDS:
                typed = f"{{{reference.kind}:{reference.target}}}"
                yield Problem(
                    RULE,
                    f"The reference '{typed}' names a kind that does not exist.",
                    passage.at(reference.start),
                    found=reference.kind,
                    expected=listed(REFERENCE_KINDS, most=20),
                    suggestion=_suggestion(reference.kind, reference.target),
                )


def _suggestion(kind: str, target: str) -> str:
    meant = _OTHER_WORDS.get(kind.lower())
    if meant:
        return f"Did you mean '{{{meant}:{target}}}'?"
    return nearest(kind, REFERENCE_KINDS, "Put it between back-quotes if it is no reference.")
