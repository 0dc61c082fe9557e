"""A parameter of a waveform is a quantity, or a word; digits alone are a pattern of bits or nibbles."""

from __future__ import annotations

import pytest

from authorkit.facts.schema.measurements import _value
from authorkit.units import Quantity, UnitError


@pytest.mark.parametrize("text", ["0100110100101101", "0 5 A 3", "36", "falling"])
def test_patterns_and_words_stay_text(text):
    assert _value(text, None) == text


@pytest.mark.parametrize("text", ["0.2 V", "120 Hz", "2 µs", "50 %"])
def test_numbers_with_a_unit_are_quantities(text):
    assert isinstance(_value(text, None), Quantity)


@pytest.mark.parametrize("text", ["4,5 V", "5 Vlot", "0.2"])
def test_what_is_neither_is_refused(text):
    with pytest.raises(UnitError):
        _value(text, None)
