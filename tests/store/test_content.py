"""The key of what records say: everything that matters changes it, nothing else does."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction
from pathlib import Path
from types import MappingProxyType

import pytest

from authorkit.store import content, content_key


class Side(Enum):
    LEFT = 1
    RIGHT = 2


@dataclass(frozen=True)
class Fact:
    name: object
    place: str = "here"
    where: dict[str, str] = field(default_factory=dict, compare=False)


def test_where_a_fact_was_said_does_not_matter() -> None:
    assert content_key("k", Fact("x")) == content_key("k", Fact("x", "there", {"a": "b"}))
    assert content_key("k", Fact("x"), without=()) != content_key("k", Fact("x", "there"), without=())


@pytest.mark.parametrize(
    "pair",
    [
        (1, 1.0),
        (1, True),
        ("1", 1),
        ("a", b"a"),
        (Side.LEFT, Side.RIGHT),
        (Fraction(1, 2), 0.5),
        (Fact("x"), Fact("y")),
        (Fact("x"), ("Fact", "y")),
        ((1, (2, 3)), ((1, 2), 3)),
        ({"a": 1}, {"a": 2}),
        ({1, 2}, (1, 2)),
        (None, ""),
    ],
    ids=repr,
)
def test_what_differs_has_another_key(pair: tuple[object, object]) -> None:
    first, second = pair
    assert content_key("k", first) != content_key("k", second)


def test_another_kind_has_another_key() -> None:
    assert content_key("a", 1) != content_key("b", 1)


def test_what_has_no_order_is_sorted() -> None:
    assert content({"b": 1, "a": {3, 1}}) == content(MappingProxyType({"a": frozenset({1, 3}), "b": 1}))


@pytest.mark.parametrize("thing", [object(), lambda: 1, threading.Lock(), bytearray(b"x")])
def test_what_has_no_lasting_written_form_is_refused(thing: object) -> None:
    with pytest.raises(TypeError, match="no lasting written form"):
        content_key("k", Fact(thing))


def test_a_class_is_not_taken_for_one_of_its_records() -> None:
    with pytest.raises(TypeError):
        content(Fact)


def test_keys_are_the_same_in_every_process_and_on_every_hash_seed() -> None:
    code = (
        "from authorkit.store import content_key;"
        "from authorkit.model.trouble_code import TroubleCode;"
        "print(content_key('k', {'b', 'a', 'c'}, {'x': frozenset('hello'), 'w': 0.1}, TroubleCode.__name__))"
    )
    said = {
        subprocess.run(
            [sys.executable, "-c", code],
            check=True,
            capture_output=True,
            text=True,
            env={**os.environ, "PYTHONHASHSEED": seed},
            cwd=Path(__file__).parents[2],
        ).stdout
        for seed in ("0", "1", "2")
    }
    assert len(said) == 1
