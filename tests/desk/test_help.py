"""Help on what is under the cursor; `¦` marks it."""

from __future__ import annotations

import pytest

from authorkit.desk.book_state import BookState
from authorkit.desk.help import Help, help_at
from authorkit.desk.located import Origin
from authorkit.desk.typing import Typing
from authorkit.model.specification import INSTRUMENTS


@pytest.fixture
def source(facts_of: dict[str, str]) -> str:
    return facts_of["chapters/P0118.ipynb"]


def asked(state: BookState, source: str, marked: str) -> Help | None:
    source = source.replace(marked.replace("¦", ""), marked, 1)
    return help_at(Typing(state), source.replace("¦", ""), source.index("¦"), Origin())


CASES = [
    ("la¦mp:", "lamp", "Which lamp is on, and when."),
    ("abo¦ve:", "above", "It sets above this limit."),
    ("r2¦5:", "r25", "Units of resistance: µΩ, mΩ, Ω, kΩ, MΩ, GΩ."),
    ("ti¦me: 25", "time", "Units of time: ns, µs, ms, s, min, h, d."),
    ("vo¦lts: [M1-A.23", "volts", "Points of the voltmeter."),
    ("therm¦istor", "thermistor", "Keys beside it: r25, beta, table, name, series."),
    ("circ¦uit:", "circuit", "Keys inside: parts, wires, splices, grounds, connectors, pairs, shields."),
    ("reads: 2¦.4", "reads", "Takes a range such as '4.9 to 5.1 V'."),
    ("set-by: M¦1", "part M1 Engine control module", "Connectors: M1-A, M1-B."),
    ("K13¦1 BU/WH", "circuit K131", "BU/WH: M1-A.23 to X12.4."),
    ("[M1-A.2¦3, G1]", "cavity M1-A.23 (ECT SIG)", "Wire K131 BU/WH: M1-A.23 to X12.4."),
    ("[P01¦17", "code P0117", "Engine coolant temperature sensor 1 circuit low"),
]


@pytest.mark.parametrize(("marked", "heading", "sentence"), CASES)
def test_help_names_the_thing_and_explains_it(
    shared_state: BookState, source: str, marked: str, heading: str, sentence: str
) -> None:
    found = asked(shared_state, source, marked)
    assert found is not None
    assert (found.heading, sentence in found.sentences) == (heading, True), found


def test_a_key_comes_with_an_example_as_it_is_typed(shared_state: BookState, source: str) -> None:
    found = asked(shared_state, source, "abo¦ve:")
    assert found is not None
    assert found.examples == ("above: 4.85 V",)
    assert "above: 4.85 V" in found.text
    assert "<pre" in found.html


def test_a_key_names_those_that_it_excludes(shared_state: BookState, source: str) -> None:
    found = asked(shared_state, source, "vo¦lts: [M1-A.23")
    assert found is not None
    excluded = next(sentence for sentence in found.sentences if sentence.startswith("Excludes "))
    others = {name for name in INSTRUMENTS if name not in ("volts", "absence")}
    assert set(excluded.removeprefix("Excludes ").rstrip(".").split(", ")) == others


def test_an_empty_line_lists_the_keys(shared_state: BookState) -> None:
    found = help_at(Typing(shared_state), "%%facts\ncode: P0118\n", len("%%facts\ncode: P0118\n"), Origin())
    assert found is not None
    assert any(line.startswith("title: ") for line in found.sentences)
    assert not any(line.startswith("code: ") for line in found.sentences)


def test_there_is_no_help_where_the_written_form_has_no_place(shared_state: BookState) -> None:
    assert help_at(Typing(shared_state), "%%facts\nnonsense:\n  deeper: x", 26, Origin()) is None
