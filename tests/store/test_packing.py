"""Records as bytes and back; nothing else comes back, whoever wrote the bytes."""

from __future__ import annotations

import os
import pickle
from contextlib import suppress
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from authorkit.problems import Place, Problem
from authorkit.store import packed, unpacked

RECORD = (
    Problem("page-refused", "Words µ", Place("a.ipynb", 1, 2)),
    {"a": (1, 2.5, None, Fraction(1, 3))},
    frozenset({b"x"}),
)


def test_records_come_back_as_they_were() -> None:
    assert unpacked(packed(RECORD)) == RECORD


class Calls:
    """Pickles as a call of something."""

    def __init__(self, function: object, *arguments: object) -> None:
        self.call = (function, arguments)

    def __reduce__(self) -> tuple[object, tuple[object, ...]]:
        return self.call


@pytest.mark.parametrize(
    "evil",
    [
        Calls(os.system, "true"),
        Calls(eval, "1"),
        Calls(getattr, Place, "mro"),
        Calls(__import__, "os"),
        Calls(unpacked, packed(1)),
        [Place("a"), Calls(print, "x")],
        Calls,
        pickle.Pickler,
    ],
    ids=["system", "eval", "getattr", "import", "unpacked", "inside-a-list", "a-class", "a-pickler"],
)
def test_bytes_that_ask_for_anything_but_records_are_refused(evil: object) -> None:
    with pytest.raises(ValueError, match="no record of the toolkit"):
        unpacked(pickle.dumps(evil))


@pytest.mark.parametrize(
    "name",
    ["authorkit.__main__\nmain", "authorkit.commands\nmain", "authorkit.store.packing\npickle.loads", "os\nsystem"],
)
def test_functions_of_the_toolkit_are_refused_too(name: str) -> None:
    with pytest.raises(ValueError, match="no record of the toolkit"):
        unpacked(b"c" + name.encode() + b"\n.")


@given(st.binary(max_size=200))
def test_any_bytes_give_a_value_or_a_value_error(data: bytes) -> None:
    with suppress(ValueError):
        unpacked(data)


@given(st.integers(0, len(packed(RECORD)) - 1), st.integers(1, 255))
def test_damaged_bytes_give_a_value_or_a_value_error(position: int, change: int) -> None:
    data = bytearray(packed(RECORD))
    data[position] ^= change
    with suppress(ValueError):
        unpacked(bytes(data))
