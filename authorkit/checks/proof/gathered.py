"""The same finding on several series is one finding: gathering what the proofs of a chapter say by step."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from authorkit.checks.subject import Subject
from authorkit.diagnosis.proof import Proof
from authorkit.model.chapter import Chapter
from authorkit.model.wiring import Limited


@dataclass
class Gathered:
    """What one chapter's proofs say of one thing: words in the order found, and the series on which it is so."""

    words: dict[str, None] = field(default_factory=dict)
    series: set[str] = field(default_factory=set)

    def listed(self, most: int = 3) -> str:
        """The first few words as a list: 'K131: open, B5: open and 4 more'."""
        every = list(self.words)
        shown = "; ".join(every[:most])
        return shown if len(every) <= most else f"{shown} and {len(every) - most} more"


# What a rule says of a proof: pairs of a key (the number of a step, mostly) and words about it.
Telling = Callable[[Proof], Iterator[tuple[str, str]]]


def is_everywhere(entry: Gathered, fact: Limited, subject: Subject) -> bool:
    """Whether something is so on every series on which a fact holds."""
    return subject.holds(fact) <= entry.series


def gathered(subject: Subject, tell: Telling) -> Iterator[tuple[Chapter, str, Gathered, str]]:
    """For each chapter and key: what is said of it, and ' on series A' where it is not so on every series proven."""
    for chapter in subject.book.chapters:
        found: dict[str, Gathered] = {}
        proven = set()
        for proof in subject.proofs_of(chapter):
            proven.add(proof.series)
            for key, words in tell(proof):
                entry = found.setdefault(key, Gathered())
                entry.words[words] = None
                entry.series.add(proof.series)
        for key, entry in found.items():
            yield chapter, key, entry, "" if entry.series == proven else subject.on_series(entry.series)
