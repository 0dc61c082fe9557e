"""The charts of the demo manual's procedures."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from authorkit.drawing.inspect import inspect_print, inspect_texts
from authorkit.drawing.svg_marks import read_marks
from authorkit.manual.blocks import Code, Figure, Link, Strong, Text
from authorkit.manual.inline_text import plain_text
from authorkit.manual.sections.step_chart import step_chart
from authorkit.model.wiring import applies


def charts(scope):
    return [block for block in step_chart(scope) if isinstance(block, Figure)]


def boxes(figures) -> set[str]:
    """The numbers of all boxes, read from the pictures."""
    return {mark.node for figure in figures for mark in read_marks(figure.data).of("step", "end") if mark.node}


def test_every_chart_of_the_demo_manual_can_be_read(demo_book, scope):
    for chapter in demo_book.chapters:
        for figure in charts(scope(str(chapter.code))):
            assert inspect_texts(figure.data) == []
            assert inspect_print(figure.data) == []


def test_every_step_of_every_chapter_has_a_box(demo_book, scope):
    for chapter in demo_book.chapters:
        assert boxes(charts(scope(str(chapter.code)))) == {step.number for step in chapter.steps}


@pytest.mark.parametrize("series", ["A", "B"])
def test_a_chart_of_one_series_holds_only_its_steps(scope, series):
    page = scope("P0480")
    own = [figure for figure in charts(page) if f"Series {series}" in figure.caption]
    assert boxes(own) == {step.number for step in page.chapter.steps if applies(step.series, series)}


def test_series_with_the_same_steps_share_a_chart(scope):
    (figure,) = charts(scope("P0118"))
    assert "Series" not in figure.caption


def test_a_box_says_the_instrument_the_points_and_the_state(scope):
    alt = " ".join(figure.alt for figure in charts(scope("P0480")))
    assert re.search(r"Step \S+: Ohms RL1\.85 to M1-B\.14; key off, RL1 and M1-B unplugged\. below 2\sΩ: ", alt)
    assert re.search(r"Step \S+: Scan tool: [^;]+; Does the relay click with each command\? Yes: ", alt)


def test_a_value_on_the_scan_tool_stands_in_its_box_with_its_state(scope):
    alt = " ".join(figure.alt for figure in charts(scope("P0118")))
    assert re.search(
        r"Step \S+: WARNING: Scan tool: M1\.ECT; key on, B5 at 20\s°C\. above 4\.85\sV: step 2\. Any other reading: end", alt
    )


def test_a_step_near_high_voltage_carries_its_signal_word(scope):
    (figure,) = charts(scope("P0AA1"))
    assert re.search(r"Step \S+: DANGER: No voltage at", figure.alt)


def test_an_end_that_accuses_nothing_says_its_sentence(scope):
    page = scope("P0118")
    end = next(step for step in page.chapter.steps if step.is_end)
    quiet = replace(end, verdict=(), either=False, end="The fault is not present now. Look at {part:B5}.")
    steps = tuple(quiet if step is end else step for step in page.chapter.steps)
    (figure,) = charts(replace(page, chapter=replace(page.chapter, steps=steps)))
    assert f"end {end.number}, The fault is not present now." in figure.alt
    assert {"The fault is not present now.", "Look at B5 Coolant"} <= {
        text.text.partition(" temperature")[0] for text in read_marks(figure.data).texts
    }


def test_plain_text_keeps_every_word_of_links_and_names():
    inlines = (Text("See "), Link("x", (Strong((Text("B5"),)),)), Text(" at "), Code("M1-A.23"))
    assert plain_text(inlines) == "See B5 at M1-A.23"
