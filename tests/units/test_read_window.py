"""Texts that are windows, and texts that are not."""

from __future__ import annotations

import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from authorkit.units import DIMENSIONS, UNITS, UnitError, Window, as_typed, parse_window

# Every line: texts that mean the same.
SAME = [
    ("4.9 to 5.1 V", "4.9 V to 5.1 V", "4.9V to 5.1V", " 4.9   to\n5.1 V", "4.90 to 5.10 V"),
    ("below 0.3 V", "Below 0.3 V", "< 0.3 V", "<0.3V"),
    ("above 4.85 V", "> 4.85 V", "ABOVE 4.85 V"),
    ("at most 0.1 V", "≤ 0.1 V", "<= 0.1 V"),
    ("at least 10 MΩ", ">= 10 Mohm", "≥10 MΩ"),
    ("5 V ± 2 %", "5 V +- 2 %", "5V+/-2%"),
    ("60 Ω ± 5 Ω", "60 ohm +- 5 ohms"),
    ("-40 to 125 °C", "−40 °C to 125 degC"),
    ("2.2 to 2.7 kΩ", "2k2 to 2k7 Ω"),
    ("at least battery minus 0.3 V", ">= Battery voltage − 0.3 V", "at least battery - 0.3 V"),
    ("battery minus 0.3 V to battery", "battery voltage minus 0.3 V to battery voltage"),
    ("above 4.9 V and below 5.1 V", "below 5.1 V and above 4.9 V", ">4.9 V and <5.1 V"),
]
_WINDOW = "which is not a window"
# Text, dimension asked for, words of the finding, suggestion.
REFUSED = [
    ("", None, "nothing", None),
    ("fine", None, _WINDOW, None),
    ("5 V", None, "the single value '5 V'", "5 V ± 2 % or 4.9 V to 5.1 V"),
    ("2.2 kΩ", None, "the single value", "2.2 kΩ ± 2 % or 2.156 kΩ to 2.244 kΩ"),
    ("20 °C", None, "the single value", "20 °C ± 0.4 °C or 19.6 °C to 20.4 °C"),
    ("50 %", None, "the single value", "50 % ± 1 % or 49 % to 51 %"),
    ("-5 V", None, "the single value", "-5 V ± 2 % or -5.1 V to -4.9 V"),
    ("0 V", None, "the single value '0 V'", None),
    ("18 AWG", None, "the single value '18 AWG'", None),
    ("5 Vlt", None, "unknown unit 'Vlt'", "5 V"),
    ("5 V", "current", "a voltage ('5 V')", None),
    ("battery", None, _WINDOW, "at least battery minus 0.5 V"),
    ("B+", None, _WINDOW, "at least battery minus 0.5 V"),
    ("battery minus 0.3 V", None, "the single limit",
     "at least battery minus 0.3 V or battery minus 0.3 V to battery"),
    ("battery plus 0.3 V", None, "the single limit", "at least battery plus 0.3 V"),
    ("battery minus 3 A", None, "a current ('3 A')", None),
    ("open", "resistance", _WINDOW, "above 10 MΩ"),
    ("OL", None, _WINDOW, "above 10 MΩ"),
    ("open", "voltage", _WINDOW, None),
    ("5.1 to 4.9 V", None, "the lower limit above the upper one", "4.9 V to 5.1 V"),
    ("16 to 18 AWG", None, "the lower limit above the upper one", "18 AWG to 16 AWG"),
    ("battery to battery minus 0.3 V", None, "the lower limit above", "battery minus 0.3 V to battery"),
    ("4.9-5.1 V", None, _WINDOW, "4.9 V to 5.1 V"),
    ("4.9 – 5.1 V", None, _WINDOW, "4.9 V to 5.1 V"),
    ("4.9 V - 5.1 V", None, _WINDOW, "4.9 V to 5.1 V"),
    ("4.9...5.1 V", None, _WINDOW, "4.9 V to 5.1 V"),
    ("4.9…5.1 V", None, _WINDOW, "4.9 V to 5.1 V"),
    ("-5--4 V", None, _WINDOW, "-5 V to -4 V"),
    ("between 4.9 and 5.1 V", None, _WINDOW, "4.9 V to 5.1 V"),
    ("from 4.9 V to 5.1 V", None, _WINDOW, "4.9 V to 5.1 V"),
    ("less than 0.3 V", None, _WINDOW, "below 0.3 V"),
    ("no more than 0.3 V", None, _WINDOW, "at most 0.3 V"),
    ("max. 5 V", None, _WINDOW, "at most 5 V"),
    ("up to 5 V", None, _WINDOW, "at most 5 V"),
    ("min 10 MΩ", None, _WINDOW, "at least 10 MΩ"),
    ("over 5", None, _WINDOW, None),
    ("4.9 to 5.1", None, "'5.1' without a unit", None),
    ("4.9 to 5.1", "voltage", "'5.1' without a unit", "4.9 V to 5.1 V"),
    ("4.9 V to 5.1", None, "'5.1' without a unit", "4.9 V to 5.1 V"),
    ("4,9 to 5,1 V", None, "a comma", "4.9 V to 5.1 V"),
    ("5,0 V ± 2 %", None, "a comma", "5.0 V ± 2 %"),
    ("below 0,3 V", None, "a comma", "below 0.3 V"),
    ("1,000 to 2,000 rpm", None, "a comma", "1000 rpm to 2000 rpm"),
    ("5 V to 6 A", None, "a voltage ('5 V')", None),
    ("4.9 to 5.1 V", "resistance", "a voltage ('5.1 V')", None),
    ("4 V to 5 V to 6 V", None, "a range", None),
    ("0.5 to battery", None, "'0.5', a number without a unit", "0.5 V"),
    ("below 5 V ± 2 %", None, "a limit with a tolerance", None),
    ("at most 5", None, "'5', a number without a unit", None),
    ("above 4 V and above 5 V", None, "two limits on the same side", None),
    ("above 5 V and below 4 V", None, "which no reading can meet", None),
    ("above 5 V and below 5 V", None, "which no reading can meet", None),
    ("above 4 V and 5 V", None, "'5 V' after 'and'", None),
]  # fmt: skip


