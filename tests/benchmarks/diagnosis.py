"""How long the search and the walk take, against their bars. Run it by hand."""

from __future__ import annotations

import random
import sys
import time
from pathlib import Path

from authorkit.circuit.study import Studies
from authorkit.diagnosis.proof import prove
from authorkit.diagnosis.sequencing import sequence
from authorkit.diagnosis.task import Task, Trial
from authorkit.facts.read_book import read_book


def main() -> None:
    """Print each time beside its bar in seconds."""
    for items, tests, answers, bar in ((20, 15, 2, 1.0), (76, 26, 4, 5.0)):
        task = _task(items, tests, answers)
        started = time.perf_counter()
        plan = sequence(task)
        took = time.perf_counter() - started
        kind = "exact" if plan.exact else "not exact"
        sys.stdout.write(f"{items} faults x {tests} tests, {kind}, {plan.visited} sets: {took:.3f} s (bar {bar} s)\n")
    book, _ = read_book(Path(__file__).parents[2])
    chapter = book.chapter("P0571") if book else None
    assert book is not None
    assert chapter is not None
    study = Studies(book).of(chapter, "A")
    prove(book, chapter, study)  # the first look makes the readings out of the kept numbers
    started = time.perf_counter()
    proof = prove(book, chapter, study)
    took = time.perf_counter() - started
    sys.stdout.write(f"{len(proof.walks)} faults through {len(proof.steps)} steps: {took:.3f} s (bar 0.1 s for 100)\n")


def _task(items: int, tests: int, answers: int) -> Task:
    rng = random.Random(7)
    trials = tuple(
        Trial(f"t{number}", rng.choice((1, 2, 3)), tuple(rng.randrange(answers) for _ in range(items)))
        for number in range(tests)
    )
    return Task(tuple(rng.uniform(0.1, 1) for _ in range(items)), tuple(range(items)), trials)


if __name__ == "__main__":
    main()
