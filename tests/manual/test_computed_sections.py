"""What the page says of the computed readings: limits, faults, what sets the code, what the picker shows."""

from __future__ import annotations

from dataclasses import replace

import pytest

from authorkit.circuit.measurement import inside
from authorkit.manual.blocks import FaultReadings, Heading, Paragraph, Table
from authorkit.manual.computed import NOUGHT, questions_of, short_range, verdict
from authorkit.manual.pages import scopes_of
from authorkit.manual.sections.conditions import sets
from authorkit.manual.sections.readings import readings
from authorkit.manual.sections.suspects import suspects

CODES = ("P0118", "P0480", "P2138", "P0AA6", "U0110", "C0031")


def _text(inlines) -> str:
    return "".join(getattr(inline, "text", "") or _text(getattr(inline, "children", ())) for inline in inlines).replace(
        "\u202f", " "
    )


def _table(blocks, caption: str) -> list[list[str]]:
    table = next(block for block in blocks if isinstance(block, Table) and block.caption.startswith(caption))
    return [[_text(cell) for cell in row] for row in table.rows]


def _paragraphs(blocks) -> list[str]:
    return [_text(block.children) for block in blocks if isinstance(block, Paragraph)]


def test_the_computed_limits_stand_beside_the_spec_and_say_how_sure_they_are(scope):
    blocks = list(readings(scope("P0118")))
    assert _table(blocks, "Expected readings")[0][4:] == ["2.4 V to 2.6 V", "2.444 V to 2.555 V*"]
    (note,) = [said for said in _paragraphs(blocks) if said.startswith("Computed")]
    assert "* At every corner of the tolerances" in note
    assert "guaranteed" not in note


def test_a_spec_around_the_battery_voltage_has_computed_limits_around_it(scope):
    rows = _table(readings(scope("P0480")), "Expected readings")
    assert rows[0][5] == "battery minus 6 mV to plus 5 mV"


def test_other_readings_lead_to_the_faults_that_give_them(scope):
    rows = _table(readings(scope("P0118")), "Readings that are not healthy")
    assert ["1", "0 V", "contact M1-A.23: open"] in rows
    assert ["1", "11.9 V to 13 V", "K131: short to battery"] in rows
    assert ["6", "open (over limit)", "B5 thermistor: open"] in rows


@pytest.mark.parametrize("code", CODES)
def test_no_line_of_other_readings_passes_for_healthy_throughout(scope, code):
    """Every fault in the table is outside the spec or straddles it; those inside are not listed here."""
    here = scope(code)
    rows = _table(readings(here), "Readings that are not healthy")
    for number, spec in enumerate(here.chapter.specs, start=1):
        seen = {
            fault.id
            for series, question in questions_of(here, spec).items()
            for fault in here.study(series).faults
            if here.study(series).may_set(fault.id)
            and (reading := here.study(series).reading(question, fault.id)) is not None
            and reading.status not in ("undetermined", "not converged", "chatter")
            and inside(reading, spec.reads) != "inside"
        }
        assert bool(seen) == any(row[0] == str(number) for row in rows), number


def test_what_no_reading_shows_is_said(scope):
    said = _paragraphs(readings(scope("P2138")))
    assert "No reading of this page shows: contacts M1-A.26/28: open." in said


def test_a_code_whose_condition_is_only_words_claims_nothing_about_what_sets_it(scope):
    said = _paragraphs([*readings(scope("P0AA6")), *sets(scope("P0AA6"))])
    assert not any("No reading of this page" in each or "set it" in each for each in said)


def test_faults_that_set_the_code_are_named_those_of_one_series_last(scope):
    (said,) = _paragraphs(sets(scope("P0118")))
    assert said.startswith("Faults that set it: K131 with contacts: open, short to battery;")
    assert said.endswith("On Series A: Z141: short to battery.")
    certain, perhaps = _paragraphs(sets(scope("P2138")))[1:]
    assert certain.startswith("Faults that set it:")
    assert perhaps.startswith("Faults that may set it:")
    assert "100 Ω added" in perhaps


