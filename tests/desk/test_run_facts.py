"""What running a facts cell shows: findings in the author's line, drawings, readings; for a part if need be."""

from __future__ import annotations

import base64
import random
import re
from collections.abc import Callable
from dataclasses import dataclass
from html import unescape

import pytest

from authorkit.desk.book_state import BookState
from authorkit.desk.located import Located, Origin
from authorkit.desk.run_facts import run_facts

Typed = Callable[..., Located]


@dataclass(frozen=True)
class Ran:
    """The output of a run: as HTML, as text, and the words of the HTML without its tags."""

    html: str
    text: str

    @property
    def words(self) -> str:
        return unescape(re.sub(r"<[^>]+>", "", self.html)).replace("\N{NARROW NO-BREAK SPACE}", " ")

    @property
    def drawings(self) -> list[str]:
        found = re.findall(r'<img src="data:image/svg\+xml;base64,([^"]+)"', self.html)
        return [base64.b64decode(each).decode() for each in found]


@pytest.fixture
def run(shared_state: BookState, typed: Typed) -> Callable[..., Ran]:
    """A function that runs the facts cell of a chapter with words of it replaced."""

    def run_one(code: str, *changes: tuple[str, str]) -> Ran:
        located = typed(code, *changes)
        pieces = list(run_facts(BookState(shared_state.folder), located.cell.source, Origin()))
        return Ran("\n".join(piece.html for piece in pieces), "\n".join(piece.text for piece in pieces))

    return run_one


def test_a_sound_chapter_shows_no_error_its_drawings_and_readings(run: Callable[..., Ran]) -> None:
    ran = run("P0118")
    assert re.match(r"chapters/P0118\.ipynb: ", ran.words)
    assert "Error" not in ran.words
    captions = re.findall(r"Figure P0118-\d+ [^<]+", ran.html)
    assert [caption.split(" ", 2)[2][:19] for caption in captions][:2] == ["Circuit of P0118, S", "Circuit of P0118, S"]
    assert any("Connectors of P0118" in caption for caption in captions)
    assert len(ran.drawings) == len(captions)
    assert all(drawing.startswith("<svg") for drawing in ran.drawings)
    assert "signal-cold" in ran.words


def test_a_reading_is_computed_from_the_values_in_the_cell(run: Callable[..., Ran]) -> None:
    """A divider of 2.49 kΩ and the thermistor at 25 °C, by Ohm's law: 5 V × 2.05 / (2.49 + 2.05) = 2.258 V."""
    ran = run("P0118", ("cold: {key: on, B5: 20 °C}", "cold: {key: on, B5: 25 °C}"))
    row = re.search(r"M1-A\.23 \(ECT SIG\)</td><td[^>]*>([\d.]+)", ran.html)
    assert row is not None
    assert float(row[1]) == pytest.approx(5 * 2.05 / (2.49 + 2.05), abs=0.002)


def test_a_finding_stands_with_its_line_a_marker_and_a_suggestion(run: Callable[..., Ran]) -> None:
    ran = run("P0118", ("set-by: M1\n", "set-by: M11\n"))
    assert "Error line 4, column 9: The code P0118 is set by 'M11', which is no part of the vehicle." in ran.words
    assert "   4 | set-by: M11\n               ^^^" in ran.words
    assert "Did you mean 'M1'?" in ran.words


def test_findings_in_the_saved_prose_name_their_cell(run: Callable[..., Ran]) -> None:
    ran = run("P0118", ("name: signal-cold", "name: signal-icy"))
    assert "In other cells and notebooks, as last saved:" in ran.words
    assert re.search(r"chapters/P0118.ipynb, cell 3, line \d+.*signal-cold", ran.words)


def test_a_finding_in_another_notebook_about_this_one_is_told(run: Callable[..., Ran]) -> None:
    """The wire Z140 is drawn by another chapter as well."""
    ran = run("P0118", ("title: Engine coolant temperature sensor 1 circuit high", "title: Something else"))
    assert "chapters/vehicle.ipynb" in ran.words


def test_with_a_broken_line_the_rest_is_still_shown(run: Callable[..., Ran]) -> None:
    ran = run("P0118", ("  hot: {key: on, B5: 90 °C}", "  hot: {key: on, B5: 90 °C"))
    assert "1 error. Shown without lines" in ran.words
    assert "The '{' that opens here is not closed" in ran.words
    assert any("ECT SIG" in drawing for drawing in ran.drawings)
    assert "key-missing" not in ran.html


