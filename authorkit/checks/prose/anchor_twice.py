"""Two figures, specs, states, waveforms or headings of one chapter have the same name."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping

from authorkit.checks.prose.sub_headings import SubHeading, folded, sub_headings
from authorkit.checks.subject import Subject
from authorkit.model.chapter import Chapter
from authorkit.model.wiring import Limited
from authorkit.problems import Problem

RULE = "anchor-twice"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each name that comes again on a series where it is taken."""
    for chapter in subject.book.chapters:
        for kind, named in _named(chapter).items():
            yield from _twice(kind, named, subject)
    headings: dict[str, list[SubHeading]] = defaultdict(list)
    for passage in subject.passages:
        if passage.is_prose:
            headings[passage.place.file] += sub_headings(passage)
    for found in headings.values():
        yield from _headings(found)


def _named(chapter: Chapter) -> Mapping[str, list[tuple[str, Limited]]]:
    return {
        "figure": [(figure.id, figure) for figure in chapter.pictures],
        "spec": [(spec.name, spec) for spec in chapter.specs if spec.name],
        "state": [(state.name, state) for state in chapter.states],
        "waveform": [(waveform.name, waveform) for waveform in chapter.waveforms],
    }


def _twice(kind: str, named: list[tuple[str, Limited]], subject: Subject) -> Iterator[Problem]:
    taken: dict[str, list[Limited]] = defaultdict(list)
    for name, fact in named:
        earlier = [other for other in taken[name] if subject.holds(other) & subject.holds(fact)]
        taken[name].append(fact)
        if earlier:
            yield Problem(
                RULE,
                f"Two {kind}s of this chapter are called '{name}', so a reference cannot tell them apart.",
                fact.place,
                found=name,
                expected=f"a name that no other {kind} of this chapter has",
                suggestion=f"Rename one of the two, such as '{name}-2'.",
                also=tuple(other.place for other in earlier),
            )


def _headings(headings: list[SubHeading]) -> Iterator[Problem]:
    taken: dict[str, list[SubHeading]] = defaultdict(list)
    for heading in headings:
        earlier = taken[folded(heading.text)]
        if earlier and folded(heading.text):
            yield Problem(
                RULE,
                f"The heading '{heading.text}' stands twice in this notebook, so the reader cannot tell them apart.",
                heading.place,
                found=heading.text,
                expected="headings that differ",
                suggestion="Say in the heading what is special about each part.",
                also=tuple(other.place for other in earlier),
            )
        earlier.append(heading)
