"""Quick orders of tests: the most information for a minute, and the same looking one test ahead."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from functools import cache

from authorkit.diagnosis.task import Mask, Spot, Task, Tree, Trial, items_of


def entropy(weights: Iterable[float]) -> float:
    """The information of a split in bits (C. E. Shannon 1948)."""
    parts = [weight for weight in weights if weight > 0]
    total = sum(parts)
    return -sum(part / total * math.log2(part / total) for part in parts)


def gain(before: Iterable[float], after: Iterable[Iterable[float]]) -> float:
    """What a test tells of a class, in bits: the entropy before, less what is left in its answers on average."""
    parts = [list(part) for part in after]
    total = sum(map(sum, parts))
    return entropy(before) - sum(sum(part) / total * entropy(part) for part in parts)


def greedy(task: Task) -> Tree:
    """The tree that takes, at every point, the test with the most information for a minute."""
    return _grown(task, lambda spot: _most_telling(task, spot))


def rolled_out(task: Task) -> Tree:
    """The tree that takes the test after which the greedy rule would need the fewest minutes."""

    @cache
    def minutes(spot: Spot) -> float:
        trial = _most_telling(task, spot)
        return 0.0 if trial is None else _through(task, spot, trial, minutes)

    def choice(spot: Spot) -> Trial | None:
        tests = _dividing(task, spot[0])
        return min(tests, key=lambda each: _through(task, spot, each, minutes), default=None)

    return _grown(task, choice)


_Minutes = Callable[[Spot], float]


def _through(task: Task, spot: Spot, trial: Trial, after: _Minutes) -> float:
    """The weighted minutes of a test and of what follows it."""
    mask, setup = spot
    parts = _split(trial, mask).values()
    return task.cost(setup, trial) * task.weight(mask) + sum(after((part, trial.setup)) for part in parts)


def _most_telling(task: Task, spot: Spot) -> Trial | None:
    mask, setup = spot

    def worth(trial: Trial) -> float:
        told = gain(
            _by_label(task, mask).values(),
            (_by_label(task, part).values() for part in _split(trial, mask).values()),
        )
        return told / max(task.cost(setup, trial), 1e-9)

    return max(_dividing(task, mask), key=worth, default=None)


def _by_label(task: Task, mask: Mask) -> dict[object, float]:
    found: dict[object, float] = {}
    for item in items_of(mask):
        label = task.labels[item]
        found[label] = found.get(label, 0.0) + task.weights[item]
    return found


def _dividing(task: Task, mask: Mask) -> Iterator[Trial]:
    """The tests worth doing: none where one label is left."""
    if len({task.labels[item] for item in items_of(mask)}) > 1:
        yield from (trial for trial in task.trials if not trial.barred & mask and len(_split(trial, mask)) > 1)


def _split(trial: Trial, mask: Mask) -> dict[int, Mask]:
    parts: dict[int, Mask] = {}
    for item in items_of(mask):
        outcome = trial.outcomes[item]
        parts[outcome] = parts.get(outcome, 0) | 1 << item
    return parts


def _grown(task: Task, choice: Callable[[Spot], Trial | None]) -> Tree:
    def grow(spot: Spot) -> Tree:
        mask, trial = spot[0], choice(spot)
        if trial is None:
            return Tree(mask)
        parts = _split(trial, mask)
        return Tree(mask, trial, {answer: grow((parts[answer], trial.setup)) for answer in sorted(parts)})

    return grow((task.everything, task.start))
