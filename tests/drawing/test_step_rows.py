"""The bands of a step chart."""

from __future__ import annotations

import pytest

from authorkit.drawing.shapes import Words
from authorkit.drawing.step_order import ChartAnswer, ChartStep
from authorkit.drawing.step_rows import Columns, bands_of, sheet_notes

END = ChartStep("9", "wire K131")


def _bands(step: ChartStep, *others: ChartStep):
    return bands_of([step], (step, *others), Columns(168.0))


@pytest.mark.parametrize("count", [1, 3])
def test_a_box_grows_with_its_ways_to_the_right(count):
    less = ChartStep("1", "Volts", answers=(ChartAnswer("Yes", "2"), ChartAnswer("No", "9")))
    more = ChartStep("1", "Volts", answers=(*less.answers, *(ChartAnswer(f"{n} V", f"1{n}") for n in range(count))))
    assert _bands(more, END)[0].height > _bands(less, END)[0].height


def test_only_the_last_band_of_a_run_closes_it():
    step = ChartStep("1", "Volts", answers=(ChartAnswer("Yes", "9"),))
    assert [band.closes for band in bands_of([step, END], (step, END), Columns(168.0))] == [False, True]


def test_a_caution_of_an_end_beside_a_step_counts_for_its_band():
    step = ChartStep("1", "Volts", answers=(ChartAnswer("Yes", "2"), ChartAnswer("No", "9")))
    assert not _bands(step, END)[0].caution
    assert _bands(step, ChartStep("9", "wire", caution="DANGER"))[0].caution


def test_a_mark_is_told_its_sheet():
    (band,) = _bands(ChartStep("1", "Volts", answers=(ChartAnswer("Yes", "2"), ChartAnswer("No", "3"))))
    (note,) = [shape for shape in sheet_notes(band, 1, {"1": 1, "2": 1, "3": 4}) if isinstance(shape, Words)]
    assert note.text == "on sheet 4"
