"""What each section of a chapter's page says, on the demo book."""

from __future__ import annotations

from dataclasses import replace

import pytest

from authorkit.manual.blocks import CautionBlock, Figure, StepBlock, Table
from authorkit.manual.scope import scope_of, share
from authorkit.manual.sections.cautions import cautions, step_cautions
from authorkit.manual.sections.circuit import circuit, grouped
from authorkit.manual.sections.conditions import sets
from authorkit.manual.sections.identity import identity
from authorkit.manual.sections.procedure import procedure
from authorkit.manual.sections.readings import readings
from authorkit.manual.sections.waveforms import waveforms
from authorkit.model.hazard import HAZARDS, HIGH_VOLTAGE

HIGH_VOLTAGE_CODES = ("P0A78", "P0AA1", "P0AA6")
LOW_VOLTAGE_CODES = ("P0118", "P2138", "C0031", "B1A20")


def _text(inlines) -> str:
    return "".join(getattr(inline, "text", "") or _text(getattr(inline, "children", ())) for inline in inlines)


def _table(blocks, caption: str) -> list[list[str]]:
    table = next(block for block in blocks if isinstance(block, Table) and block.caption.startswith(caption))
    return [[_text(cell) for cell in row] for row in table.rows]


def test_the_wire_table_gives_the_name_at_both_ends(scope):
    rows = _table(circuit(scope("P0118")), "Wires")
    assert ["K131", "BU/GY", "0.5\u202fmm²", "M1-A.23 (ECT SIG)", "B5.1 (SIG)", "B"] in rows


def test_each_ground_is_followed_to_its_bolt(scope):
    (row,) = _table(circuit(scope("P0118")), "Grounds")
    assert row == ["G1", "Left strut tower", "M8, 9\u202fN·m", "Z101 from M1-A.2"]


def test_series_with_the_same_circuit_share_one_drawing(scope):
    same = scope("P0532")
    assert [names for names, _ in grouped(same)] in ([("A", "B")], [("A",), ("B",)])
    drawings = [block for block in circuit(same) if isinstance(block, Figure) and "Circuit of" in block.caption]
    assert len(drawings) == len(grouped(same))


def test_a_path_is_drawn_on_each_circuit_where_the_prose_can_refer_to_it(scope):
    page = scope("P0532")
    figures = [
        block for block in circuit(page) if isinstance(block, Figure) and "return of the sensor" in block.caption
    ]
    assert [figure.caption.rpartition(", ")[2] for figure in figures] == ["Series A", "Series B"]
    assert len({figure.anchor for figure in figures}) == 2
    link = page.resolve("figure", "return-path")
    assert link.target == figures[0].anchor
    for figure in figures:
        assert figure.alt.startswith("In a heavy line: Z101, Z140, Z142.")
        assert figure.data.count(b'class="strong-wire"') == 3


def test_wire_colours_are_shown_where_the_recipe_asks_for_them(demo_book):
    for asked in (False, True):
        book = replace(demo_book, recipe=replace(demo_book.recipe, wire_colours=asked))
        page = scope_of(share(book), book.chapter("P0532"))
        figures = [block for block in circuit(page) if isinstance(block, Figure)]
        shown = [b'class="wire-colour"' in figure.data for figure in figures if "Circuit of" in figure.caption]
        assert shown == [asked, asked]


def test_series_that_differ_get_a_drawing_each(scope):
    assert [names for names, _ in grouped(scope("P0118"))] == [("A",), ("B",)]


@pytest.mark.parametrize("code", HIGH_VOLTAGE_CODES)
def test_a_circuit_above_the_class_b_limit_gets_the_danger_block(scope, code):
    first = next(block for block in cautions(scope(code)) if isinstance(block, CautionBlock))
    assert first.word == "DANGER"
    text = " ".join(first.avoid)
    for needed in ("qualified", "gloves", "service disconnect", "Wait the time", "Prove the meter", "source:"):
        assert needed in text, needed


@pytest.mark.parametrize("code", LOW_VOLTAGE_CODES)
def test_a_low_voltage_circuit_gets_none(scope, code):
    assert all(block.word != "DANGER" for block in cautions(scope(code)))


@pytest.mark.parametrize("code", HIGH_VOLTAGE_CODES)
def test_each_step_at_a_class_b_point_repeats_the_short_form_and_names_the_meter(scope, code):
    page = scope(code)
    touching = [
        step for step in page.chapter.steps if step.test and any(point in page.class_b for point in step.test.points)
    ]
    assert touching
    for step in touching:
        word, sentence = step_cautions(step, page)[0]
        assert word == "DANGER"
        assert HIGH_VOLTAGE.short in sentence
        assert "CAT III" in sentence


def test_the_gravest_message_comes_first(scope):
    order = ["DANGER", "WARNING", "CAUTION", "NOTICE"]
    for code in (*HIGH_VOLTAGE_CODES, "P0480"):
        words = [order.index(block.word) for block in cautions(scope(code))]
        assert words == sorted(words)


def test_a_hazard_of_a_part_is_repeated_at_the_first_step_that_touches_it_not_at_each(scope):
    page = scope("P0118")
    line = (HAZARDS["hot coolant"].word, HAZARDS["hot coolant"].short)
    with_line = [step.number for step in page.chapter.steps if line in step_cautions(step, page)]
    touching = [step.number for step in page.chapter.steps if step.state and "B5" in step.state.unplugged]
    assert touching[0] in with_line
    assert touching[1] not in with_line


def test_set_conditions_name_the_cavity_that_the_module_reads(scope):
    (row,) = _table(sets(scope("P0118")), "Set conditions")
    assert row[1] == "M1 reads ECT above 4.85\u202fV for 2\u202fs, with key on, on 2 trips in a row."
    assert row[2] == "M1-A.23"


