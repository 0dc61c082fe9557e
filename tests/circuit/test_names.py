"""What a live reference means, and the nearest name for one that means nothing."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from authorkit.circuit.harness import build_harness
from authorkit.circuit.names import Name, Names, signal_at
from authorkit.model.book import Book
from authorkit.model.point import Point
from authorkit.model.reference import REFERENCE_KINDS

VEHICLE = """
modules:
  M1: {name: Engine control module, connectors: {M1-A: {"23": ECT SIG, "2": GND}}}
parts:
  FB1: {name: Fuse box, kind: fuse box, connectors: {FB1-C: {"1": F1 OUT}},
        inside: [{fuse: [B+, FB1-C.1], id: F1, rating: 10 A}]}
connectors: {M1-A: {rows: ["1-24"]}}
grounds: {G1: Left strut tower}
splices: {S4: In the harness}
tools: {T1: {name: Digital multimeter}}
terms: {ECT: Engine coolant temperature}
codes: {P0117: {title: Coolant temperature low, set-by: M1}, P0118: {title: Listed title, set-by: M1}}
wires: [[FB1-C.1, A1 RD 1 mm2, M1-A.1]]
"""
CHAPTER = """
circuit:
  parts: {M1: {connectors: {M1-A: {"23": SIGNAL HERE}}}}
  wires: [[M1-A.23, K131 BU 0.5 mm2, S4]]
specs: [{volts: [M1-A.23, G1], state: {key: on}, reads: 2.4 to 2.6 V, name: signal-cold}]
procedure: {4: {verdict: M1}}
figures: [{id: photo, file: a.png, caption: Sensor, alt: A sensor}]
"""


@pytest.fixture
def names(book_of: Callable[..., Book]) -> Names:
    book = book_of(VEHICLE, P0118=CHAPTER)
    return Names(book, build_harness(book))


@pytest.mark.parametrize(
    ("kind", "target", "label", "chapter"),
    [
        ("code", "P0118", "P0118", "P0118"),
        ("code", "P0117", "P0117", ""),
        ("part", "M1", "M1 Engine control module", ""),
        ("connector", "M1-A", "M1-A", ""),
        ("cavity", "M1-A.23", "M1-A.23 (SIGNAL HERE)", ""),
        ("cavity", "M1-A.7", "M1-A.7", ""),
        ("ground", "G1", "G1 (Left strut tower)", ""),
        ("splice", "S4", "S4", ""),
        ("fuse", "F1", "F1 (10\u202fA)", ""),
        ("circuit", "K131", "K131", ""),
        ("circuit", "A1", "A1", ""),
        ("figure", "photo", "figure", "P0118"),
        ("step", "4", "step 4", "P0118"),
        ("term", "ECT", "ECT", ""),
        ("tool", "T1", "Digital multimeter", ""),
        ("reading", "signal-cold", "2.4\u202fV to 2.6\u202fV", "P0118"),
        ("section", "readings", "Readings", "P0118"),
    ],
)
def test_a_reference_finds_its_target(names: Names, kind: str, target: str, label: str, chapter: str) -> None:
    assert names.find(kind, target, names.book.chapters[0]) == Name(kind, target, label, chapter)


@pytest.mark.parametrize("kind", REFERENCE_KINDS)
def test_every_kind_of_reference_refuses_what_does_not_exist(names: Names, kind: str) -> None:
    assert names.find(kind, "nothing", names.book.chapters[0]) is None


@pytest.mark.parametrize("kind", REFERENCE_KINDS)
def test_every_kind_lists_only_what_it_finds(names: Names, kind: str) -> None:
    chapter = names.book.chapters[0]
    known = names.known(kind, chapter)
    assert known == sorted(known)
    assert known
    assert [target for target in known if names.find(kind, target, chapter) is None] == []


@pytest.mark.parametrize("kind", ["figure", "step", "reading", "section"])
def test_a_page_without_facts_has_none_of_a_chapters_names(names: Names, kind: str) -> None:
    targets = names.known(kind, names.book.chapters[0])
    assert [names.find(kind, target, None) for target in targets] == [None] * len(targets)


def test_an_unknown_kind_finds_nothing(names: Names) -> None:
    assert names.find("colour", "BU", None) is None
    assert names.known("colour", None) == []
    assert names.near("colour", "BU", None) is None


@pytest.mark.parametrize(
    ("kind", "typed", "near"),
    [
        ("part", "m1", "M1"),
        ("cavity", "M1-A.24", "M1-A.2"),
        ("reading", "signal cold", "signal-cold"),
        ("ground", "Q", None),
    ],
)
def test_the_nearest_name_is_proposed(names: Names, kind: str, typed: str, near: str | None) -> None:
    assert names.near(kind, typed, names.book.chapters[0]) == near


def test_a_chapters_title_comes_before_the_code_list(names: Names) -> None:
    assert names.listed_code("P0118") == "Coolant temperature"
    assert names.listed_code("P0117") == "Coolant temperature low"
    assert names.listed_code("P9999") is None


def test_a_code_with_a_failure_type_is_found_with_and_without_it(book_of: Callable[..., Book]) -> None:
    book = book_of("", **{"P0118-17": ""})
    names = Names(book, build_harness(book))
    assert names.find("code", "P0118-17", None) == Name("code", "P0118-17", "P0118-17", "P0118-17")
    assert names.find("code", "P0118", None) == Name("code", "P0118-17", "P0118-17", "P0118-17")


def test_a_signal_is_called_as_the_chapter_calls_it(names: Names) -> None:
    chapter = names.book.chapters[0]
    assert signal_at(names.harness, Point("M1-A", "23"), chapter) == "SIGNAL HERE"
    assert signal_at(names.harness, Point("M1-A", "23"), None) == "ECT SIG"
    assert signal_at(names.harness, Point("M1-A", "9"), chapter) == ""