def test_without_a_code_the_circuit_is_still_shown(run: Callable[..., Ran]) -> None:
    ran = run("P0118", ("code: P0118\n", "code: Q0118\n"))
    assert "code-malformed" in ran.html
    assert ran.drawings


def test_a_device_that_cannot_be_read_leaves_the_others(run: Callable[..., Ran]) -> None:
    ran = run("P0118", ("- {clamp: M1-A.23, to: 5 V}", "- {clampp: M1-A.23, to: 5 V}"))
    assert "device-malformed" in ran.html
    assert ran.drawings


def test_a_cell_that_is_nothing_yet_says_what_is_missing(shared_state: BookState) -> None:
    for source in ("%%facts", "%%facts\n", "%%facts\n- a\n", "%%facts\ncode: P0115\n"):
        pieces = list(run_facts(BookState(shared_state.folder), source, Origin("chapters/P0115.ipynb")))
        assert "error" in pieces[0].text


def test_the_vehicle_notebook_shows_its_connectors(shared_state: BookState, manual_cell: str) -> None:
    pieces = list(run_facts(BookState(shared_state.folder), manual_cell, Origin()))
    assert pieces[0].text.startswith("chapters/vehicle.ipynb: ")
    assert "error" not in pieces[0].text
    assert "Connectors of this cell" in pieces[1].html


def test_a_change_of_the_vehicle_names_the_chapters_that_it_breaks(shared_state: BookState, manual_cell: str) -> None:
    source = manual_cell.replace("X12:", "X99:")
    pieces = list(run_facts(BookState(shared_state.folder), source, Origin()))
    assert "chapters/P0118.ipynb" in pieces[0].text


@pytest.fixture
def manual_cell(shared_state: BookState) -> str:
    """The cell of the vehicle notebook that describes connectors."""
    notebook = shared_state.notebook("chapters/vehicle.ipynb")
    assert notebook is not None
    return next(cell.source for cell in notebook.facts if "\nconnectors:" in cell.source)


def test_whatever_is_typed_an_answer_comes(shared_state: BookState, facts_of: dict[str, str]) -> None:
    """Lines cut, doubled, moved and spoilt: findings, never an exception."""
    dice = random.Random(11)
    state, sources = BookState(shared_state.folder), list(facts_of.values())
    for _ in range(12):
        lines = dice.choice(sources).split("\n")
        for _ in range(dice.choice((1, 1, 3))):
            at = dice.randrange(1, len(lines))
            cut = dice.randrange(len(lines[at]) + 1)
            spoilt = lines[at][:cut] + dice.choice("{}[]:,'\"-&*0Ω.#|") + lines[at][cut:]
            lines[at] = dice.choice(
                (lines[at][:cut], spoilt, f"  {lines[at]}", lines[dice.randrange(1, len(lines))], "")
            )
        assert next(run_facts(state, "\n".join(lines), Origin())).text


def test_a_shared_procedure_without_parameters_is_told_of_one(shared_state: BookState) -> None:
    source = (
        "%%facts\nprocedures:\n  x:\n    name: Look at <point>\n    answers: [good, bad]\n    steps:\n"
        "      1: {do: Look at it., look: it, then: {yes: good, no: bad}}\n"
    )
    text = next(run_facts(BookState(shared_state.folder), source, Origin("chapters/vehicle.ipynb"))).text
    assert "'<point>' is used, but 'needs' does not name it." in text
    assert "expected: no parameters" in text


def test_each_fault_is_followed_to_the_step_where_the_procedure_ends(run: Callable[..., Ran]) -> None:
    ran = run("P0118")
    counted = re.search(r"Series A: (\d+) of (\d+) faults that can set the code end at the right verdict", ran.words)
    assert counted is not None
    assert counted[1] == counted[2]
    assert re.search(r"<td[^>]*>11</td><td[^>]*>B5</td><td[^>]*>B5: open</td>", ran.html)


def test_a_verdict_that_accuses_the_wrong_thing_stands_out(run: Callable[..., Ran]) -> None:
    ran = run("P0118", ("11: {verdict: B5,", "11: {verdict: K131,"))
    assert "Wrong for: B5: open." in ran.words
    assert "verdict-wrong" in ran.html


def test_the_steps_are_drawn_as_a_chart(run: Callable[..., Ran]) -> None:
    assert "Steps of P0118" in run("P0118").html


def test_markup_in_facts_is_shown_and_never_obeyed(run: Callable[..., Ran]) -> None:
    ran = run("P0118", ("set-by: M1\n", "set-by: <script>alert(1)</script>\n"))
    assert "<script" not in ran.html
    assert "<script>alert(1)</script>" in ran.words
