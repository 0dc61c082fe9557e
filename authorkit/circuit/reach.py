"""Which nodes hang together other than through insulation, in many variants of a circuit at once."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Mapping, Sequence
from functools import cached_property

import numpy as np

from authorkit.circuit.netlist import OPEN, Element
from authorkit.circuit.ports import Array, Flags

# A set of variants as the bits of one whole number, so that all variants are followed along a path together.
Bits = int


class Reach:
    """The paths of a circuit whose elements have other values in each variant (variants × elements)."""

    def __init__(self, elements: Sequence[Element], values: Array) -> None:
        """Sources of voltage and diodes always join their nodes, resistors where they are not open."""
        self.elements, self.count = elements, len(values)
        kinds = np.array([element.kind for element in elements])
        self.closed: Flags = (np.isin(kinds, ("V", "D")) | ((kinds == "R") & (values < OPEN))).T
        self._from: dict[str, Mapping[str, Bits]] = {}

    @cached_property
    def _joined(self) -> Mapping[str, list[tuple[str, Bits]]]:
        joined: dict[str, list[tuple[str, Bits]]] = defaultdict(list)
        packed = np.packbits(self.closed, axis=1, bitorder="little")
        for element, row in zip(self.elements, packed, strict=True):
            bits = int.from_bytes(row.tobytes(), "little")
            if bits:
                joined[element.a].append((element.b, bits))
                joined[element.b].append((element.a, bits))
        return joined

    def together(self, a: str, b: str) -> Flags:
        """In which variants two nodes are joined."""
        if b not in self._from:
            self._from[b] = self._spread(b)
        bits = self._from[b].get(a, 0)
        packed = np.frombuffer(bits.to_bytes(self.count // 8 + 1, "little"), dtype=np.uint8)
        return np.unpackbits(packed, bitorder="little")[: self.count].astype(bool)

    def _spread(self, start: str) -> Mapping[str, Bits]:
        reached = {start: (1 << self.count) - 1}
        queue = deque([start])
        while queue:
            node = queue.popleft()
            here = reached[node]
            for other, open_to in self._joined.get(node, ()):
                more = here & open_to & ~reached.get(other, 0)
                if more:
                    reached[other] = reached.get(other, 0) | more
                    queue.append(other)
        return reached
