"""Published examples of test sequencing, each proved again by trying every tree there is."""

from __future__ import annotations

import itertools
import random
from collections.abc import Sequence

import pytest

from authorkit.diagnosis.bound import huffman
from authorkit.diagnosis.greedy import entropy, gain, greedy, rolled_out
from authorkit.diagnosis.sequencing import sequence
from authorkit.diagnosis.task import Task, Trial, expected, items_of


def every_tree(task: Task, items: frozenset[int], setup: int = 0) -> float:
    """The least weighted minutes by plain recursion over every tree: nothing remembered, nothing cut off."""
    if len({task.labels[item] for item in items}) < 2:
        return 0.0
    totals = []
    for trial in task.trials:
        parts: dict[int, set[int]] = {}
        for item in items:
            parts.setdefault(trial.outcomes[item], set()).add(item)
        if len(parts) > 1:
            here = task.cost(setup, trial) * sum(task.weights[item] for item in items)
            totals.append(here + sum(every_tree(task, frozenset(part), trial.setup) for part in parts.values()))
    return min(totals, default=0.0)


def proved(task: Task) -> float:
    """The least expected minutes by enumeration."""
    return every_tree(task, frozenset(range(len(task.weights))), task.start) / task.total


def task_of(weights: Sequence[float], rows: Sequence[Sequence[int]], minutes: Sequence[float] = ()) -> Task:
    """Items with one row of outcomes each."""
    costs = minutes or [1.0] * len(rows[0])
    trials = tuple(
        Trial(f"t{number + 1}", cost, tuple(row[number] for row in rows)) for number, cost in enumerate(costs)
    )
    return Task(tuple(weights), tuple(range(len(weights))), trials)


# Five faults and the sound system, five tests of cost 1: the worked example of K. R. Pattipati's papers on test
# sequencing from 1990 on (matrix and optimum from memory, hence the proof by enumeration).
FIVE_FAULTS = task_of(
    (0.70, 0.01, 0.02, 0.10, 0.05, 0.12),
    [[int(bit) for bit in row] for row in ("00000", "01001", "00110", "10011", "11000", "11110")],
)


def test_the_five_fault_example_takes_2_18_tests() -> None:
    plan = sequence(FIVE_FAULTS)
    assert plan.exact
    assert plan.minutes == pytest.approx(2.18)
    assert proved(FIVE_FAULTS) == pytest.approx(2.18)
    assert plan.tree.trial is not None
    assert plan.tree.trial.name == "t2"


def test_the_quick_rule_loses_a_third_on_it_and_roll_out_nothing() -> None:
    assert expected(FIVE_FAULTS, greedy(FIVE_FAULTS)) == pytest.approx(2.86)
    assert expected(FIVE_FAULTS, rolled_out(FIVE_FAULTS)) == pytest.approx(2.18)


def test_with_every_split_allowed_the_optimum_is_the_huffman_code() -> None:
    # Cormen, Leiserson, Rivest, Stein, Introduction to Algorithms, Huffman codes: 224 thousand bits for 100 thousand
    # letters of these frequencies (value from memory, hence the proof by enumeration).
    weights = (0.45, 0.13, 0.12, 0.16, 0.09, 0.05)
    splits = [split for split in itertools.product((0, 1), repeat=6) if split[0] == 0 and any(split)]
    task = task_of(weights, list(zip(*splits, strict=True)))
    assert len(task.trials) == 31
    assert huffman(weights) == pytest.approx(2.24)
    assert sequence(task).minutes == pytest.approx(2.24)
    assert sequence(task).least == pytest.approx(2.24)
    assert proved(task) == pytest.approx(2.24)


def search_tree(keys: Sequence[float], gaps: Sequence[float]) -> Task:
    """A search among keys as tests with three answers: below, found, above; the gaps between keys are items too."""
    weights = [gaps[0]]
    for key, after in zip(keys, gaps[1:], strict=True):
        weights += [key, after]
    rows = [[(item > key) - (item < key) for key in range(1, len(weights), 2)] for item in range(len(weights))]
    return task_of(weights, rows)


@pytest.mark.parametrize(
    ("keys", "gaps", "published"),
    [
        # Cormen, Leiserson, Rivest, Stein, Introduction to Algorithms, optimal binary search trees: the example and
        # the exercise with seven keys (optima from memory, hence the proof by enumeration).
        ((0.15, 0.10, 0.05, 0.10, 0.20), (0.05, 0.10, 0.05, 0.05, 0.05, 0.10), 2.75),
        (
            (0.04, 0.06, 0.08, 0.02, 0.10, 0.12, 0.14),
            (0.06, 0.06, 0.06, 0.06, 0.05, 0.05, 0.05, 0.05),
            3.12,
        ),
    ],
)
def test_optimal_search_trees(keys: tuple[float, ...], gaps: tuple[float, ...], published: float) -> None:
    task = search_tree(keys, gaps)
    # The book counts a gap one deeper than the comparisons that lead to it.
    assert sequence(task).minutes + sum(gaps) == pytest.approx(published)
    assert proved(task) + sum(gaps) == pytest.approx(published)


def test_a_chain_of_equal_sections_is_halved() -> None:
    sections = 8
    rows = [[int(item > cut) for cut in range(sections - 1)] for item in range(sections)]
    task = task_of([1.0] * sections, rows)
    plan = sequence(task)
    assert plan.minutes == pytest.approx(3)
    assert proved(task) == pytest.approx(3)
    assert plan.tree.trial is not None
    assert plan.tree.trial.name == "t4"


