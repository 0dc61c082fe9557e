"""Block drawings: read back from the finished picture, every link must join its two blocks and touch no other."""

from __future__ import annotations

import os
import random
import subprocess
import sys
import time
from collections import Counter
from pathlib import Path

import pytest

from authorkit.drawing.block_plan import Block, BlockPlan, Link, variants_of
from authorkit.drawing.blocks import draw_blocks
from authorkit.drawing.inspect import inspect_print, inspect_texts
from authorkit.drawing.page import LANDSCAPE_MM, PORTRAIT_MM
from authorkit.drawing.svg_marks import read_marks

NEAR = 0.1


def plan_of(links: str, *, roots: str = "M1", lines: tuple[str, ...] = ()) -> BlockPlan:
    """A plan from links as 'M1-B5 K1,K2; M1=B6 H1' ('=' is high voltage)."""
    made = []
    for text in filter(None, links.split(";")):
        ends, circuits = text.split()
        first, second = sorted(ends.replace("=", "-").split("-"))
        made.append(Link((first, second), tuple(circuits.split(",")), "=" in ends))
    names = dict.fromkeys((*roots.split(), *(end for link in made for end in link.ends)))
    blocks = tuple(Block(name, f"Part {name}", lines, name.startswith("M")) for name in names)
    return BlockPlan(blocks, tuple(made), roots=tuple(roots.split()))


def generated(seed: int) -> BlockPlan:
    """A plan of some modules and components joined at random."""
    chosen = random.Random(seed)
    names = [f"M{n}" for n in range(1, 3 + seed % 3)] + [f"B{n}" for n in range(1, 5 + seed % 12)]
    pairs = {tuple(sorted(chosen.sample(names, 2))) for _ in range(len(names) + seed % 9)}
    links = ";".join(f"{a}{chosen.choice('--=')}{b} K{n},K{n + 50}" for n, (a, b) in enumerate(sorted(pairs)))
    return plan_of(links, roots=" ".join(name for name in names if name[0] == "M"))


def joined(svg: bytes) -> Counter[tuple[str, str]]:
    """The blocks that each line joins, told by where it ends; a line through a third block is an error."""
    marks = read_marks(svg)
    boxes = {mark.node: mark.box for mark in marks.of("block", "module")}
    found: Counter[tuple[str, str]] = Counter()
    for line in marks.of("way", "strong-way"):
        ends = sorted(_at_edge(point, boxes) for point in (line.points[0], line.points[-1]))
        found[ends[0], ends[1]] += 1
        for (x1, y1), (x2, y2) in line.segments:
            for name, (left, top, right, bottom) in boxes.items():
                inside = min(x1, x2) < right - NEAR and max(x1, x2) > left + NEAR
                assert not (inside and min(y1, y2) < bottom - NEAR and max(y1, y2) > top + NEAR), name
    return found


def _at_edge(point, boxes) -> str:
    x, y = point
    (name,) = [
        name
        for name, (left, top, right, bottom) in boxes.items()
        if min(abs(x - left), abs(x - right)) < NEAR and top < y < bottom
    ]
    return name


def lines_over_lines(svg: bytes) -> int:
    """How many pairs of links run in one another for a stretch."""
    lines = read_marks(svg).of("way", "strong-way")
    pieces = [(number, piece) for number, line in enumerate(lines) for piece in line.segments]
    return sum(_overlaid(a, b) for i, a in pieces for j, b in pieces if i < j)


def _overlaid(a, b) -> bool:
    for axis in (0, 1):
        if all(abs(point[1 - axis] - a[0][1 - axis]) < NEAR for point in (*a, *b)):
            low = max(min(a[0][axis], a[1][axis]), min(b[0][axis], b[1][axis]))
            return min(max(a[0][axis], a[1][axis]), max(b[0][axis], b[1][axis])) - low > NEAR
    return False


@pytest.mark.parametrize("seed", range(12))
def test_any_plan_is_drawn_as_it_is_declared(seed):
    plan = generated(seed)
    pictures = draw_blocks({"A": plan}, "Blocks")
    drawn: Counter[tuple[str, str]] = Counter()
    for picture in pictures:
        assert inspect_texts(picture.svg) == []
        assert inspect_print(picture.svg) == []
        assert lines_over_lines(picture.svg) == 0
        width, height = LANDSCAPE_MM if picture.landscape else PORTRAIT_MM
        assert picture.width_mm <= width + 1e-6
        assert picture.height_mm <= height + 1e-6
        drawn.update(joined(picture.svg).keys())
    assert set(drawn) == {link.ends for link in plan.links}
    shown = {mark.node for picture in pictures for mark in read_marks(picture.svg).of("block", "module")}
    assert shown == {block.id for block in plan.blocks}


