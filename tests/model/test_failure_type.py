from __future__ import annotations

import pytest

from authorkit.model.failure_type import (
    EXPECTED_CONDITIONS,
    FAILURE_TYPES,
    FROM_MEMORY,
    failure_type_category,
    failure_type_meaning,
)

# Values that three public tables of the J2012-DA failure type byte agree on, plus 9A (from memory).
ASSIGNED = [
    *range(0x00, 0x0A),
    *range(0x11, 0x20),
    *range(0x21, 0x2C),
    0x2F,
    *range(0x31, 0x3B),
    *range(0x41, 0x4C),
    *range(0x51, 0x56),
    *range(0x61, 0x69),
    *range(0x71, 0x7C),
    *range(0x81, 0x89),
    0x8F,
    *range(0x91, 0x99),
    0x9A,
]


def test_the_table_holds_the_assigned_values_in_order_and_no_other():
    assert list(FAILURE_TYPES) == ASSIGNED


# The values that matter most in a workshop, and those that public decoders are known to have wrong
# (15, 16, 17, 38, 41, 42, 55, 73). Source: the same three public tables.
@pytest.mark.parametrize(
    ("value", "words"),
    [
        (0x00, ("no sub-type",)),
        (0x11, ("short to ground",)),
        (0x12, ("short to battery",)),
        (0x13, ("open",)),
        (0x14, ("short to ground", "or open")),
        (0x15, ("short to battery", "or open")),
        (0x16, ("voltage", "below threshold")),
        (0x17, ("voltage", "above threshold")),
        (0x1C, ("voltage", "out of range")),
        (0x1F, ("intermittent",)),
        (0x23, ("stuck low",)),
        (0x29, ("signal invalid",)),
        (0x2F, ("signal erratic",)),
        (0x31, ("no signal",)),
        (0x38, ("frequency", "incorrect")),
        (0x41, ("checksum",)),
        (0x42, ("general memory",)),
        (0x49, ("internal electronic",)),
        (0x4B, ("over temperature",)),
        (0x54, ("missing calibration",)),
        (0x55, ("not configured",)),
        (0x62, ("signal compare",)),
        (0x64, ("plausibility",)),
        (0x73, ("stuck closed",)),
        (0x87, ("missing message",)),
        (0x88, ("bus off",)),
        (0x96, ("component internal",)),
    ],
)
def test_a_value_has_its_published_meaning(value, words):
    meaning = failure_type_meaning(value)
    assert meaning is not None
    assert all(word in meaning for word in words)


@pytest.mark.parametrize("value", [0x0A, 0x10, 0x20, 0x2C, 0x5A, 0x99, 0xA0, 0xF1])
def test_an_unassigned_value_is_not_guessed(value):
    assert failure_type_meaning(value) is None


@pytest.mark.parametrize(
    ("value", "category"),
    [
        (0x00, "general failure information"),
        (0x17, "general electrical"),
        (0x20, "general signal"),
        (0x5A, "system programming"),
        (0x9F, "component"),
        (0xA0, "reserved"),
        (0xEF, "reserved"),
        (0xF0, "vehicle maker or supplier specific"),
    ],
)
def test_the_high_digit_names_the_category(value, category):
    assert failure_type_category(value) == category


@pytest.mark.parametrize("value", [-1, 256])
def test_a_value_that_is_no_byte_is_refused(value):
    with pytest.raises(ValueError, match="expected 0 to 255"):
        failure_type_meaning(value)
    with pytest.raises(ValueError, match="expected 0 to 255"):
        failure_type_category(value)


def test_electrical_types_name_the_conditions_their_meaning_speaks_of():
    for value in range(0x11, 0x16):
        meaning = FAILURE_TYPES[value]
        named = [name for name in ("short to ground", "short to battery", "open") if name in meaning]
        assert list(EXPECTED_CONDITIONS[value]) == named
    assert EXPECTED_CONDITIONS[0x16] == ("low",)
    assert EXPECTED_CONDITIONS[0x17] == ("high",)
    assert EXPECTED_CONDITIONS[0x1C] == ("low", "high")
    assert 0x18 not in EXPECTED_CONDITIONS


def test_what_is_from_memory_is_named_and_in_the_table():
    assert sorted(FROM_MEMORY) == [0x9A]
    assert all(value in FAILURE_TYPES for value in FROM_MEMORY)
