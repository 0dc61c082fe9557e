"""The study of a chapter: what is asked, what is answered, whether the code sets."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from multiprocessing import get_context

import pytest

from authorkit.circuit.readings import Measurement, Reading, inside
from authorkit.circuit.study import Studies, Study, spec_question, step_questions, study_of
from authorkit.circuit.view import circuit_of
from authorkit.facts.read_book import read_book
from authorkit.model.book import Book
from authorkit.problems import Place
from authorkit.units import parse_window
from tests.circuit.conftest import CHAPTER, notebook

# A thermistor of 1 kΩ at 25 °C below a pull-up of 1 kΩ to 5 V, and a switch that the module watches.
VEHICLE = """
modules:
  M1:
    name: Engine control module
    connectors: {M1-A: {"1": B+, "2": GND}}
    inside: [{module-ground: M1-A.2}]
connectors: {M1-A: {rows: ["1-6"]}, B5: {rows: ["1 2"]}}
feeds: {B+: {name: Battery positive, live: always}}
grounds: {G1: Left strut tower}
wires:
  - [B+, K1 RD 1 mm2 1 m, M1-A.1]
  - [M1-A.2, K2 BN 1 mm2 1 m, G1]
"""
SENSOR = """
circuit:
  parts:
    B5:
      name: Coolant temperature sensor
      connectors: {B5: {"1": SIG, "2": GND}}
      inside: [{thermistor: [B5.1, B5.2], r25: 1 kΩ ± 1 %, beta: 3400 K}]
    M1:
      connectors: {M1-A: {"3": ECT SIG, "4": SNSR RTN}}
      inside:
        - {pull-up: M1-A.3, to: 5 V, r: 1 kΩ ± 1 %}
        - {module-ground: M1-A.4, through: M1-A.2}
        - {read: M1-A.3, as: ECT}
  wires:
    - [M1-A.3, K131 BU 0.5 mm2 1 m, B5.1]
    - [M1-A.4, K200 BN 0.5 mm2 1 m, B5.2]
states:
  warm: {key: on, B5: 25 °C}
specs:
  - {volts: [M1-A.3, G1], state: warm, reads: 2.4 to 2.6 V}
procedure:
  1: {do: Measure., state: {key: off, unplug: B5}, ohms: [B5.2, G1], question: How much?, then: {below 5 Ω: 2, else: 3}}
  2: {verdict: B5, repair: Replace it.}
  3: {verdict: K200, repair: Mend it.}