def test_a_suspect_says_whether_it_sets_the_code(scope):
    rows = _table(suspects(scope("P2138")), "Suspects")
    assert [row[2] for row in rows] == ["yes", "may", "yes"]
    (table,) = (block for block in suspects(scope("P0AA6")) if isinstance(block, Table))
    assert "Sets the code" not in table.columns


def test_test_points_that_read_alike_share_a_row_and_high_voltage_is_left_out(scope):
    rows = _table(readings(scope("P2138")), "Volts to G1")
    assert rows[0] == ["M1-A.26 (APP D SIG)B11.2 (D SIG)", "0.971 V to 1.02 V", "3.9 V to 4.04 V"]
    here = scope("P0AA6")
    blocks = list(readings(here))
    listed = " ".join(
        _text(row[0]) for block in blocks if isinstance(block, Table) and "Volts" in block.caption for row in block.rows
    )
    assert not any(str(point) in listed for point in here.class_b)


def test_one_table_of_test_points_for_series_with_the_same_circuit(scope):
    captions = [block.caption for block in readings(scope("P0118")) if isinstance(block, Table)]
    assert captions[-2:] == ["Volts to G1, healthy, Series A", "Volts to G1, healthy, Series B"]
    assert [block.caption for block in readings(scope("U0110")) if isinstance(block, Table)][
        -1
    ] == "Volts to G1, healthy"


@pytest.mark.parametrize("code", CODES)
def test_the_picker_holds_every_fault_with_the_readings_of_the_study(scope, code):
    here = scope(code)
    picker = next(block for block in readings(here) if isinstance(block, FaultReadings))
    options = {(group.rpartition(": ")[2], words): row for group, told in picker.groups for words, row in told}
    sentences = {words for _, words in options}
    for series in here.circuits:
        study = here.study(series)
        assert {fault.sentence for fault in study.faults} <= sentences
    assert all(len(row) == len(here.chapter.specs) + 1 for row in picker.rows)
    assert len(set(picker.rows)) == len(picker.rows)


def test_the_picker_says_what_a_fault_does(scope):
    here = scope("P0118")
    picker = next(block for block in readings(here) if isinstance(block, FaultReadings))
    told = {words: picker.rows[row] for _, options in picker.groups for words, row in options}
    row = [cell.replace("\u202f", " ") for cell in told["The thermistor in B5 is open."]]
    assert row[0] == "4.968 V to 5.029 V, not healthy"
    assert row[5] == "open (over limit), not healthy"
    assert row[-1] == "The code sets."
    assert verdict(here.study("A"), "open-B5-thermistor") == "sets"


@pytest.mark.parametrize(
    ("low", "high", "shown"),
    [
        (2.444, 2.555, "2.44 V to 2.56 V"),
        (-2.555, -2.444, "−2.56 V to −2.44 V"),
        (-0.006, 0.006, "0 V"),
        (0.0, NOUGHT * 2, "0 V to 20.2 mV"),
        (12.0, 12.0, "12 V"),
    ],
)
def test_limits_in_three_digits_are_rounded_outward(low, high, shown):
    assert short_range(low, high, "V").replace("\u202f", " ") == shown


def test_a_page_made_elsewhere_has_the_same_study(scope):
    """What travels to another process sees a book without the vehicle's wiring; its study must not."""
    here = scope("P0480")
    (there,) = scopes_of(here.shared, [here.chapter], travelling=True)
    assert [str(block) for block in readings(there)] == [str(block) for block in readings(here)]


def test_a_chapter_without_specs_says_nothing(scope):
    here = scope("P0118")
    assert list(readings(replace(here, chapter=replace(here.chapter, specs=())))) == []
    assert any(isinstance(block, Heading) for block in readings(here))
