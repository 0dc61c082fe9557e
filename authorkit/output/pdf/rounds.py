"""Typesetting the parts until their page numbers agree.

A part prints pages of others, and on which pages those stand is known only when they are typeset. So the parts are
typeset with the page numbers they had last time; those that were told wrong ones are typeset again, until none is.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, field

from authorkit.manual.telling import Tell, silent
from authorkit.output.pdf.cache import PartCache, key_of
from authorkit.output.pdf.parts import Fault, Layout, Numbers, Outcome, Part, Typeset, numbers_for
from authorkit.output.pdf.typeset import lay_out, typeset

_ROUNDS = 4
# How a part is thought to come out of which nothing is known: everything on its first page, as long as most chapters.
_GUESSED_PAGES = 7


@dataclass
class _State:
    """The layout of each part so far, and the part as it was typeset last, with its key."""

    layouts: list[Layout]
    made: dict[int, Typeset] = field(default_factory=dict)
    keys: dict[int, str] = field(default_factory=dict)


def typeset_all(parts: Sequence[Part], cache: PartCache, executor: Executor, tell: Tell = silent) -> list[Outcome]:
    """Each part with its right page numbers, or with what is wrong with it."""
    state = _State(_first_layouts(parts, cache, executor))
    for _ in range(_ROUNDS):
        numbers = numbers_for(parts, state.layouts)
        keys = {position: key_of(part, numbers[position]) for position, part in enumerate(parts)}
        wrong = [position for position, key in keys.items() if state.keys.get(position) != key]
        if not wrong:
            cache.settle({part.anchor: keys[position] for position, part in enumerate(parts)})
            return [state.made[position] for position in range(len(parts))]
        jobs = {position: (parts[position], numbers[position], keys[position]) for position in wrong}
        outcomes = _typeset_some(jobs, cache, executor, tell)
        if any(isinstance(outcome, tuple) for outcome in outcomes.values()):
            return [_faults(outcomes.get(position)) for position in range(len(parts))]
        for position, outcome in outcomes.items():
            assert isinstance(outcome, Typeset)
            state.made[position], state.keys[position] = outcome, keys[position]
            state.layouts[position] = outcome.layout
    return [_unsettled(position in wrong) for position in range(len(parts))]


def _first_layouts(parts: Sequence[Part], cache: PartCache, executor: Executor) -> list[Layout]:
    """Where the names come to stand as far as it is known; parts of which nothing is known are laid out for it."""
    guess = [Layout(_GUESSED_PAGES, {}) for _ in parts]
    known = cache.last_layouts(parts)
    numbers = numbers_for(parts, [layout or guessed for layout, guessed in zip(known, guess, strict=True)])
    waiting = {
        position: executor.submit(lay_out, part, numbers[position])
        for position, part in enumerate(parts)
        if known[position] is None
    }
    found = {position: future.result() for position, future in waiting.items()}
    return [known[position] or found.get(position) or guess[position] for position in range(len(parts))]


def _typeset_some(
    jobs: Mapping[int, tuple[Part, Numbers, str]], cache: PartCache, executor: Executor, tell: Tell
) -> dict[int, Outcome]:
    """Each part with its numbers and its key, from the cache if it is there."""
    outcomes: dict[int, Outcome] = {}
    waiting = {}
    for position, (part, numbers, key) in jobs.items():
        kept = cache.read(key)
        if kept is not None:
            outcomes[position] = kept
        else:
            waiting[position] = executor.submit(typeset, part, numbers)
    for done, (position, future) in enumerate(waiting.items(), start=1):
        outcome = future.result()
        tell("parts typeset", done, len(waiting))
        outcomes[position] = outcome
        if isinstance(outcome, Typeset):
            cache.keep(jobs[position][2], outcome)
    return outcomes


def _faults(outcome: Outcome | None) -> tuple[Fault, ...]:
    return outcome if isinstance(outcome, tuple) else ()


def _unsettled(wrong: bool) -> tuple[Fault, ...]:
    """The page numbers went round in a circle: a reference that is one digit longer moves what it refers to."""
    fault = Fault(
        f"its page numbers do not settle: after {_ROUNDS} rounds they still change what stands on which page.",
        "Change the text a little where it refers to other pages.",
    )
    return (fault,) if wrong else ()