"""
SETS = "sets-when: [{watch: M1.ECT, above: 4.85 V, during: {key: on}}]\n"


@pytest.fixture
def book(book_of: Callable[..., Book]) -> Book:
    return book_of(VEHICLE, P0118=SETS + SENSOR)


@pytest.fixture
def study(book: Book) -> Study:
    return study_of(book, book.chapters[0], "A")


def test_states_are_the_named_ones_first_then_those_written_out(study: Study) -> None:
    assert list(study.states) == ["warm", "key off, unplug B5", "key on"]


def test_questions_cover_specs_tests_of_steps_and_every_cavity_in_each_named_state(study: Study) -> None:
    asked = set(study.readings[""])
    assert ("warm", Measurement("volts", "M1-A.3", "G1")) in asked
    assert ("warm", Measurement("volts", "B5.2", "G1")) in asked
    assert ("key off, unplug B5", Measurement("ohms", "B5.2", "G1")) in asked
    assert all(set(answers) == asked for answers in study.readings.values())
    assert set(study.readings) == {"", *(fault.id for fault in study.faults)}


def test_answers_are_those_of_the_divider_sound_and_broken(study: Study) -> None:
    question = ("warm", Measurement("volts", "M1-A.3", "G1"))
    sound, broken = study.reading(question), study.reading(question, "open-K131-B5.1-M1-A.3")
    assert sound is not None
    assert broken is not None
    # 1 kΩ over 1 kΩ at 5 V; then nothing but a meter of 10 MΩ below 1 kΩ.
    assert sound.nominal == pytest.approx(2.5, abs=1e-3)
    assert broken.nominal == pytest.approx(5 * 10e6 / (10e6 + 1e3), abs=1e-4)
    assert study.reading(("warm", Measurement("volts", "S9", "G1"))) is None


def test_code_sets_with_the_wire_open_and_not_on_the_sound_vehicle(study: Study) -> None:
    assert [setting.sets for setting in study.settings[""]] == ["does not set"]
    assert [setting.sets for setting in study.settings["open-K131-B5.1-M1-A.3"]] == ["sets"]
    assert not study.may_set("")
    assert study.may_set("open-K131-B5.1-M1-A.3")


def test_module_sees_its_pin_against_its_own_ground_not_against_the_body(study: Study) -> None:
    # With its ground lost the module floats up to the battery; between its own pins nothing changes much.
    (setting,) = study.settings["open-K2-M1-A.2-G1"]
    assert setting.reading is not None
    assert setting.sets == "does not set"
    assert setting.reading.nominal == pytest.approx(2.5, abs=0.01)


@pytest.mark.parametrize(
    ("condition", "fault", "sets"),
    [
        ("{watch: M1.ECT, above: 2.5 V, during: {key: on, B5: 25 °C}}", "", "may set"),
        ("{watch: M1.ECT, below: 0.15 V, during: {key: on}}", "short-to-ground-K131-M1-A.3-B5.1", "sets"),
        ("{watch: M1.ECT, above: 10 kΩ, during: {key: on}}", "", "not computed"),
        ("{text: The engine stays cold for 10 min, source: Vehicle maker}", "", "not computed"),
        ("{watch: M1.ECT, above: 4.85 V}", "", "not computed"),
    ],
)
def test_condition_comes_out(book_of: Callable[..., Book], condition: str, fault: str, sets: str) -> None:
    book = book_of(VEHICLE, P0118=f"sets-when: [{condition}]\n{SENSOR}")
    study = study_of(book, book.chapters[0], "A")
    assert [setting.sets for setting in study.settings[fault]] == [sets]
    assert study.may_set(fault) == (sets != "does not set")


def test_condition_that_sets_at_one_temperature_only_may_set(book_of: Callable[..., Book]) -> None:
    states = "states:\n  cold: {key: on, B5: -20 °C}\n"
    condition = "sets-when: [{watch: M1.ECT, above: 4 V, during: {key: on}}]\n"
    book = book_of(VEHICLE, P0118=condition + SENSOR.replace("states:\n", states))
    assert [setting.sets for setting in study_of(book, book.chapters[0], "A").settings[""]] == ["may set"]


def test_test_between_three_points_asks_for_each_pair(book_of: Callable[..., Book]) -> None:
    text = SENSOR.replace("ohms: [B5.2, G1]", "absence: [B5.1, B5.2, G1]").replace("below 5 Ω", "below 5 V")
    book = book_of(VEHICLE, P0118=SETS + text)
    chapter = book.chapters[0]
    questions = step_questions(circuit_of(book, chapter, "A"), chapter.steps[0])
    assert [(each.at, each.to) for _, each in questions] == [("B5.1", "B5.2"), ("B5.1", "G1"), ("B5.2", "G1")]
    assert {name for name, _ in questions} == {"key off, unplug B5"}


def test_author_may_say_on_which_side_of_a_plug_the_instrument_is_held(book_of: Callable[..., Book]) -> None:
    state = "state: {key: off, unplug: B5, B5: 25 °C}"
    specs = f"""
specs:
  - {{ohms: [B5.1, B5.2], {state}, reads: 0.9 to 1.1 kΩ}}
  - {{ohms: [B5.1, B5.2], side: harness, {state}, reads: above 0.9 kΩ}}
  - {{insulation: [B5.1, G1], side: part, {state}, reads: above 1 MΩ}}
  - {{ohms: [B5.2, G1], {state}, reads: below 5 Ω}}
