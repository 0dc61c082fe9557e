"""A vehicle that offers next to nothing: what a chapter needs it then declares itself."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from authorkit.checks.run import Findings
from authorkit.circuit.harness import build_harness
from authorkit.facts.read_book import read_book
from authorkit.model.chapter import Chapter
from authorkit.model.point import Point
from authorkit.starters.chapter import NewChapter
from authorkit.starters.kinds import KINDS

Make = Callable[..., NewChapter]
Check = Callable[[Path], Findings]
ChapterOf = Callable[[Path, str], Chapter]
Vehicle = Callable[[str], Path]

POOR = """\
modules: {M1: {name: Control module}, M2: {name: Other module}}
feeds: {B+: {name: Battery positive, live: always}}
networks: {N1: {name: Bus, kind: two-wire bus, members: [M2, M1]}}
"""
LOW_VOLTAGE = [kind.name for kind in KINDS.values() if not kind.high_voltage]


def rules(findings: Findings) -> set[str]:
    return {problem.rule for problem in findings.open}


@pytest.mark.parametrize("kind", LOW_VOLTAGE)
def test_every_kind_passes_the_checks(kind: str, vehicle: Vehicle, make: Make, check: Check) -> None:
    folder = vehicle(POOR)
    make(folder, "P1001", kind, title="A circuit")
    assert rules(check(folder)) <= {"todo-left", "chapter-unreferenced"}


def test_a_second_chapter_uses_the_ground_point_and_the_connector_of_the_first(
    vehicle: Vehicle, make: Make, check: Check, chapter_of: ChapterOf
) -> None:
    folder = vehicle(POOR)
    make(folder, "P1001", "thermistor", title="First")
    make(folder, "P1002", "thermistor", title="Second")
    second = chapter_of(folder, "P1002").wiring
    (ground,) = [device for device in second.devices if device.kind == "module-ground"]
    assert ground.values["through"] == Point("M1-A", "3")
    assert [each.id for each in second.grounds] == ["G1"]
    assert {each.id for each in second.connectors if each.rows} == {"B2", "M1-A"}
    assert rules(check(folder)) == {"todo-left", "chapter-unreferenced"}


def test_a_second_chapter_uses_the_fuse_box_of_the_first(
    vehicle: Vehicle, make: Make, check: Check, chapter_of: ChapterOf
) -> None:
    folder = vehicle(POOR)
    make(folder, "P1001", "switch-to-feed", title="First")
    make(folder, "P1002", "switch-to-feed", title="Second")
    fuses = {code: chapter_of(folder, code).wiring.devices for code in ("P1001", "P1002")}
    placed = {
        code: [(str(each.values["id"]), each.part, str(each.terminals[1])) for each in devices if each.kind == "fuse"]
        for code, devices in fuses.items()
    }
    assert placed == {"P1001": [("F1", "FB1", "FB1-A.1")], "P1002": [("F2", "FB1", "FB1-A.2")]}
    (box,) = [part for part in chapter_of(folder, "P1002").wiring.parts if part.id == "FB1"]
    assert box.kind == "fuse box"
    assert rules(check(folder)) == {"todo-left", "chapter-unreferenced"}


def test_connectors_are_passed_over_until_one_has_enough_free_cavities(
    vehicle: Vehicle, make: Make, chapter_of: ChapterOf
) -> None:
    folder = vehicle(
        POOR
        + 'parts: {B9: {name: Load, connectors: {B9: {"1": X}}}}\n'
        + "connectors:\n"
        + '  M1-A: {rows: ["1 2"], location: Left}\n'
        + '  M1-B: {rows: ["1 2 3"], location: Middle, colour: OG}\n'
        + '  M1-C: {rows: ["1 _ 2", "3 4"], location: Right}\n'
        + '  B9: {rows: ["1"], location: There}\n'
        + "wires: [[M1-C.1, K1 RD 0.5 mm2, B9.1]]\n"
    )
    path = folder / "chapters" / "vehicle.ipynb"
    whole = path.read_text(encoding="utf-8")
    plugs = 'M1: {name: Control module, connectors: {M1-A: {}, M1-B: {}, M1-C: {\\"1\\": X}}}'
    path.write_text(whole.replace("M1: {name: Control module}", plugs), encoding="utf-8")
    make(folder, "P1001", "thermistor", title="A circuit")
    uses = [str(use.point) for use in chapter_of(folder, "P1001").wiring.cavities if use.part == "M1"]
    assert uses == ["M1-C.2", "M1-C.3", "M1-C.4"]


def test_a_taken_name_is_passed_over_in_any_writing(vehicle: Vehicle, make: Make) -> None:
    folder = vehicle(POOR + "splices: {b1: Somewhere, B2: Somewhere}\ntools: {T1: Tester}\nterms: {B3: A word}\n")
    make(folder, "P1001", "thermistor", title="A circuit")
    book, _ = read_book(folder)
    assert book is not None
    assert "B4" in build_harness(book).parts
