"""A search as numbers: items with weights, tests that split them, minutes; and the tree of tests that is found."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

# A set of items as bits: item i is bit i.
Mask = int
# Where a search stands: the items that are left, and the setup that the vehicle is in.
Spot = tuple[Mask, int]


@dataclass(frozen=True)
class Trial:
    """A test as the search sees it.

    `outcomes` gives for each item the number of the answer that it brings. `minutes` is what the test takes once the
    vehicle is in `setup`, a number of `Task.changes`. While an item of `barred` is left, it must not be done.
    """

    name: str
    minutes: float
    outcomes: tuple[int, ...]
    setup: int = 0
    barred: Mask = 0


@dataclass(frozen=True)
class Task:
    """What is searched for.

    Each item has a weight (any positive scale) and a label; the search may stop where all that is left has one label.
    `changes[i][j]` is how many minutes it takes to get from setup i to setup j; the search begins in `start`.
    """

    weights: tuple[float, ...]
    labels: tuple[Hashable, ...]
    trials: tuple[Trial, ...]
    changes: tuple[tuple[float, ...], ...] = ((0.0,),)
    start: int = 0

    @cached_property
    def everything(self) -> Mask:
        """All items."""
        return (1 << len(self.weights)) - 1

    @cached_property
    def total(self) -> float:
        """The weight of all items."""
        return sum(self.weights)

    def cost(self, setup: int, trial: Trial) -> float:
        """The minutes of a test, with the way to its setup."""
        return trial.minutes + self.changes[setup][trial.setup]

    def weight(self, mask: Mask) -> float:
        """The weight of some items."""
        return sum(self.weights[item] for item in items_of(mask))


@dataclass(frozen=True)
class Tree:
    """What to do with the items that are left: a test and what follows each of its answers, or nothing more."""

    items: Mask
    trial: Trial | None = None
    branches: Mapping[int, Tree] = field(default_factory=dict)

    def walk(self) -> Iterator[Tree]:
        """This tree and all below it, from the first test on."""
        yield self
        for branch in self.branches.values():
            yield from branch.walk()


def items_of(mask: Mask) -> Iterator[int]:
    """The numbers of the items in a set, in rising order."""
    while mask:
        lowest = mask & -mask
        yield lowest.bit_length() - 1
        mask ^= lowest


def expected(task: Task, tree: Tree) -> float:
    """The minutes that a tree takes on average over the weights."""
    return _minutes(task, tree, task.start) / task.weight(tree.items) if tree.items else 0.0


def _minutes(task: Task, tree: Tree, setup: int) -> float:
    if tree.trial is None:
        return 0.0
    here = task.cost(setup, tree.trial) * task.weight(tree.items)
    return here + sum(_minutes(task, branch, tree.trial.setup) for branch in tree.branches.values())


def reduced(task: Task) -> tuple[Task, tuple[Mask, ...]]:
    """The same task with items that no test tells apart put together, and which items each new one stands for.

    An item that stands for several labels is labelled with all of them: nothing can divide it further.
    """
    groups: dict[tuple[tuple[int, int], ...], list[int]] = {}
    for item in range(len(task.weights)):
        marks = tuple((trial.outcomes[item], trial.barred >> item & 1) for trial in task.trials)
        groups.setdefault(marks, []).append(item)
    members = list(groups.values())
    weights = tuple(sum(task.weights[item] for item in group) for group in members)
    labels = tuple(frozenset(task.labels[item] for item in group) for group in members)
    trials = tuple(_reduced_trial(trial, [group[0] for group in members]) for trial in task.trials)
    small = Task(weights, labels, trials, task.changes, task.start)
    return small, tuple(mask_of(group) for group in members)


def _reduced_trial(trial: Trial, kept: Sequence[int]) -> Trial:
    barred = mask_of([number for number, item in enumerate(kept) if trial.barred >> item & 1])
    outcomes = tuple(trial.outcomes[item] for item in kept)
    return replace(trial, outcomes=outcomes, barred=barred)


def mask_of(items: Sequence[int]) -> Mask:
    """Some items as bits."""
    return sum(1 << item for item in items)
