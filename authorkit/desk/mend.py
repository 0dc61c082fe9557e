"""What can still be read of a cell that is being typed: the blocks around a mistake, and a chapter without its code."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from authorkit.facts.notebook import Cell, facts_text
from authorkit.facts.yaml_lines import read_yaml

# A mistake in every block of a cell is no cell to be shown.
_MOST_MENDS = 8
_BEGINS_BLOCK = re.compile(r"[^\s#]")
_CODE = re.compile(r"code[ \t]*:")


@dataclass(frozen=True)
class Mended:
    """The text of a cell that can be read, line for line as long as the original; and the lines that were left out."""

    source: str
    left_out: tuple[range, ...] = ()

    @property
    def words(self) -> str:
        """'lines 12 to 20' for a sentence; '' if nothing was left out."""
        spans = (f"{lines[0]} to {lines[-1]}" if len(lines) > 1 else f"{lines[0]}" for lines in self.left_out)
        listed = ", ".join(spans)
        several = len(self.left_out) > 1 or any(len(lines) > 1 for lines in self.left_out)
        return f"line{'s' if several else ''} {listed}" if listed else ""


def mended(cell: Cell) -> Mended | None:
    """The cell without the blocks that cannot be read as YAML; None if nothing is left to read."""
    lines = cell.source.split("\n")
    left_out: list[range] = []
    for _ in range(_MOST_MENDS):
        source = "\n".join(lines)
        body, _ = facts_text(Cell(cell.file, cell.number, "code", source))
        node, problems = read_yaml(body, cell.file, cell.number)
        if node is not None and isinstance(node.value, dict):
            return Mended(source, tuple(sorted(left_out, key=lambda span: span[0])))
        line = next((problem.place.line for problem in reversed(problems) if problem.place.line), 0)
        span = _block(lines, line) if line else range(0)
        if not any(lines[number - 1].strip() for number in span):
            return None
        left_out.append(span)
        lines = _without(lines, span)
    return None


def with_code(source: str, code: str) -> str:
    """The text with this code instead of the one that cannot be read, or beside facts that name none."""
    lines = source.rstrip("\n").split("\n")
    at = next((number for number, line in enumerate(lines, 1) if _CODE.match(line)), 0)
    if at:
        lines = _without(lines, _block(lines, at))
    return "\n".join([*lines, f"code: {code}"])


def _block(lines: list[str], number: int) -> range:
    """The lines (from 1) of the top-level key that a line belongs to."""
    begins = [at for at, line in enumerate(lines, 1) if _BEGINS_BLOCK.match(line) and not line.startswith("%%")]
    first = max((at for at in begins if at <= number), default=number)
    last = min((at for at in begins if at > number), default=len(lines) + 1)
    return range(first, last)


def _without(lines: list[str], span: Iterable[int]) -> list[str]:
    dropped = set(span)
    return ["" if number in dropped else line for number, line in enumerate(lines, 1)]
