"""Steps that call a shared procedure, as the chapter holds them after reading."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator

from authorkit.facts.json_schema import Kind, json_schema
from authorkit.facts.read_book import read_book
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.model.point import Point
from authorkit.model.procedure import Called
from authorkit.units import show

VEHICLE = """
series: {A: {name: Series A}, B: {name: Series B}}
procedures:
  prove-feed:
    name: Prove the feed of <part>
    needs: [part, in, out, fuse, limit, state]
    answers: [good, bad]
    steps:
      1: {do: "Key on. Look at {part:<part>}.", state: <state>, volts: [<in>, G1], then: {above <limit>: good, else: 2}}
      2:
        do: Measure at <fuse>.
        state: {key: on, <part>: plugged}
        volts: [<out>, G1]
        then: {above <limit>: bad, else: last}
        series: A
      last: {verdict: <fuse>, repair: Find out why <fuse> is blown.}
  prove-ground:
    name: Prove the ground
    needs: [point]
    answers: [good, bad]
    steps: {1: {do: Key on., drop: [<point>, G1], then: {below 0.1 V: good, else: bad}}}
"""
CHAPTER = """
states: {awake: {key: on}}
cautions:
  - {word: NOTICE, hazard: Static, consequence: Damage, avoid: Earth yourself, steps: [1, 4]}
procedure:
  1: {do: Look at B5., look: B5, then: {yes: 4, no: 5}}
  4:
    call: prove-feed
    with: {part: M1, in: M1-A.1, out: FB1-C.4, fuse: F4, limit: 11.5 V, state: awake}
    then: {good: 5, bad: 6}
  5: {call: prove-ground, with: {point: M1-A.2}, then: {good: 7, bad: 6}, series: B}
  6: {verdict: G1}
  7: {end: The fault is not present now. Read the freeze frame.}
"""


@pytest.fixture
def chapter(manual: Callable[[dict[str, Any]], Path]) -> Chapter:
    return book_of(manual).chapters[0]


def book_of(manual: Callable[[dict[str, Any]], Path]) -> Book:
    book, problems = read_book(manual({"vehicle": VEHICLE, "chapter": CHAPTER}))
    assert problems == ()
    assert book is not None
    return book


def test_the_steps_of_a_called_procedure_stand_in_the_place_of_the_call(chapter: Chapter) -> None:
    assert [step.number for step in chapter.steps] == ["1", "4.1", "4.2", "4.last", "5", "6", "7"]


def test_answers_that_lead_to_a_call_lead_to_its_first_step_and_those_of_the_procedure_lead_on(
    chapter: Chapter,
) -> None:
    ways = {step.number: [branch.goto for branch in step.branches] for step in chapter.steps if step.branches}
    assert ways == {"1": ["4.1", "5"], "4.1": ["5", "4.2"], "4.2": ["6", "4.last"], "5": ["7", "6"]}


def test_parameters_are_replaced_in_texts_points_states_windows_and_verdicts(chapter: Chapter) -> None:
    first, second, last = (step for step in chapter.steps if step.called and step.called.number == "4")
    assert first.do == "Key on. Look at {part:M1}."
    assert first.test is not None
    assert first.test.points == (Point("M1-A", "1"), Point("G1"))
    assert first.state == chapter.states[0]
    assert first.branches[0].window is not None
    assert show(first.branches[0].window) == "above 11.5\u202fV"
    assert second.state is not None
    assert second.state.settings == (("M1", "plugged"),)
    assert (last.verdict, last.repair) == (("F4",), "Find out why F4 is blown.")


def test_a_step_knows_which_call_it_comes_from(chapter: Chapter) -> None:
    assert chapter.steps[1].called == Called("4", "prove-feed", "Prove the feed of M1")
    assert chapter.steps[0].called is None


def test_the_series_of_the_call_and_of_the_step_hold_together(chapter: Chapter) -> None:
    assert [step.series for step in chapter.steps] == [(), (), ("A",), (), ("B",), (), ()]


def test_the_number_of_a_call_finds_its_first_step(chapter: Chapter) -> None:
    assert [chapter.step(number) for number in ("4", "4.2", "5", "9")] == [
        chapter.steps[1], chapter.steps[2], chapter.steps[4], None
    ]  # fmt: skip


def test_a_caution_for_a_call_guards_each_step_of_it(chapter: Chapter) -> None:
    assert chapter.cautions[0].steps == ("1", "4.1", "4.2", "4.last")


def test_a_place_is_the_line_of_the_author_a_given_value_that_of_the_call(chapter: Chapter) -> None:
    lines = {path: (place.file, place.line) for path, place in chapter.places.items()}
    call = chapter.place_of("procedure.4").line
    assert chapter.steps[1].place == chapter.place_of("procedure.4")
    assert lines["procedure.4.1.do"] == ("chapters/vehicle.ipynb", 11)
    assert lines["procedure.4.last.verdict"] == ("chapters/P0118.ipynb", call + 2)


def test_an_end_without_a_verdict_is_an_end(chapter: Chapter) -> None:
    end = chapter.steps[-1]
    assert (end.is_end, end.verdict, end.end) == (True, (), "The fault is not present now. Read the freeze frame.")


def test_the_vehicle_lists_its_procedures(manual: Callable[[dict[str, Any]], Path]) -> None:
    listed = [(each.id, each.needs, each.answers) for each in book_of(manual).vehicle.procedures]
    assert listed[1] == ("prove-ground", ("point",), ("good", "bad"))


HEADS: dict[Kind, str] = {
    "chapter": "{code: P0118, title: T, set-by: M1, system: S}",
    "vehicle": "{vehicle: {name: V, description: d, invented: It does not exist.}}",
}


def is_valid(kind: Kind, facts: str) -> bool:
    data = {**yaml.load(HEADS[kind], yaml.CBaseLoader), **yaml.load(facts, yaml.CBaseLoader)}
    return Draft202012Validator(json_schema(kind)).is_valid(data)


def test_the_schema_takes_calls_ends_and_shared_procedures() -> None:
    assert is_valid("chapter", CHAPTER)
    assert is_valid("vehicle", VEHICLE)


@pytest.mark.parametrize(
    ("kind", "wrong"),
    [
        ("chapter", "procedure: {1: {call: prove-feed, do: Key on.}}"),
        ("chapter", "procedure: {1: {do: Key on., with: {point: B5.1}}}"),
        ("chapter", "procedure: {1: {end: The fault is gone., verdict: B5}}"),
        ("vehicle", "procedures: {prove: {name: Prove, steps: {1: {end: Stop.}}}}"),
        ("vehicle", "procedures: {prove: {name: Prove, answers: good, steps: {1: {dont: Stop.}}}}"),
    ],
)
def test_the_schema_refuses_what_the_reader_refuses(kind: Kind, wrong: str) -> None:
    assert not is_valid(kind, wrong)
