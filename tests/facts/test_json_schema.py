"""The JSON Schema agrees with the reader: both refuse mistakes of structure, and what is read is valid."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from authorkit.facts.json_schema import Kind, json_schema
from authorkit.facts.notebook import Notebook, notebook_of
from authorkit.facts.read_chapter import read_chapter
from authorkit.facts.read_vehicle import read_vehicle
from authorkit.model.device_kinds import DEVICE_KINDS
from authorkit.problems import Problem

HERE = Path(__file__).parent
FULL = yaml.load((HERE / "full_chapter.yaml").read_text(encoding="utf-8").split("\n", 1)[1], Loader=yaml.CBaseLoader)
VEHICLE = yaml.load((HERE / "full_vehicle.yaml").read_text(encoding="utf-8").split("\n", 1)[1], Loader=yaml.CBaseLoader)
VALIDATORS: dict[Kind, Draft202012Validator] = {
    kind: Draft202012Validator(json_schema(kind)) for kind in ("chapter", "vehicle", "recipe")
}


def notebook(data: object) -> Notebook:
    """A notebook whose facts cell says this."""
    text = "%%facts\n" + yaml.dump(data, allow_unicode=True, sort_keys=False, width=1000)
    made, _ = notebook_of({"nbformat": 4, "cells": [{"cell_type": "code", "source": text}]}, "chapters/x.ipynb")
    assert made is not None
    return made


def read(data: object, kind: Kind = "chapter") -> tuple[Problem, ...]:
    """What the reader says about facts given as plain data."""
    return read_chapter(notebook(data))[1] if kind == "chapter" else read_vehicle(notebook(data))[2]


def of_structure(problem: Problem) -> bool:
    """Whether a finding is about keys, types and choices, which a schema can know as well."""
    if problem.rule in ("key-unknown", "key-missing", "device-malformed"):
        return True
    wrong_type = (problem.found or "").startswith(("a list", "a mapping", "the text "))
    wrong_choice = problem.rule == "value-malformed" and "' or '" in (problem.expected or "")
    return wrong_type or wrong_choice


@pytest.mark.parametrize("kind", [None, "chapter", "vehicle", "recipe"])
def test_it_is_a_valid_schema_of_draft_2020_12(kind: Kind | None) -> None:
    Draft202012Validator.check_schema(json_schema(kind))


def test_full_facts_are_accepted_by_both() -> None:
    assert read(FULL) == ()
    assert list(VALIDATORS["chapter"].iter_errors(FULL)) == []
    assert read(VEHICLE, "vehicle") == ()
    assert list(VALIDATORS["vehicle"].iter_errors(VEHICLE)) == []


def test_the_schema_of_all_accepts_each_kind_and_nothing_else() -> None:
    validator = Draft202012Validator(json_schema())
    assert validator.is_valid(FULL)
    assert validator.is_valid(VEHICLE)
    assert validator.is_valid({"title": "T", "page-sizes": ["a4"]})
    assert not validator.is_valid({"neither": "of them"})


def parent_of(data: Any, path: str) -> tuple[Any, Any]:
    """The list or mapping that holds what a path such as 'specs/0/volts' leads to, and its last step."""
    *parents, last = path.split("/")
    for step in parents:
        data = data[int(step)] if isinstance(data, list) else data[step]
    return data, int(last) if isinstance(data, list) else last


def without(path: str) -> Callable[[dict[str, Any]], None]:
    def change(data: dict[str, Any]) -> None:
        parent, last = parent_of(data, path)
        del parent[last]

    return change


def put(path: str, value: object) -> Callable[[dict[str, Any]], None]:
    def change(data: dict[str, Any]) -> None:
        parent, last = parent_of(data, path)
        parent[last] = value

    return change


MISTAKES = {
    "an unknown key at the top": put("colour", "white"),
    "an unknown key in a part": put("circuit/parts/B5/locaton", "here"),
    "an unknown key in a device": put("circuit/parts/B5/inside/0/ohm", "2 Ω"),
    "an unknown key in a step": put("procedure/1/doo", "x"),
    "no code": without("code"),
    "no title": without("title"),
    "no state in a spec": without("specs/0/state"),
    "no instrument in a spec": without("specs/0/volts"),
    "two instruments in a spec": put("specs/0/ohms", ["B5.1", "B5.2"]),
    "no limit in a set condition": without("sets-when/0/above"),
    "a limit without a value to watch": put("sets-when/3/above", "5 V"),
    "neither an action nor a verdict in a step": without("procedure/1/do"),
    "two tests in a step": put("procedure/1/look", "B5"),
    "no file of a figure": without("figures/0/file"),
    "a wrong choice of a key position": put("states/cold/key", "started"),
    "a wrong choice of a chance": put("suspects/0/chance", "always"),
    "a wrong signal word": put("cautions/0/word", "BEWARE"),
    "a wrong hazard": put("circuit/parts/B5/hazards", ["cold coolant"]),
    "a wrong shape of a waveform": put("waveforms/0/shape", "triangle"),
    "a wrong yes": put("procedure/9/either", "perhaps"),
    "a list for a text": put("title", ["a"]),
    "a mapping for a text": put("lamp", {"a": "b"}),
    "a text for a mapping": put("circuit", "none"),
    "a text for a list": put("specs", "none"),
    "a mapping for a list": put("figures", {"a": "b"}),
    "an unknown device": put("circuit/parts/B5/inside", [{"thermister": ["B5.1", "B5.2"]}]),
    "a device with too many terminals": put("circuit/parts/M1/inside/0/pull-up", ["M1-A.1", "M1-A.2"]),
    "a device without its value": without("circuit/parts/M1/inside/0/to"),
    "two devices in one item": put("circuit/parts/M1/inside/0/diode", ["M1-A.1", "M1-A.2"]),
    "one point for a voltmeter": put("specs/0/volts", "M1-A.23"),
    "a wire without its ends": put("circuit/wires", [["M1-A.23"]]),
    "a pair of three": put("circuit/pairs", [["D1", "D2", "D3"]]),
}


@pytest.mark.parametrize("name", MISTAKES)
def test_a_mistake_of_structure_is_refused_by_both(name: str) -> None:
    data = copy.deepcopy(FULL)
    MISTAKES[name](data)
    assert read(data) != ()
    assert not VALIDATORS["chapter"].is_valid(data)


@pytest.mark.parametrize("kind", DEVICE_KINDS.values(), ids=str)
def test_every_kind_of_device_can_be_written(kind: Any) -> None:
    """Its own terminals and the examples of the table of kinds; an unknown value is refused by both."""
    terminals = [f"B5.{number}" for number, _ in enumerate(kind.terminals, 1)]
    values = {value.name: yaml.load(value.example, Loader=yaml.CBaseLoader) for value in kind.values}
    data = {**FULL, "circuit": {"parts": {"B5": {"name": "S", "inside": [{kind.name: terminals, **values}]}}}}
    assert read(data) == ()
    assert VALIDATORS["chapter"].is_valid(data)
    data["circuit"]["parts"]["B5"]["inside"][0]["zzz"] = "1"
    assert [problem.rule for problem in read(data)] == ["key-unknown"]
    assert not VALIDATORS["chapter"].is_valid(data)


def spots(data: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The path of every value below the top."""
    pairs = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for step, value in pairs:
        yield (*path, step)
        yield from spots(value, (*path, step))