"""
    book = book_of(
        VEHICLE, P0118=SENSOR.replace("specs:\n  - {volts: [M1-A.3, G1], state: warm, reads: 2.4 to 2.6 V}", specs)
    )
    chapter = book.chapters[0]
    wiring, study = circuit_of(book, chapter, "A"), study_of(book, chapter, "A")
    questions = [spec_question(wiring, spec) for spec in chapter.specs]
    assert [question and (question[1].at, question[1].to) for question in questions] == [
        ("B5.1/part", "B5.2/part"),
        ("B5.1", "B5.2"),
        ("B5.1/part", "G1"),
        ("B5.2", "G1"),
    ]
    readings = [study.reading(question) for question in questions if question]
    assert [reading and reading.status for reading in readings] == ["driven", "open", "open", "driven"]


def test_studies_are_made_once_and_alike_in_parallel(book: Book) -> None:
    studies, prepared = Studies(book), Studies(book)
    chapter = book.chapters[0]
    assert studies.of(chapter, "A") is studies.of(chapter, "A")
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as executor:
        prepared.prepare(executor)
    assert prepared.of(chapter, "B") == studies.of(chapter, "B")
    assert prepared.of(chapter, "A") == studies.of(chapter, "A")


def reading(low: float | None, high: float | None, status: str = "driven", unit: str = "V") -> Reading:
    over = None if low is None or high is None or unit != "V" else (low - 12.6, high - 12.6)
    return Reading(Measurement("volts", "B5.1"), "warm", unit, low, low, high, "corners", status, over)


@pytest.mark.parametrize(
    ("found", "window", "expected"),
    [
        (reading(4.9, 5.0), "4.8 to 5.1 V", "inside"),
        (reading(4.9, 5.0), "4.95 to 5.1 V", "straddles"),
        (reading(4.9, 5.0), "5.01 to 5.1 V", "outside"),
        (reading(4.9, 5.0), "above 5.0 V", "outside"),
        (reading(4.9, 5.0), "at least 5.0 V", "straddles"),
        (reading(12.4, 12.5), "at least battery minus 0.3 V", "inside"),
        (reading(12.2, 12.5), "at least battery minus 0.3 V", "straddles"),
        (reading(12.0, 12.1), "at least battery minus 0.3 V", "outside"),
        (reading(None, None, "open", "Ω"), "above 10 kΩ", "inside"),
        (reading(None, None, "open", "Ω"), "below 5 Ω", "outside"),
        (reading(None, None, "floating"), "below 5 V", "unknown"),
        (reading(55.0, 65.0, unit="%"), "50 to 70 %", "inside"),
        (reading(4.9, 5.0), "below 5 Ω", "unknown"),
    ],
)
def test_reading_against_a_window(found: Reading, window: str, expected: str) -> None:
    assert inside(found, parse_window(window)) == expected


class Kept(dict[str, bytes]):
    """A store in memory that counts."""

    puts = 0

    def put(self, key: str, data: bytes) -> None:
        self.puts += 1
        self[key] = data


def test_kept_study_is_the_computed_one_and_prose_computes_nothing_anew(book_of: Callable[..., Book]) -> None:
    book, store = book_of(VEHICLE, P0118=SETS + SENSOR), Kept()
    computed = Studies(book, store).of(book.chapters[0], "A")
    words = replace(book.chapters[0], title="Another title", prose=(), fail_safe="Fan on", place=Place("x", 7, 7))
    again = Studies(replace(book, chapters=(words,)), store).of(words, "A")
    assert store.puts == 1
    assert again == computed


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("r25: 1 kΩ ± 1 %", "r25: 1.1 kΩ ± 1 %"),
        ("0.5 mm2 1 m, B5.1", "0.5 mm2 2 m, B5.1"),
        ("B5: 25 °C", "B5: 26 °C"),
        ("ohms: [B5.2, G1]", "ohms: [B5.1, G1]"),
        ("during: {key: on}", "during: {key: on, B5: 0 °C}"),
    ],
)
def test_anything_that_readings_hang_on_is_computed_anew(book_of: Callable[..., Book], old: str, new: str) -> None:
    text, store = SETS + SENSOR, Kept()
    assert old in text
    book = book_of(VEHICLE, P0118=text)
    Studies(book, store).of(book.chapters[0], "A")
    other = read_again(book, text.replace(old, new))
    Studies(other, store).of(other.chapters[0], "A")
    assert store.puts == 2


def read_again(book: Book, facts: str) -> Book:
    text = CHAPTER.replace("{code}", "P0118") + facts
    (book.folder / "chapters" / "P0118.ipynb").write_text(notebook(text), encoding="utf-8")
    again, problems = read_book(book.folder)
    assert problems == ()
    assert again is not None
    return again


def test_damaged_entry_is_computed_anew(book: Book) -> None:
    store = Kept()
    first = Studies(book, store).of(book.chapters[0], "A")
    store.update(dict.fromkeys(store, b"not a study"))
    assert Studies(book, store).of(book.chapters[0], "A") == first


def test_device_that_a_state_leaves_open_is_a_gap_where_readings_hang_on_it(book_of: Callable[..., Book]) -> None:
    text = SENSOR.replace("state: warm", "state: {key: on}").replace("warm: {", "warm: {pull: F1, ")
    specs = "specs:\n  - {volts: [M1-A.1, G1], state: {key: on}, reads: 12 to 13 V}\n"
    text = text.replace("- {read:", "- {module-supply: M1-A.1, draws: 0.1 A}\n        - {read:")
    two = text.replace("states:\n", "states:\n  cool: {key: on, B5: 0 °C}\n").replace("specs:\n", specs)
    book = book_of(VEHICLE, P0118=two)
    study = study_of(book, book.chapters[0], "A")
    assert [str(gap) for gap in study.gaps["key on"]] == [
        "The thermistor in B5 cannot be computed: this state gives it no temperature above absolute zero."
    ]
    sensor = study.reading(("key on", Measurement("volts", "M1-A.3", "G1")))
    feed = study.reading(("key on", Measurement("volts", "M1-A.1", "G1")))
    assert sensor is not None
    assert feed is not None
    assert (sensor.status, sensor.nominal) == ("undetermined", None)
    # The feed is the same at 0 °C and at 25 °C.
    assert feed.nominal == pytest.approx(12.6, abs=5e-3)


def test_value_on_the_scan_tool_spans_the_settings_that_a_state_leaves_open(book_of: Callable[..., Book]) -> None:
    scan = "  1: {do: Read it., state: {key: on}, scan: M1.ECT, then: {above 4.85 V: 2, else: 3}}"
    text = "\n".join(scan if line.startswith("  1:") else line for line in SENSOR.split("\n"))
    book = book_of(VEHICLE, P0118=text.replace("states:\n", "states:\n  cool: {key: on, B5: 0 °C}\n"))
    chapter = book.chapters[0]
    (question,) = step_questions(circuit_of(book, chapter, "A"), chapter.steps[0])
    study = study_of(book, chapter, "A")
    reading, broken = study.reading(question), study.reading(question, "open-K131-B5.1-M1-A.3")
    assert reading is not None
    assert broken is not None
    # 1 kΩ ± 1 % at 25 °C and 1 kΩ * exp(3400 (1/273.15 - 1/298.15)) at 0 °C, below 1 kΩ ± 1 % at 5 V.
    assert reading.low == pytest.approx(5 * 0.99 / (0.99 + 1.01), abs=2e-3)
    assert reading.high == pytest.approx(5 * 2.8398 * 1.01 / (2.8398 * 1.01 + 0.99), abs=2e-3)
    assert inside(broken, parse_window("above 4.85 V")) == "inside"
    assert not study.gaps


@pytest.mark.parametrize(
    ("device", "because"),
    [
        ("{battery: [M1-A.1, M1-A.2], volts: 12 V, r: 0 Ω}", "a resistance in it is 0 Ω and must be above zero"),
        ("{link: [M1-A.1, M1-A.3], r: -5 mΩ}", "a resistance in it is -0.005 Ω and must be above zero"),
        ("{resistor: [M1-A.1, M1-A.3], r: 100 Ω ± 100 %}", "the tolerance of its resistance reaches down to zero"),
    ],
)
def test_impossible_value_is_told_and_never_computed(book_of: Callable[..., Book], device: str, because: str) -> None:
    book = book_of(VEHICLE, P0118=SENSOR.replace("- {read: M1-A.3, as: ECT}", f"- {device}"))
    study = study_of(book, book.chapters[0], "A")
    assert because in str(study.gaps["warm"])
    assert {reading.status for reading in study.readings[""].values()} == {"undetermined"}


def test_relay_that_cuts_its_own_feed_is_a_gap_of_the_circuit_and_no_number(book_of: Callable[..., Book]) -> None:
    relay = """
circuit:
  parts:
    RL1:
      name: Buzzer relay
      kind: relay
      connectors: {B5: {"1": SUPPLY, "2": GND}}
      inside:
        - {contact: [B5.1, n2, n1]}
        - {coil: [n1, B5.2], r: 85 Ω, pull-in: 7 V, drop-out: 2 V}
  wires:
    - [B+, K5 RD 1 mm2 1 m, B5.1]
    - [B5.2, K6 BN 1 mm2 1 m, G1]
states:
  on: {key: on}
"""
    book = book_of(VEHICLE, P0118=relay)
    study = study_of(book, book.chapters[0], "A")
    assert [str(gap) for gap in study.gaps["on"]] == [
        "The circuit in P0118 cannot be computed: a relay, fuse or lamp in it never comes to rest; look for one that "
        "cuts its own feed."
    ]
    assert {reading.status for reading in study.readings[""].values()} == {"chatter"}
    # With the coil's feed open nothing moves, and there is an answer.
    assert study.readings["open-K5-B+-B5.1"]["on", Measurement("volts", "B5.2", "G1")].status == "driven"