def test_single_checks_go_by_cost_over_chance() -> None:
    # One item tested at a time until the culprit is found, the last tested too: the order of rising cost / chance is
    # the best (the rule of series systems). An item of no weight to speak of makes the last test necessary.
    rng = random.Random(5)
    for _ in range(5):
        chances = [rng.uniform(0.05, 1) for _ in range(5)]
        minutes = [rng.uniform(1, 10) for _ in range(5)]
        rows = [[int(item == test) for test in range(5)] for item in range(6)]
        task = task_of([*chances, 1e-12], rows, minutes)
        order = sorted(range(5), key=lambda item: minutes[item] / chances[item])
        spent, total = 0.0, 0.0
        for item in order:
            spent += minutes[item]
            total += spent * chances[item]
        assert sequence(task).minutes == pytest.approx(total / sum(chances), rel=1e-6)
        assert proved(task) == pytest.approx(total / sum(chances), rel=1e-6)


def test_entropy_gains_of_the_published_weather_table() -> None:
    # J. R. Quinlan, Induction of decision trees, Machine Learning 1 (1986): 9 days to play, 5 not, by four attributes
    # (counts and gains from memory; recomputed here from the counts).
    table = {
        "outlook": ((2, 3), (4, 0), (3, 2)),
        "humidity": ((3, 4), (6, 1)),
        "wind": ((6, 2), (3, 3)),
        "temperature": ((2, 2), (4, 2), (3, 1)),
    }
    published = {"outlook": 0.247, "humidity": 0.152, "wind": 0.048, "temperature": 0.029}
    assert entropy((9, 5)) == pytest.approx(0.940, abs=5e-4)
    for attribute, split in table.items():
        assert gain((9, 5), split) == pytest.approx(published[attribute], abs=6e-4)


@pytest.mark.parametrize("seed", range(12))
def test_the_exact_search_equals_enumeration_on_random_tasks(seed: int) -> None:
    rng = random.Random(seed)
    items, tests, answers, setups = rng.randint(3, 6), rng.randint(2, 5), rng.randint(2, 3), rng.randint(1, 3)
    trials = tuple(
        Trial(
            f"t{number}", rng.uniform(1, 5), tuple(rng.randrange(answers) for _ in range(items)), rng.randrange(setups)
        )
        for number in range(tests)
    )
    changes = tuple(tuple(0.0 if a == b else rng.uniform(0, 6) for b in range(setups)) for a in range(setups))
    labels = tuple(rng.randrange(4) for _ in range(items))
    task = Task(tuple(rng.uniform(0.1, 1) for _ in range(items)), labels, trials, changes)
    plan = sequence(task)
    best = proved_with_undivided(task)
    assert plan.exact
    assert plan.minutes == pytest.approx(best)
    assert plan.least <= best + 1e-9
    assert expected(task, plan.tree) == pytest.approx(best)
    assert expected(task, rolled_out(task)) >= expected(task, plan.tree) - 1e-9 or setups > 1


def proved_with_undivided(task: Task) -> float:
    """Enumeration where items that no test tells apart count as one, labelled with all that they may be."""
    rows = [tuple(trial.outcomes[item] for trial in task.trials) for item in range(len(task.weights))]
    labels = tuple(frozenset(task.labels[other] for other, its in enumerate(rows) if its == row) for row in rows)
    return proved(Task(task.weights, labels, task.trials, task.changes, task.start))


def test_items_that_no_test_divides_stay_together() -> None:
    task = task_of((1.0, 1.0, 1.0), [[0, 0], [0, 0], [1, 0]])
    plan = sequence(task)
    leaves = sorted(sorted(items_of(tree.items)) for tree in plan.tree.walk() if tree.trial is None)
    assert leaves == [[0, 1], [2]]
    assert plan.minutes == pytest.approx(1)


def test_beyond_the_cap_the_plan_says_that_it_is_not_exact() -> None:
    rng = random.Random(3)
    rows = [[rng.randrange(2) for _ in range(10)] for _ in range(14)]
    task = task_of([rng.random() for _ in rows], rows)
    capped, exact = sequence(task, cap=5), sequence(task)
    assert not capped.exact
    assert exact.exact
    assert exact.least <= exact.minutes <= capped.minutes


def test_the_bound_with_three_answers_is_the_ternary_code() -> None:
    # Nine equal leaves fit in two rounds of three answers; ten need one pair more.
    assert huffman([1 / 9] * 9, 3) == pytest.approx(2)
    assert huffman([1.0], 3) == 0
    assert huffman([1, 1, 1, 1], 3) == pytest.approx(6)


def test_a_setup_is_not_left_and_entered_again_without_need() -> None:
    # Two tests with the plug off, one with it on: taking it off costs 5 minutes, so both go together.
    rows = [[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]]
    trials = tuple(
        Trial(name, 1.0, tuple(row[number] for row in rows), setup)
        for number, (name, setup) in enumerate((("on", 0), ("off-1", 1), ("off-2", 1)))
    )
    task = Task((1.0, 1.0, 1.0, 1.0), (0, 1, 2, 3), trials, ((0.0, 5.0), (5.0, 0.0)))
    tree, names = sequence(task).tree, []
    while tree.trial is not None:
        names.append(tree.trial.name)
        tree = tree.branches[0]
    assert names[0] == "on"
    assert sorted(names[1:]) == ["off-1", "off-2"]