@pytest.mark.parametrize("texts", SAME, ids=lambda texts: texts[0])
def test_texts_that_mean_the_same_are_equal(texts: tuple[str, ...]) -> None:
    assert {parse_window(text) for text in texts} == {parse_window(texts[0])}


def test_texts_that_only_look_alike_differ() -> None:
    texts = [texts[0] for texts in SAME]
    assert len({parse_window(text) for text in texts}) == len(texts)
    assert parse_window("below 5 V") != parse_window("at most 5 V")


@pytest.mark.parametrize(("text", "dimension", "found", "suggestion"), REFUSED)
def test_a_text_that_is_no_window_is_refused_with_its_reason(
    text: str, dimension: str | None, found: str, suggestion: str | None
) -> None:
    with pytest.raises(UnitError) as caught:
        parse_window(text, dimension)
    assert found in caught.value.found
    assert caught.value.suggestion == suggestion
    assert caught.value.expected


WHOLE = [row for row in REFUSED if row[3] and row[2] not in ("unknown unit 'Vlt'", "'0.5', a number without a unit")]


@pytest.mark.parametrize("row", WHOLE, ids=lambda row: row[0])
def test_every_suggestion_is_itself_accepted(row: tuple[str, str | None, str, str]) -> None:
    _, dimension, _, suggestion = row
    for each in suggestion.split(" or "):
        assert as_typed(parse_window(each, dimension)) == each


def test_a_battery_window_is_a_voltage() -> None:
    assert parse_window("at least battery minus 0.3 V", "voltage").dimension == "voltage"
    with pytest.raises(UnitError, match="expected a current"):
        parse_window("at least battery minus 0.3 V", "current")


def test_a_long_text_is_named_by_its_length() -> None:
    with pytest.raises(UnitError, match="a text of 10000 characters"):
        parse_window("5" * 10_000)


SIGNS = ["±", "+-", "-", ",", ".", "<=", "≥", "…", "5", "-3", "4.9", "1,5", "1/0", "2k2", "V", "Ω"]
PHRASES = [
    "to",
    "and",
    "between",
    "from",
    "less than",
    "max.",
    "up to",
    "open",
    "battery",
    "voltage",
    "minus",
]
LIMITS = ["below", "above", "at least", "at most", "battery minus", "plus"]
WORDS = st.sampled_from([*SIGNS, *PHRASES, *LIMITS, *(unit.symbol for unit in UNITS)])
TEXTS = st.text(max_size=25) | st.builds(
    lambda words, gap: gap.join(words), st.lists(WORDS, max_size=9), st.sampled_from(["", " "])
)


def window_or_finding(text: str, dimension: str | None) -> Window | UnitError:
    """The outcome of reading, whichever it is; any other exception passes through."""
    try:
        return parse_window(text, dimension)
    except UnitError as error:
        return error


@settings(derandomize=True, deadline=None, max_examples=1500, database=None)
@given(text=TEXTS, dimension=st.sampled_from([None, None, "voltage", "resistance", *DIMENSIONS]))
def test_any_text_is_a_window_or_a_finding(text: str, dimension: str | None) -> None:
    outcome = window_or_finding(text, dimension)
    if isinstance(outcome, UnitError):
        assert outcome.found
        assert outcome.expected
        assert str(outcome).startswith("Found ")
    else:
        assert dimension in (None, outcome.dimension)
        assert outcome.low or outcome.high


HOSTILE = [
    "from ",
    "from 1 to ",
    "under ",
    "5 to ",
    "-",
    "5-",
    "above 5 V and ",
    "battery minus ",
    "5,",
    "…",
    "± ",
    "between 1 and ",
]


@pytest.mark.parametrize("piece", HOSTILE)
def test_a_text_of_ten_thousand_characters_is_refused_at_once(piece: str) -> None:
    for length in (195, 10_000):
        start = time.perf_counter()
        with pytest.raises(UnitError):
            parse_window((piece * length)[:length])
        assert time.perf_counter() - start < 0.25
