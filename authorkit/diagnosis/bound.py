"""How little a search can take at least: the shortest code for its labels."""

from __future__ import annotations

import heapq
from collections.abc import Iterable


def huffman(weights: Iterable[float], answers: int = 2) -> float:
    """The least weighted number of tests that tell the weights apart, if every test with so many answers existed.

    The sum of weight × depth over the leaves of the best tree (D. A. Huffman 1952). Each test with at most `answers`
    answers; divide by the total weight for an average.
    """
    heap = sorted(weight for weight in weights if weight > 0)
    if len(heap) < 2:
        return 0.0
    if answers == 2:
        return _pairs(heap)
    # Leaves of no weight make the first round come out even.
    heap = [0.0] * (-(len(heap) - 1) % (answers - 1)) + heap
    total = 0.0
    while len(heap) > 1:
        merged = sum(heapq.heappop(heap) for _ in range(min(answers, len(heap))))
        total += merged
        heapq.heappush(heap, merged)
    return total


def _pairs(heap: list[float]) -> float:
    total = 0.0
    while len(heap) > 1:
        merged = heapq.heappop(heap) + heap[0]
        total += merged
        heapq.heapreplace(heap, merged)
    return total