def mutated(data: Any, path: tuple[Any, ...], change: str) -> Any:
    """A copy with one value removed, renamed or replaced."""
    data = parent = copy.deepcopy(data)
    for step in path[:-1]:
        parent = parent[step]
    last = path[-1]
    if change == "removed":
        del parent[last]
    elif change == "renamed" and isinstance(parent, dict):
        parent["zzz"] = parent.pop(last)
    elif change == "doubled" and isinstance(parent, dict):
        parent["zzz"] = parent[last]
    else:
        parent[last] = {"a text": "zzz", "a list": ["zzz"], "a mapping": {"zzz": "zzz"}}.get(change, "zzz")
    return data


CHANGES = ["removed", "renamed", "doubled", "a text", "a list", "a mapping"]


@pytest.mark.parametrize("kind", ["chapter", "vehicle"])
@settings(max_examples=120, deadline=None)
@given(choice=st.data())
def test_reader_and_schema_agree_on_any_change(kind: Kind, choice: st.DataObject) -> None:
    """What the reader takes is valid; what it refuses for its structure is not."""
    full = FULL if kind == "chapter" else VEHICLE
    path = choice.draw(st.sampled_from(list(spots(full))))
    data = mutated(full, path, choice.draw(st.sampled_from(CHANGES)))
    problems = read(data, kind)
    valid = VALIDATORS[kind].is_valid(data)
    if not problems:
        assert valid
    if any(of_structure(problem) for problem in problems):
        assert not valid, problems
