"""Facts as words."""

from __future__ import annotations

import pytest

from authorkit.manual.phrases import point_words, set_condition_words, state_words, test_words
from authorkit.model import procedure
from authorkit.model.point import parse_point
from authorkit.model.specification import SetCondition, State
from authorkit.problems import Place
from authorkit.units import parse_quantity, parse_window

test_words.__test__ = False  # a function of the manual, not a test
PLACE = Place("x")


def _state(**more) -> State:
    return State("", PLACE, **more)


@pytest.mark.parametrize(
    ("state", "words"),
    [
        (_state(key="on"), "key on"),
        (_state(key="off", unplugged=("B5",)), "key off, B5 unplugged"),
        (_state(unplugged=("B5", "M1-A")), "B5 and M1-A unplugged"),
        (_state(unplugged=("B5", "B6", "M1-A")), "B5, B6 and M1-A unplugged"),
        (_state(key="on", settings=(("B5", "20 °C"),)), "key on, B5 at 20\u202f°C"),
        (_state(settings=(("SW1", "pressed"),)), "SW1 pressed"),
        (_state(disconnect="open", pulled=("F4",)), "service disconnect open, fuse F4 pulled"),
        (_state(jumpers=((parse_point("B5.1"), parse_point("B5.2")),)), "jumper from B5.1 to B5.2"),
        (_state(battery=parse_quantity("12.6 V")), "battery at 12.6\u202fV"),
        (_state(), "any state"),
    ],
)
def test_states_are_phrases(state, words):
    assert state_words(state) == words


def test_a_watched_value_reads_as_one_sentence():
    condition = SetCondition(
        PLACE,
        watch="M1.ECT",
        window=parse_window("above 4.85 V"),
        lasting=parse_quantity("2 s"),
        during=_state(key="on"),
        trips="2",
    )
    said = "M1 reads ECT above 4.85\u202fV for 2\u202fs, with key on, on 2 trips in a row"
    assert set_condition_words(condition) == said


def test_one_trip_is_not_trips():
    assert set_condition_words(SetCondition(PLACE, text="No message.", trips="1")) == "No message, on 1 trip"


def test_points_carry_the_signal_name_at_their_end_and_grounds_their_place(scope):
    p0118 = scope("P0118")
    cold = p0118.chapter.specs[0]
    assert point_words(cold.at, p0118.harness, p0118.chapter) == "M1-A.23 (ECT SIG)"
    assert point_words(parse_point("G1"), p0118.harness, p0118.chapter) == "G1 (Left strut tower)"


def test_a_measurement_names_instrument_points_and_state(scope):
    p0118 = scope("P0118")
    test = procedure.Test("volts", (parse_point("B5.1"), parse_point("G1")))
    words = test_words(test, _state(key="on", unplugged=("B5",)), p0118.harness, p0118.chapter)
    assert words == "Voltmeter: B5.1 (SIG) to G1 (Left strut tower). State: key on, B5 unplugged."


def test_a_measurement_at_the_part_itself_says_so(scope):
    p0aa6 = scope("P0AA6")
    spec = next(spec for spec in p0aa6.chapter.specs if spec.name == "compressor-plus")
    test = procedure.Test("insulation", (spec.at, spec.to), side=spec.side)
    words = test_words(test, None, p0aa6.harness, p0aa6.chapter)
    assert words.endswith("to G6 (Underbody crossmember), on the part side of the plug.")


def test_a_look_and_a_scan_say_what_they_look_at(scope):
    p0118 = scope("P0118")
    assert (
        test_words(procedure.Test("look", (), "pins of B5"), None, p0118.harness, p0118.chapter)
        == "Look at: pins of B5."
    )
    assert test_words(procedure.Test("scan", (), "speed"), None, p0118.harness, p0118.chapter) == "Scan tool: speed."


def test_a_value_on_the_scan_tool_says_where_the_module_reads_it_and_what_it_means(scope):
    p0118 = scope("P0118")
    test = procedure.Test("scan", watch="M1.ECT")
    plain = test_words(test, None, p0118.harness, p0118.chapter)
    assert plain == "Scan tool: ECT, read by M1 at M1-A.23 (ECT SIG)."
    known = test_words(test, None, p0118.harness, p0118.chapter, meanings={"ECT": "Coolant temperature"})
    assert known == "Scan tool: ECT (Coolant temperature), read by M1 at M1-A.23 (ECT SIG)."


def test_proving_the_absence_of_voltage_names_every_point(scope):
    p0aa6 = scope("P0AA6")
    points = tuple(parse_point(text) for text in ("M5-P.1", "M5-P.2", "G6"))
    words = test_words(procedure.Test("absence", points), None, p0aa6.harness, p0aa6.chapter)
    assert words.endswith("each to each of M5-P.1 (HV+ IN), M5-P.2 (HV- IN) and G6 (Underbody crossmember).")
