"""Running the rules over a book, and setting aside what the author accepts."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, replace

from authorkit.checks import COMPUTING, RULE_MODULES
from authorkit.checks.rule import RuleModule
from authorkit.checks.subject import subject_of
from authorkit.circuit.study import Studies
from authorkit.model.book import Book
from authorkit.model.chapter import Acceptance, Chapter
from authorkit.problems import RULES, Problem
from authorkit.problems.closest import closest, did_you_mean

# The rooms whose findings are complete after a check without building.
_CHECKING_ROOMS = ("facts", "checks")


@dataclass(frozen=True)
class Accepted:
    """A finding that the author accepts, with the reason given."""

    problem: Problem
    because: str


@dataclass(frozen=True)
class Findings:
    """The outcome of a check: what is open, what is accepted, each in reading order."""

    open: tuple[Problem, ...]
    accepted: tuple[Accepted, ...]

    @property
    def errors(self) -> tuple[Problem, ...]:
        """The open findings that stop a build."""
        return tuple(problem for problem in self.open if problem.severity == "error")


def check_book(
    book: Book | None,
    reading: Iterable[Problem] = (),
    *,
    studies: Studies | None = None,
    modules: Iterable[RuleModule] = RULE_MODULES,
) -> Findings:
    """All findings about a book: those of reading it, and those of every rule.

    `studies` are those already made of this book; the others are made where a rule asks for them.
    """
    problems = list(reading)
    if book is None:
        return Findings(_in_order(problems), ())
    subject = subject_of(book, studies)
    for module in modules:
        problems += module.check(subject)
    return settle(book, problems, rooms=_CHECKING_ROOMS)


def check_notebook(
    book: Book, chapter: Chapter | None, reading: Iterable[Problem] = (), studies: Studies | None = None
) -> Findings:
    """The findings about a book as far as one notebook is concerned: in a moment, whatever the size of the book.

    Rules that compute circuits look at `chapter` alone, at none if it is None (the vehicle notebook); all others look
    at the whole book. `studies` are of a book with that chapter only.
    """
    problems = list(reading)
    subject = subject_of(book)
    for module in RULE_MODULES:
        if module not in COMPUTING:
            problems += module.check(subject)
    if chapter is not None:
        alone = subject_of(replace(book, chapters=(chapter,)), studies)
        for module in COMPUTING:
            problems += module.check(alone)
    findings = settle(book, problems, rooms=_CHECKING_ROOMS)
    computed = {module.RULE for module in COMPUTING}
    file = chapter.file if chapter else ""
    still_open = tuple(
        problem
        for problem in findings.open
        if problem.rule != "acceptance-unused" or problem.found not in computed or problem.place.file == file
    )
    return replace(findings, open=still_open)


def settle(book: Book, problems: Iterable[Problem], rooms: Collection[str] | None = None) -> Findings:
    """Set accepted findings aside; an acceptance that accepts nothing, or nothing known, is a finding itself.

    `rooms` are those that have looked at the book so far, all of them if it is None: an acceptance of a finding that
    only building can bring up is not called unused before.
    """
    homes = {book.vehicle.file, *(chapter.file for chapter in book.chapters)}
    acceptances = list(_acceptances(book))
    used: set[Acceptance] = set()
    still_open: list[Problem] = []
    accepted: list[Accepted] = []
    for problem in _in_order(problems):
        acceptance = next((a for a in acceptances if _covers(a, problem, book, homes)), None)
        if acceptance is None:
            still_open.append(problem)
        else:
            used.add(acceptance)
            accepted.append(Accepted(problem, acceptance.because))
    idle = [acceptance for acceptance in acceptances if acceptance not in used]
    still_open += [_unused(acceptance) for acceptance in idle if _is_due(acceptance, rooms)]
    return Findings(_in_order(still_open), tuple(accepted))


def _acceptances(book: Book) -> Iterator[Acceptance]:
    yield from book.vehicle.accept
    for chapter in book.chapters:
        yield from chapter.accept


def _covers(acceptance: Acceptance, problem: Problem, book: Book, homes: Collection[str]) -> bool:
    """An acceptance covers findings of its rule that touch its own notebook.

    Files without facts (front pages, the recipe, figures) are the business of the vehicle notebook.
    """
    touched = {problem.place.file, *(place.file for place in problem.also)}
    files = touched if touched & set(homes) else {book.vehicle.file}
    return problem.rule == acceptance.rule and acceptance.place.file in files and acceptance.where in problem.message


def _is_due(acceptance: Acceptance, rooms: Collection[str] | None) -> bool:
    """Whether every room that could have reported such a finding has looked; at once for an unknown rule."""
    rule = RULES.get(acceptance.rule)
    return rooms is None or rule is None or rule.by in rooms


def _unused(acceptance: Acceptance) -> Problem:
    if acceptance.rule not in RULES:
        return Problem(
            "acceptance-unknown",
            f"There is no rule '{acceptance.rule}' to accept findings of.",
            acceptance.place,
            found=acceptance.rule,
            expected="the id of a rule",
            suggestion=did_you_mean(closest(acceptance.rule, RULES)),
        )
    return Problem(
        "acceptance-unused",
        f"Nothing here breaks the rule '{acceptance.rule}' any more, so there is nothing to accept.",
        acceptance.place,
        found=acceptance.rule,
        suggestion="Delete this line of 'accept'.",
    )


def _in_order(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """In reading order, each finding once."""
    return tuple(sorted(dict.fromkeys(problems), key=lambda problem: problem.sort_key))
