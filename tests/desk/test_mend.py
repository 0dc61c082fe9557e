"""What can still be read of a cell with a mistake in it."""

from __future__ import annotations

import random

from authorkit.desk.mend import Mended, mended, with_code
from authorkit.facts.notebook import Cell


def cell(source: str) -> Cell:
    return Cell("chapters/x.ipynb", 1, "code", source)


def test_a_sound_cell_stays_as_it_is() -> None:
    source = "%%facts\ncode: P0118\ntitle: x"
    assert mended(cell(source)) == Mended(source)
    assert mended(cell(source)).words == ""  # type: ignore[union-attr]


def test_only_the_block_with_the_mistake_is_left_out() -> None:
    found = mended(cell("%%facts\ncode: P0118\nstates:\n  cold: {key: on\n  hot: {}\nrelated: [P0117]"))
    assert found is not None
    assert found.source.split("\n") == ["%%facts", "code: P0118", "", "", "", "related: [P0117]"]
    assert found.words == "lines 3 to 5"


def test_two_mistakes_leave_out_two_blocks() -> None:
    found = mended(cell("%%facts\na: [x\nb: fine\nc: {y\nd: fine"))
    assert found is not None
    assert [line for line in found.source.split("\n") if line] == ["%%facts", "b: fine", "d: fine"]
    assert found.words == "lines 2, 4"


def test_nothing_is_left_of_a_cell_that_is_no_mapping_or_empty() -> None:
    assert mended(cell("%%facts\n- a\n- b")) is None
    assert mended(cell("%%facts\n")) is None
    assert mended(cell("%%facts\n\n# only a remark\n")) is None


def test_a_code_replaces_the_one_that_cannot_be_read() -> None:
    assert with_code("%%facts\ncode: Q99\ntitle: x", "P0118") == "%%facts\n\ntitle: x\ncode: P0118"
    assert with_code("%%facts\ntitle: x\n", "P0118") == "%%facts\ntitle: x\ncode: P0118"


def test_whatever_is_typed_the_lines_keep_their_numbers(facts_of: dict[str, str]) -> None:
    source = facts_of["chapters/P0118.ipynb"]
    dice = random.Random(7)
    for _ in range(60):
        lines = source.split("\n")
        at = dice.randrange(1, len(lines))
        lines[at] = lines[at][: dice.randrange(len(lines[at]) + 1)] + dice.choice("{}[]:,'\"-&*\t")
        found = mended(cell("\n".join(lines)))
        assert found is not None
        kept = found.source.split("\n")
        assert len(kept) == len(lines)
        assert all(new in ("", old) for new, old in zip(kept, lines, strict=True))
