"""Anchors: unique for different names, plain enough for an HTML id and a file name."""

from __future__ import annotations

import re

import pytest

from authorkit.circuit.names import Name
from authorkit.manual.anchors import anchor_of, inside, listed_anchor


@pytest.mark.parametrize(
    ("name", "anchor"),
    [
        (Name("code", "P0118", "P0118", "P0118"), "P0118"),
        (Name("code", "P0100", "P0100"), "listed-P0100"),
        (Name("part", "B5", "B5"), "part-B5"),
        (Name("cavity", "M1-A.23", ""), "connector-M1-A"),
        (Name("ground", "G1", ""), "ground-G1"),
        (Name("step", "4", "", "P0118"), "P0118-step-4"),
        (Name("reading", "signal-cold", "", "P0118"), "P0118-table-readings"),
        (Name("circuit", "K131", "K131"), None),
        (Name("splice", "S1", "S1"), None),
    ],
)
def test_each_kind_leads_to_its_place(name, anchor):
    assert anchor_of(name) == anchor


@pytest.mark.parametrize(("one", "other"), [("B+", "B"), ("B+", "B-"), ("X 1", "X_1"), ("Ä", "A")])
def test_different_names_never_share_an_anchor(one, other):
    assert listed_anchor("part", one) != listed_anchor("part", other)


@pytest.mark.parametrize("name", ["B+", "A1/2", "über", "a.b", "x<y>", '"'])
def test_anchors_hold_only_letters_digits_dashes_and_underscores(name):
    assert re.fullmatch(r"[A-Za-z0-9_-]+", inside("P0118", "figure", name))
