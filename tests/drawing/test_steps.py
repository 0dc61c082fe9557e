"""Step charts: read back from the finished picture, every way must lead where the procedure says."""

from __future__ import annotations

import os
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest

from authorkit.drawing.inspect import inspect_print, inspect_texts
from authorkit.drawing.page import PORTRAIT_MM
from authorkit.drawing.steps import ChartAnswer, ChartStep, draw_steps
from authorkit.drawing.svg_marks import read_marks

NEAR = 0.1


def step(number: str, *ways: str, **more) -> ChartStep:
    """A step with answers 'words>goto'; without any it is an end."""
    answers = tuple(ChartAnswer(*way.rsplit(">", 1)) for way in ways)
    return ChartStep(number, more.pop("title", f"Volts B{number}.1 to G1"), answers=answers, **more)


SHORT = (
    step("1", "Yes>9", "No>2"),
    step("2", "4.9 V to 5.1 V>4", "below 0.3 V>3", "Any other reading>8"),
    step("3", "below 2 Ω>8", "Any other reading>9"),
    step("4", "Yes>2", "No>8", lines=("key on, B5 unplugged", "Is it whole?"), caution="WARNING"),
    step("8", title="wire K131"),
    step("9", title="B5 Sensor or M1 Engine control module"),
)
LONG = tuple(step(str(n), f"Yes>{n + 1}", f"No>{100 + n}") for n in range(1, 30)) + tuple(
    step(str(n), title=f"wire K{n}") for n in (30, *range(101, 130))
)


def ways_drawn(svgs: list[bytes]) -> Counter[tuple[str, str]]:
    """(step, where its way leads) for every way of all sheets, read from boxes, lines and arrow tips alone."""
    drawn: Counter[tuple[str, str]] = Counter()
    for svg in svgs:
        marks = read_marks(svg)
        boxes = [(mark.node, mark.box) for mark in marks.of("step", "end") if mark.node]
        boxes += [
            (mark.node, (mark.centre[0] - mark.radius, mark.centre[1] - mark.radius, mark.centre[0] + mark.radius,
                         mark.centre[1] + mark.radius))
            for mark in marks.rounds
        ]  # fmt: skip
        tips = [arrow.points[0] for arrow in marks.of("arrow")]
        for way in marks.of("way"):
            foot = way.points[-1]
            tip = min(tips, key=lambda tip: abs(tip[0] - foot[0]) + abs(tip[1] - foot[1]))
            drawn[_touched(way.points[0], boxes), _touched(tip, boxes).lstrip("→")] += 1
    return drawn


def _touched(point, boxes) -> str:
    x, y = point
    found = [
        name
        for name, (left, top, right, bottom) in boxes
        if left - NEAR <= x <= right + NEAR
        and top - NEAR <= y <= bottom + NEAR
        and min(abs(x - left), abs(x - right), abs(y - top), abs(y - bottom)) < NEAR
    ]
    assert len(found) == 1, (point, found)
    return found[0]


def declared(steps) -> Counter[tuple[str, str]]:
    """(step, target) once for each target: answers that lead to the same step share a way."""
    return Counter({(one.number, answer.goto): 1 for one in steps for answer in one.answers})


@pytest.mark.parametrize("steps", [SHORT, LONG], ids=["short", "long"])
def test_a_chart_passes_the_checkers_of_text_and_print(steps):
    for picture in draw_steps(steps):
        assert inspect_texts(picture.svg) == []
        assert inspect_print(picture.svg) == []
        assert picture.width_mm <= PORTRAIT_MM[0] + 1e-6
        assert picture.height_mm <= PORTRAIT_MM[1] + 1e-6


def test_every_answer_leads_where_the_procedure_says_and_nowhere_else():
    (picture,) = draw_steps(SHORT)
    assert ways_drawn([picture.svg]) == declared(SHORT)


def test_over_several_sheets_a_cut_way_carries_one_letter():
    pictures = draw_steps(LONG)
    assert len(pictures) > 2
    drawn = ways_drawn([picture.svg for picture in pictures])
    cuts = {(a, b) for a, b in drawn if a.isalpha() or b.isalpha()}
    letters = [b for _, b in cuts if b.isalpha()]
    assert len(set(letters)) == len(letters) == len(pictures) - 1
    whole = Counter({way: count for way, count in drawn.items() if way not in cuts})
    whole.update((a, d) for a, b in cuts for c, d in cuts if b == c)
    assert whole == declared(LONG)


