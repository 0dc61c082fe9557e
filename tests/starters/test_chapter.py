"""Chapters from every kind of circuit: they pass the checks, and nothing in them is taken already."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import product
from pathlib import Path

import nbformat
import pytest

from authorkit.checks.run import Findings
from authorkit.circuit.harness import build_harness, fuse_id
from authorkit.facts.read_book import read_book
from authorkit.model.book import Book
from authorkit.model.chapter import SECTIONS, Chapter
from authorkit.model.point import Point
from authorkit.starters.chapter import NewChapter
from authorkit.starters.kinds import KINDS
from authorkit.starters.template import read_template

Make = Callable[..., NewChapter]
Check = Callable[[Path], Findings]
ChapterOf = Callable[[Path, str], Chapter]

# A code of the code list of a new manual for each kind, and one of the demo's list that has no chapter there.
CODES = {
    "switch-to-ground": ("C1A10", "C1A10"),
    "switch-to-feed": ("P0571", "P0504"),
    "thermistor": ("P0117", "P0117"),
    "three-wire-sensor": ("P0532", "P0533"),
    "dual-track-pedal": ("P2138", "P2122"),
    "relay-driven-load": ("P0480", "B1A30"),
    "low-side-pwm": ("P0443", "P0442"),
    "two-wire-bus": ("U0110", "U0111"),
    "interlock-loop": ("P0A0A", "P0A0D"),
    "hall-speed-sensor": ("P0500", "P0501"),
    "resolver": ("P0A3F", "P0A40"),
    "motor-phases": ("P0A78", "P0A1B"),
}
ALL = list(CODES)
HIGH_VOLTAGE = ["interlock-loop", "resolver", "motor-phases"]
MEASURING = {"volts", "drop", "ohms", "amps", "hertz", "duty", "insulation", "scope"}


def rules(findings: Findings) -> set[str]:
    return {problem.rule for problem in findings.open}


def book_of(folder: Path) -> Book:
    book, _ = read_book(folder)
    assert book is not None
    return book


def names_of(book: Book) -> dict[str, set[str]]:
    """Everything that has a name in the book, by kind."""
    harness = build_harness(book)
    return {
        "part": set(harness.parts),
        "connector": set(harness.connectors),
        "splice": set(harness.splices),
        "circuit": {wire.circuit for wiring in book.wirings for wire in wiring.wires},
        "fuse": {fuse_id(fuse) for fuses in harness.fuses.values() for fuse in fuses},
    }


def test_every_kind_is_tried_here() -> None:
    assert list(KINDS) == ALL
    assert len(ALL) == 12


@pytest.mark.parametrize("kind", ALL)
def test_in_a_new_manual_only_notes_of_what_is_to_do_are_found(
    kind: str, manual: Path, make: Make, check: Check
) -> None:
    before = len(check(manual).open)
    make(manual, CODES[kind][0], kind)
    findings = check(manual)
    assert rules(findings) == {"todo-left"}
    assert len(findings.open) > before


@pytest.mark.parametrize("kind", ALL)
def test_in_the_demo_manual_only_notes_of_what_is_to_do_are_found(
    kind: str, demo: Path, make: Make, check: Check
) -> None:
    before = rules(check(demo))
    code = CODES[kind][1]
    make(demo, code, kind)
    findings = check(demo)
    assert rules(findings) - before == {"todo-left"}
    assert {problem.place.file for problem in findings.open if problem.rule == "todo-left"} == {
        f"chapters/{code}.ipynb"
    }


def test_all_kinds_fit_into_one_manual_one_after_another(manual: Path, make: Make, check: Check) -> None:
    for kind in ALL:
        make(manual, CODES[kind][0], kind)
    assert rules(check(manual)) == {"todo-left"}
    assert len(book_of(manual).chapters) == 13


def test_all_kinds_fit_into_the_demo_manual_with_free_names_and_free_cavities(
    demo: Path, make: Make, check: Check
) -> None:
    rules_before = rules(check(demo))
    for kind in ALL:
        before = book_of(demo)
        made = make(demo, CODES[kind][1], kind)
        assert_free(before, book_of(demo), made.file, is_drawn_again=kind == "two-wire-bus")
    assert rules(check(demo)) - rules_before == {"todo-left"}


def assert_free(before: Book, after: Book, file: str, *, is_drawn_again: bool) -> None:
    """What is new has a name of its own, and new wires end at cavities that nothing used and the layout has."""
    old, new = names_of(before), names_of(after)
    circuits = new["circuit"] - old["circuit"]
    assert bool(circuits) != is_drawn_again
    wires = [wire for chapter in after.chapters if chapter.file == file for wire in chapter.wiring.wires]
    ends = [end for wire in wires if wire.circuit in circuits for end in wire.ends if end.is_cavity]
    harness, layouts = build_harness(before), build_harness(after).whole_connectors
    assert [end for end in ends if end in harness.wires or end in harness.uses] == []
    assert [end for end in ends if end.cavity not in layouts[end.owner].cavities] == []


@pytest.mark.slow
def test_names_and_cavities_run_out_of_nothing_in_three_rounds(manual: Path, make: Make, check: Check) -> None:
    for number, (_, kind) in enumerate(product(range(3), ALL), 1):
        make(manual, f"P1{number:03X}", kind, title=f"Circuit number {number}")
    assert rules(check(manual)) == {"todo-left", "chapter-unreferenced"}


@pytest.mark.parametrize("kind", ALL)
def test_the_notebook_is_valid_by_jupyters_own_schema(kind: str, manual: Path, make: Make) -> None:
    code = CODES[kind][0]
    make(manual, code, kind)
    notebook = nbformat.read(manual / "chapters" / f"{code}.ipynb", as_version=nbformat.NO_CONVERT)
    nbformat.validate(notebook)
    assert [cell.cell_type for cell in notebook.cells].count("code") == 1


@pytest.mark.parametrize("kind", ALL)
def test_the_same_wish_makes_the_same_notebook(kind: str, manual: Path, make: Make) -> None:
    first = make(manual, CODES[kind][0], kind)
    (manual / "chapters" / f"{CODES[kind][0]}.ipynb").unlink()
    assert make(manual, CODES[kind][0], kind) == first


@pytest.mark.parametrize("kind", ALL)
def test_the_chapter_says_everything_that_a_page_needs(
    kind: str, manual: Path, make: Make, chapter_of: ChapterOf
) -> None:
    code = CODES[kind][0]
    make(manual, code, kind)
    chapter = chapter_of(manual, code)
    assert chapter.sets_when
    assert chapter.states
    assert chapter.specs
    assert chapter.suspects
    assert chapter.steps
    assert chapter.after_repair
    assert chapter.before_start.tools != ("none",)
    assert chapter.revision.verified == "not verified"
    assert {prose.section for prose in chapter.prose} >= {"meaning", "circuit", "suspects", "notes"}
    assert set(SECTIONS) >= {prose.section for prose in chapter.prose}


@pytest.mark.parametrize("kind", ["low-side-pwm", "two-wire-bus", "hall-speed-sensor", "resolver"])
def test_a_signal_over_time_is_described_where_it_belongs(
    kind: str, manual: Path, make: Make, chapter_of: ChapterOf
) -> None:
    make(manual, CODES[kind][0], kind)
    assert len(chapter_of(manual, CODES[kind][0]).waveforms) == 1


@pytest.mark.parametrize("kind", ALL)
def test_the_procedure_has_five_to_eight_tests_and_an_end_for_every_suspect(
    kind: str, manual: Path, make: Make, chapter_of: ChapterOf
) -> None:
    make(manual, CODES[kind][0], kind)
    chapter = chapter_of(manual, CODES[kind][0])
    assert 5 <= sum(not step.is_end for step in chapter.steps) <= 8
    accused = {word for step in chapter.steps for verdict in step.verdict for word in verdict.split()}
    for suspect in chapter.suspects:
        thing = suspect.fault.split(" at ")[0].split()[-1]
        assert thing in accused, suspect.fault


@pytest.mark.parametrize("kind", HIGH_VOLTAGE)
def test_nothing_is_measured_before_high_voltage_is_proven_absent(
    kind: str, manual: Path, make: Make, chapter_of: ChapterOf
) -> None:
    make(manual, CODES[kind][0], kind)
    steps = chapter_of(manual, CODES[kind][0]).steps
    tests = [step.test.kind for step in steps if step.test]
    assert tests[:2] == ["look", "absence"]
    assert MEASURING.isdisjoint(tests[:2])
    proof = next(step for step in steps if step.test and step.test.kind == "absence")
    assert proof.state is not None
    assert (proof.state.key, proof.state.disconnect) == ("off", "open")
    assert proof.tools[0] == "T2"


@pytest.mark.parametrize(
    ("code", "windows"),
    [("P0117", ["below 0.1 V"]), ("P0116", ["above 4.85 V", "below 0.1 V"])],
)
def test_a_code_that_says_low_sets_on_the_low_side_only(
    code: str, windows: list[str], manual: Path, make: Make, chapter_of: ChapterOf
) -> None:
    make(manual, code, "thermistor")
    notebook = nbformat.read(manual / "chapters" / f"{code}.ipynb", as_version=4)
    facts = next(cell.source for cell in notebook.cells if cell.cell_type == "code")
    found = re.findall(r"watch: M1\.B1, (above|below): ([\d.]+ V)", facts)
    assert [" ".join(pair) for pair in found] == windows
    assert len(chapter_of(manual, code).sets_when) == len(windows)


def test_a_failure_type_says_the_direction_as_well(manual: Path, make: Make, chapter_of: ChapterOf) -> None:
    make(manual, "P0110-12", "thermistor")  # 12: circuit short to battery (ISO 15031-6, as the model has it)
    (condition,) = chapter_of(manual, "P0110-12").sets_when
    assert condition.window is not None
    assert condition.window.high is None


def test_the_code_list_names_title_and_module_else_the_standard_does(
    manual: Path, make: Make, chapter_of: ChapterOf
) -> None:
    make(manual, "P0A03", "thermistor")
    listed = chapter_of(manual, "P0A03")
    assert (listed.title, listed.set_by) == ("Motor electronics coolant temperature sensor circuit high", "M3")
    make(manual, "P0113", "thermistor")
    standard = chapter_of(manual, "P0113")
    assert (standard.title, standard.set_by) == ("Intake air temperature sensor 1 circuit high", "M1")
    make(manual, "P0114", "thermistor")
    assert chapter_of(manual, "P0114").title == "TODO title of P0114"


def test_codes_of_the_book_that_begin_alike_are_related(manual: Path, make: Make, chapter_of: ChapterOf) -> None:
    make(manual, "P0117", "thermistor")
    assert chapter_of(manual, "P0117").related == ("P0116", "P0118")
    make(manual, "U0110", "two-wire-bus")
    assert chapter_of(manual, "U0110").related == ()


def test_a_code_of_the_vehicle_maker_asks_who_says_what_it_means(
    manual: Path, make: Make, chapter_of: ChapterOf
) -> None:
    make(manual, "P1234", "thermistor")
    assert chapter_of(manual, "P1234").meaning_source.startswith("TODO")
    make(manual, "P0117", "thermistor")
    assert chapter_of(manual, "P0117").meaning_source == ""


def test_the_wish_for_a_module_a_title_and_a_series_is_kept(manual: Path, make: Make, chapter_of: ChapterOf) -> None:
    make(manual, "C1001", "thermistor", module="M2", title="Brake fluid: 'too hot'", series=("B",))
    chapter = chapter_of(manual, "C1001")
    assert (chapter.set_by, chapter.title, chapter.series) == ("M2", "Brake fluid: 'too hot'", ("B",))


def test_a_module_of_one_series_limits_the_chapter(demo: Path, make: Make, chapter_of: ChapterOf, check: Check) -> None:
    before = rules(check(demo))
    make(demo, "P1A81", "switch-to-feed", module="M8")
    assert chapter_of(demo, "P1A81").series == ("B",)
    assert rules(check(demo)) - before == {"todo-left", "chapter-unreferenced"}


@pytest.mark.parametrize("series", ["A", "B"])
def test_the_ground_cavity_of_the_module_is_used_as_the_series_has_it(
    series: str, demo: Path, make: Make, chapter_of: ChapterOf
) -> None:
    make(demo, "P0119", "thermistor", series=(series,))
    devices = chapter_of(demo, "P0119").wiring.devices
    (ground,) = [device for device in devices if device.kind == "module-ground"]
    assert ground.values["through"] == Point("M1-A", "2")
    assert [wire for wire in chapter_of(demo, "P0119").wiring.wires if Point("M1-A", "2") in wire.ends] == []


def test_an_existing_bus_is_drawn_again_and_not_invented_a_second_time(
    demo: Path, make: Make, chapter_of: ChapterOf
) -> None:
    old = chapter_of(demo, "U0110").wiring
    make(demo, "U0111", "two-wire-bus")
    new = chapter_of(demo, "U0111").wiring

    def sections(wiring: object) -> set[object]:
        return {(wire.circuit, wire.ends, wire.series) for wire in wiring.wires}  # type: ignore[attr-defined]

    assert sections(new) == sections(old)
    assert {pair.circuits for pair in new.pairs} == {pair.circuits for pair in old.pairs}
    assert {splice.id for splice in new.splices} == {splice.id for splice in old.splices}


def test_a_new_bus_has_a_resistor_at_each_end_and_reaches_every_member(
    manual: Path, make: Make, chapter_of: ChapterOf
) -> None:
    make(manual, "U0110", "two-wire-bus")
    devices = chapter_of(manual, "U0110").wiring.devices
    assert [device.part for device in devices if device.kind == "transceiver"] == ["M1", "M2", "M3"]
    assert [device.part for device in devices if device.kind == "terminator"] == ["M1", "M3"]


def test_the_module_that_the_title_names_is_the_one_that_is_not_heard(
    manual: Path, make: Make, chapter_of: ChapterOf
) -> None:
    make(manual, "U0110", "two-wire-bus")
    assert "No message from M3" in chapter_of(manual, "U0110").sets_when[0].text


def test_every_placeholder_note_in_a_template_is_marked_for_the_check() -> None:
    for kind in ALL:
        text = read_template("kinds", f"{kind}.md")
        assert text.count("TODO") >= 8, kind
        assert not re.search(r"\b(FIXME|TBD|todo)\b", text), kind


@pytest.mark.parametrize("kind", ALL)
def test_every_number_of_a_spec_has_a_comment_that_says_how_it_comes_about(kind: str) -> None:
    text = read_template("kinds", f"{kind}.md")
    specs = text[text.index("\nspecs:") :]
    assert specs.startswith("\nspecs:\n  # ")