def test_a_condition_in_words_prints_its_text_and_its_source_and_nothing_else(scope):
    page = scope("P0A78")
    (table,) = (block for block in sets(page) if isinstance(block, Table))
    assert table.columns == ("No.", "Condition")
    assert _text(table.rows[0][1]).endswith(
        "for 50\u202fms, on 1 trip. Source: Vehicle maker (invented): code list of the Veldrun Parcel."
    )
    mixed = replace(page.chapter, sets_when=(*page.chapter.sets_when, *scope("P0118").chapter.sets_when))
    (table,) = (block for block in sets(replace(page, chapter=mixed)) if isinstance(block, Table))
    assert [_text(row[-1]) for row in table.rows] == ["–", "–", "M1.ECT"]


def test_a_page_without_set_conditions_says_so(scope):
    page = scope("P0118")
    bare = replace(page, chapter=replace(page.chapter, sets_when=()))
    assert "No set condition is stated." in str(list(sets(bare)))


def test_readings_name_instrument_points_state_and_window(scope):
    rows = _table(readings(scope("P0118")), "Expected readings")
    assert rows[0][1:5] == [
        "Voltmeter",
        "M1-A.23 (ECT SIG) to G1 (Left strut tower)",
        "key on, B5 at 20\u202f°C",
        "2.4\u202fV to 2.6\u202fV",
    ]


def test_every_answer_of_a_step_leads_to_a_step_of_the_page(scope):
    for code in ("P0118", "P0480", "P0AA6"):
        blocks = [block for block in procedure(scope(code)) if isinstance(block, StepBlock)]
        anchors = {block.anchor for block in blocks}
        assert all(answer.target in anchors for block in blocks for answer in block.answers)


def test_a_verdict_names_the_part_in_words_and_the_wire_with_its_colours(scope):
    verdicts = {
        block.number: _text(block.verdict) for block in procedure(scope("P0118")) if isinstance(block, StepBlock)
    }
    assert verdicts["11"] == "B5 Coolant temperature sensor"
    assert verdicts["10"] == "wire K131 (Series A: BU/WH, Series B: BU/GY)"
    assert "cannot tell them apart" in verdicts["12"]


def test_the_title_of_a_called_procedure_stands_once_before_its_first_step(scope):
    said = {block.number: _text(block.do) for block in procedure(scope("P0500")) if isinstance(block, StepBlock)}
    assert said["3.1"].startswith("Prove the feed and the ground of B9 Vehicle speed sensor: Switch the key off.")
    assert said["3.2"].startswith("Measure the feed")
    assert said["4.1"] == "Prove fuse F3: Leave B9 unplugged. Measure the voltage at the output of fuse F3."


def test_an_end_that_accuses_nothing_is_printed_as_a_sentence(scope):
    ends = {block.number: _text(block.end) for block in procedure(scope("P0AA1")) if isinstance(block, StepBlock)}
    assert ends["2.3"].startswith("Stop. Keep the gloves on.")
    assert ends["1"] == ""


def test_the_heading_band_says_who_stores_the_code_and_how_far_the_page_is_verified(scope):
    facts = {name: _text(value) for block in identity(scope("P0118")) for name, value in getattr(block, "rows", ())}
    assert facts["Stored by"] == "M1 Engine control module"
    assert "verified: table-top" in facts["This page"]
    assert "ISO" in facts["Kind of code"]


def test_a_manufacturer_code_says_whose_meaning_it_is(scope):
    facts = {name: _text(value) for block in identity(scope("B1A20")) for name, value in getattr(block, "rows", ())}
    assert "Source of the meaning" in facts["Kind of code"]


def test_a_capture_stands_beside_what_is_expected_and_its_values_beside_the_limits(scope):
    blocks = list(waveforms(scope("P0500")))
    expected, capture = (block for block in blocks if isinstance(block, Figure))
    assert expected.anchor == "P0500-figure-speed-signal"
    assert capture.anchor == "P0500-capture-speed-signal"
    assert capture.alt.startswith("Capture of speed-signal")
    table = next(block for block in blocks if isinstance(block, Table))
    assert list(table.columns) == ["Signal", "Measured value", "Limits", "In the capture"]
    assert [[_text(cell) for cell in row][1:] for row in table.rows] == [
        ["frequency", "110\u202fHz to 130\u202fHz", "120\u202fHz"],
        ["duty", "45\u202f% to 55\u202f%", "49.86\u202f%"],
    ]


def test_without_a_capture_the_limits_have_no_column_for_it(scope):
    table = next(block for block in waveforms(scope("C0031")) if isinstance(block, Table))
    assert list(table.columns) == ["Signal", "Measured value", "Limits"]


@pytest.mark.parametrize("name", ["../README.md", "nowhere.csv", "/etc/hostname"])
def test_a_capture_that_cannot_be_read_leaves_the_expected_picture(scope, name):
    here = scope("P0500")
    (waveform,) = here.chapter.waveforms
    broken = replace(here, chapter=replace(here.chapter, waveforms=(replace(waveform, capture=name),)))
    assert len([block for block in waveforms(broken) if isinstance(block, Figure)]) == 1


def test_a_capture_alone_takes_the_anchor_of_the_waveform(scope):
    here = scope("P0500")
    (waveform,) = here.chapter.waveforms
    alone = replace(here, chapter=replace(here.chapter, waveforms=(replace(waveform, shape="", values=()),)))
    (figure,) = (block for block in waveforms(alone) if isinstance(block, Figure))
    assert figure.anchor == "P0500-figure-speed-signal"