def test_a_large_system_is_cut_into_sheets_that_repeat_the_module():
    plan = plan_of(";".join(f"B{n}-M1 K{n}" for n in range(70)))
    pictures = draw_blocks({"A": plan}, "Blocks")
    assert len(pictures) > 1
    assert all("M1" in {mark.node for mark in read_marks(picture.svg).of("module")} for picture in pictures)
    assert sum((joined(picture.svg) for picture in pictures), Counter()) == Counter(
        {link.ends: 1 for link in plan.links}
    )


@pytest.mark.parametrize(
    "links",
    [
        ";".join(f"B{n}-M1 K{n}" for n in range(400)),  # one module, many components
        ";".join(["M1-X K"] + [f"B{n}-X K{n}" for n in range(90)]),  # they hang on one component
        ";".join(f"B{n}-M{n} K{n}" for n in range(90)),  # many modules
        ";".join([f"B{n}-M1 K{n}" for n in range(80)] + [f"B{n}-B{n + 1} L{n}" for n in range(79)]),  # a chain beside
    ],
)
def test_the_largest_system_loses_no_link_and_takes_no_age(links):
    plan = plan_of(links, roots=" ".join(sorted({end for end in links.replace("-", " ").split() if end[0] == "M"})))
    start = time.process_time()
    pictures = draw_blocks({"A": plan}, "Blocks")
    assert time.process_time() - start < 10.0  # seconds of the processor, with room for a slow machine
    assert {ends for picture in pictures for ends in joined(picture.svg)} == {link.ends for link in plan.links}
    assert all(picture.height_mm <= PORTRAIT_MM[1] + 1e-6 for picture in pictures)


def test_high_voltage_is_a_thick_line_and_explained():
    (picture,) = draw_blocks({"A": plan_of("M1-B5 K1;M1=B5 H1,H2")}, "Blocks")
    marks = read_marks(picture.svg)
    assert marks.of("strong-way")[0].weight > 2 * marks.of("way")[0].weight
    assert any("Thick line: high voltage." in text.text for text in marks.texts)
    (picture,) = draw_blocks({"A": plan_of("M1-B5 K1")}, "Blocks")
    assert "high voltage" not in picture.alt


A = plan_of("M1-B5 K1;M1-RL1 K2;B9-RL1 A1")
B = plan_of("M1-B5 K1;M1-M8 K2;B9-M8 A3")


def test_the_same_block_stands_at_the_same_place_in_every_series():
    first, second = draw_blocks({"A": A, "B": B}, "Blocks")
    places = [{mark.node: mark.box for mark in read_marks(each.svg).of("block", "module")} for each in (first, second)]
    both = places[0].keys() & places[1].keys()
    assert both == {"M1", "B5", "B9"}
    assert all(places[0][name] == pytest.approx(places[1][name]) for name in both)
    assert first.type_size == second.type_size


def test_what_only_another_series_has_is_a_dashed_place_that_says_so():
    first, _ = draw_blocks({"A": A, "B": B}, "Blocks")
    assert [mark.node for mark in read_marks(first.svg).of("absent")] == ["M8"]
    assert "not fitted" in {text.text for text in read_marks(first.svg).texts}
    assert b"stroke-dasharray" in first.svg


def test_what_differs_has_a_mark_and_a_second_frame_and_what_is_alike_has_not():
    first, _ = draw_blocks({"A": A, "B": B}, "Blocks")
    texts = {text.text for text in read_marks(first.svg).texts}
    assert {"▲ RL1 Part RL1", "M1 Part M1", "B5 Part B5", "▲ K2", "▲ A1", "K1"} <= texts
    assert len(read_marks(first.svg).of("changed")) == 1


def test_series_with_the_same_plan_share_one_drawing_without_marks():
    (picture,) = draw_blocks({"A": A, "B": A}, "Blocks")
    assert "▲" not in picture.svg.decode()
    assert "Series" not in picture.alt
    assert [variant.series for variant in variants_of({"A": A, "B": B, "C": A})] == [("A", "C"), ("B",)]


def test_the_alternative_text_names_blocks_and_wires():
    first, _ = draw_blocks({"A": A, "B": B}, "Block drawing of Cooling")
    assert first.alt.startswith("Block drawing of Cooling, Series A. M1 Part M1.")
    assert "Wires A1 from B9 to RL1." in first.alt


def test_no_blocks_give_no_picture():
    assert draw_blocks({"A": BlockPlan(())}, "Blocks") == ()


def test_the_same_bytes_on_every_hash_seed():
    code = (
        "from tests.drawing.test_blocks import *; import hashlib;"
        "pictures = draw_blocks({'A': A, 'B': B, 'C': generated(7)}, 'x');"
        "print(hashlib.sha256(b''.join(picture.svg for picture in pictures)).hexdigest())"
    )
    digests = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed},
            cwd=Path(__file__).parents[2],
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("0", "4242")
    }
    assert len(digests) == 1
