"""The order of boxes on a step chart."""

from __future__ import annotations

from authorkit.drawing.step_order import ChartAnswer, ChartStep, exits_of, runs_of


def steps_of(**ways: str) -> tuple[ChartStep, ...]:
    """Steps by number ('s1'), each with the numbers that its answers lead to."""
    return tuple(
        ChartStep(number, number, answers=tuple(ChartAnswer(f"to {goto}", goto) for goto in said.split()))
        for number, said in ways.items()
    )


def orders(steps) -> list[str]:
    return [" ".join(step.number for step in run) for run in runs_of(steps)]


def test_a_run_follows_the_first_answers_as_far_as_an_end():
    assert orders(steps_of(s1="s3 s2", s2="e1 e2", s3="e2 e1", e1="", e2="")) == ["s1 s3 e2", "s2 e1"]


def test_a_way_back_ends_the_run():
    assert orders(steps_of(s1="s2 e1", s2="s1 e1", e1="")) == ["s1 s2"]


def test_a_way_to_a_step_that_does_not_exist_ends_the_run():
    steps = steps_of(s1="s7 e1", e1="")
    assert orders(steps) == ["s1"]
    assert exits_of(steps[0], steps)[0].target is None


def test_an_end_closes_every_run_that_comes_down_to_it():
    assert orders(steps_of(s1="e1 s2", s2="e1 s1", e1="")) == ["s1 e1", "s2 e1"]


def test_an_end_that_nothing_leads_to_is_still_drawn():
    assert orders(steps_of(s1="e1", e1="", e2="")) == ["s1 e1", "e2"]


def test_answers_with_the_same_target_are_one_way():
    step = ChartStep("1", "", answers=(ChartAnswer("a", "2"), ChartAnswer("b", "3"), ChartAnswer("c", "2")))
    assert [(way.words, way.goto) for way in exits_of(step, (step,))] == [("a or c", "2"), ("b", "3")]