def test_a_mark_names_the_sheet_of_its_step_only_if_it_is_another():
    far = (step("1", "Yes>2", "No>29"), *LONG[1:])
    first = {text.text for text in read_marks(draw_steps(far)[0].svg).texts}
    assert any(text.startswith("on sheet ") for text in first)
    assert not any(text.text.startswith("on sheet") for text in read_marks(draw_steps(SHORT)[0].svg).texts)


def test_the_first_answer_leads_down_and_the_others_to_the_right():
    marks = read_marks(draw_steps(SHORT)[0].svg)
    down = [way for way in marks.of("way") if way.points[0][0] == pytest.approx(way.points[-1][0])]
    level = [way for way in marks.of("way") if way not in down]
    assert len(down) == 4  # steps 1 to 4
    assert len(level) == 5
    assert all(way.points[-1][0] > way.points[0][0] for way in level)


def test_an_end_has_a_heavier_frame_than_a_step():
    """Black and white print needs a difference of form: ISO 5807 tells kinds of boxes apart by outline."""
    marks = read_marks(draw_steps(SHORT)[0].svg)
    assert {mark.node for mark in marks.of("end")} == {"8", "9"}
    assert min(mark.weight for mark in marks.of("end")) >= 2 * max(mark.weight for mark in marks.of("step"))


def test_no_box_lies_over_another():
    for picture in draw_steps(LONG):
        boxes = [mark.box for mark in read_marks(picture.svg).of("step", "end") if mark.node]
        for number, a in enumerate(boxes):
            for b in boxes[number + 1 :]:
                assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def test_the_signal_word_of_a_caution_stands_in_the_box_and_is_explained():
    """ANSI Z535.6 (from memory): the alert symbol stands before the signal word."""
    texts = [text.text for text in read_marks(draw_steps(SHORT)[0].svg).texts]
    assert "WARNING" in texts
    assert "!" in texts
    assert any("triangle" in text for text in texts)
    assert "!" not in [text.text for text in read_marks(draw_steps(SHORT[4:])[0].svg).texts]


def test_a_chart_slightly_too_long_for_a_page_is_set_smaller_a_long_one_is_cut_at_full_size():
    sizes = []
    for count in range(5, 16):
        tests = LONG[:count]
        reached = {answer.goto for test in tests for answer in test.answers}
        pictures = draw_steps((*tests, *(end for end in LONG[29:] if end.number in reached)))
        sizes.append((len(pictures), {picture.type_size for picture in pictures}))
    one_page = [size for count, size in sizes if count == 1]
    assert one_page[0] == {9.0}
    assert one_page[-1] < {8.0, 8.5}
    assert {frozenset(size) for count, size in sizes if count > 1} == {frozenset({9.0})}


def test_a_box_higher_than_a_page_is_set_smaller_than_the_rest_would_need():
    words = " ".join(["several words about where the lead of the meter goes"] * 52)
    (picture,) = draw_steps((step("1", "Yes>2", title="Look", lines=(words,)), step("2")))
    assert 7.0 <= picture.type_size < 9.0
    assert inspect_texts(picture.svg) == []


def test_the_alternative_text_says_every_step_and_every_way():
    (picture,) = draw_steps(SHORT)
    assert "Step 2: Volts B2.1 to G1. 4.9 V to 5.1 V: step 4. below 0.3 V: step 3." in picture.alt
    assert "Any other reading: end 8, wire K131." in picture.alt
    assert "Step 4: WARNING: Volts B4.1 to G1; key on, B5 unplugged; Is it whole? Yes: step 2." in picture.alt
    assert "Step 9, end: B5 Sensor or M1 Engine control module." in picture.alt


def test_a_step_number_longer_than_a_circle_gets_a_longer_mark():
    steps = (step("1", "Yes>9", "No>coil-4-repeat"), step("coil-4-repeat", "Yes>9", "No>1"), step("9"))
    (picture,) = draw_steps(steps)
    assert inspect_texts(picture.svg) == []
    assert ways_drawn([picture.svg])["1", "coil-4-repeat"] == 1


def test_hostile_words_are_printed_as_typed():
    (picture,) = draw_steps((step("1", "a & <b>>2", title="$x$ & 'y' < Ω"), step("2", title="ü" * 200)))
    assert "$x$ & 'y' < Ω" in {text.text for text in read_marks(picture.svg).texts}
    assert inspect_texts(picture.svg) == []


def test_no_steps_give_no_picture():
    assert draw_steps(()) == ()


def test_the_same_bytes_on_every_hash_seed():
    code = (
        "from tests.drawing.test_steps import LONG; from authorkit.drawing.steps import draw_steps; import hashlib;"
        "print(hashlib.sha256(b''.join(p.svg for p in draw_steps(LONG))).hexdigest())"
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
