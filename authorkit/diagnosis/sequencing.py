"""Which test first: the tree of least expected minutes, exact up to a cap, by roll-out beyond it."""

from __future__ import annotations

import math
from collections.abc import Hashable
from dataclasses import dataclass
from functools import cached_property

from authorkit.diagnosis.bound import huffman
from authorkit.diagnosis.greedy import rolled_out
from authorkit.diagnosis.task import Mask, Spot, Task, Tree, Trial, expected, items_of, reduced

# Sets of items that the exact search looks at before it gives way to the roll-out: some seconds' worth.
CAP = 200_000


@dataclass(frozen=True)
class Plan:
    """A tree of tests with what it takes.

    `minutes` is expected over the weights, `least` a bound that no tree can go below, `exact` whether the tree is the
    best there is, `visited` how many sets of items were looked at.
    """

    tree: Tree
    minutes: float
    least: float
    exact: bool
    visited: int


# What items of several labels count for where no test may divide them, in minutes: more than any test to avoid it.
_UNDIVIDED = 1000.0


class _CapError(Exception):
    """The exact search has looked at as many sets as it may."""


def sequence(task: Task, cap: int = CAP) -> Plan:
    """The tree of least expected minutes.

    Exact by dynamic programming over the sets of items that are left (M. R. Garey 1972), cut off with the bound of
    `bound.huffman`; when more than `cap` sets are needed, one-step roll-out of the greedy rule instead (F. Tu and
    K. R. Pattipati 2003). Each branch ends where all that is left has one label, or no test divides it.
    """
    small, members = reduced(task)
    search = _Search(small, cap)
    least = search.least(small.everything) / (small.total or 1.0)
    try:
        start = (small.everything, small.start)
        search.best(start)
        tree, exact = search.tree(start), True
    except _CapError:
        tree, exact = rolled_out(small), False
    minutes = expected(small, tree)
    return Plan(_unfolded(tree, members, task), minutes, least, exact, len(search.found))


class _Search:
    """One exact search: what is known of each set of items in each setup."""

    def __init__(self, task: Task, cap: int) -> None:
        """Prepare the masks of each test's answers."""
        self.task, self.cap = task, cap
        self.found: dict[Spot, tuple[float, int]] = {}
        self._least: dict[Mask, float] = {}
        self._weights: dict[Mask, float] = {}
        self._answers = [_answers(trial) for trial in task.trials]
        self._most_answers = max((len(masks) for masks in self._answers), default=2)
        self._cheapest = min((trial.minutes for trial in task.trials), default=0.0)

    @cached_property
    def _by_label(self) -> tuple[Mask, ...]:
        groups: dict[Hashable, Mask] = {}
        for item, label in enumerate(self.task.labels):
            groups[label] = groups.get(label, 0) | 1 << item
        return tuple(groups.values())

    def weight(self, mask: Mask) -> float:
        """The weight of some items, summed once."""
        known = self._weights.get(mask)
        if known is None:
            known = self._weights[mask] = self.task.weight(mask)
        return known

    def least(self, mask: Mask) -> float:
        """A bound from below: the labels coded as short as possible, each test as cheap as the cheapest."""
        known = self._least.get(mask)
        if known is None:
            parts = [self.weight(mask & group) for group in self._by_label if mask & group]
            known = self._least[mask] = self._cheapest * huffman(parts, self._most_answers)
        return known

    def best(self, spot: Spot) -> float:
        """The weighted minutes from here on; notes the best test. Raises _CapError."""
        if self._is_told(spot[0]):
            return 0.0
        known = self.found.get(spot)
        if known is not None:
            return known[0]
        if len(self.found) >= self.cap:
            raise _CapError
        best, chosen = math.inf, -1
        for low, index, parts in self._candidates(spot):
            if low >= best:
                break
            total = self._through((index, parts), spot, best)
            if total < best:
                best, chosen = total, index
        best = _UNDIVIDED * self.weight(spot[0]) if chosen < 0 else best
        self.found[spot] = best, chosen
        return best

    def _is_told(self, mask: Mask) -> bool:
        return any(mask & ~group == 0 for group in self._by_label)

    def _candidates(self, spot: Spot) -> list[tuple[float, int, list[Mask]]]:
        """The tests that divide these items, the most promising first, with the least that each can come to."""
        found = []
        mask, setup = spot
        whole = self.weight(mask)
        for index, masks in enumerate(self._answers):
            parts = [part for answer in masks if (part := answer & mask)]
            if len(parts) > 1 and not self.task.trials[index].barred & mask:
                low = self.task.cost(setup, self.task.trials[index]) * whole + sum(map(self.least, parts))
                found.append((low, index, parts))
        return sorted(found)

    def _through(self, choice: tuple[int, list[Mask]], spot: Spot, limit: float) -> float:
        (index, parts), (mask, setup) = choice, spot
        trial = self.task.trials[index]
        total = self.task.cost(setup, trial) * self.weight(mask) + sum(map(self.least, parts))
        for part in sorted(parts):
            total += self.best((part, trial.setup)) - self.least(part)
            if total >= limit:
                return math.inf
        return total

    def tree(self, spot: Spot) -> Tree:
        """The best tree, after `best` has been asked."""
        self.best(spot)
        mask, (_, index) = spot[0], self.found.get(spot, (0.0, -1))
        if index < 0:
            return Tree(mask)
        trial = self.task.trials[index]
        branches = {
            trial.outcomes[next(items_of(part))]: self.tree((part, trial.setup))
            for answer in self._answers[index]
            if (part := answer & mask)
        }
        return Tree(mask, trial, branches)


def _answers(trial: Trial) -> tuple[Mask, ...]:
    masks: dict[int, Mask] = {}
    for item, outcome in enumerate(trial.outcomes):
        masks[outcome] = masks.get(outcome, 0) | 1 << item
    return tuple(masks[outcome] for outcome in sorted(masks))


def _unfolded(tree: Tree, members: tuple[Mask, ...], task: Task) -> Tree:
    """The tree over the items of the whole task instead of those that stand for several."""
    items = sum(members[item] for item in items_of(tree.items))
    if tree.trial is None:
        return Tree(items)
    trial = next(each for each in task.trials if each.name == tree.trial.name)
    return Tree(items, trial, {answer: _unfolded(branch, members, task) for answer, branch in tree.branches.items()})
