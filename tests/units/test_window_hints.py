"""Suggestions for windows are always windows that are accepted."""

from __future__ import annotations

import pytest

from authorkit.units import UnitError, as_typed, parse_window
from authorkit.units.window_hints import _IN_WORDS, _SYNONYMS, explain_window, unit_at_the_end


def refuse(candidate: str) -> str:
    """Read nothing at all."""
    raise UnitError(candidate, "nothing")


@pytest.mark.parametrize("words", _SYNONYMS)
def test_every_other_word_for_a_limit_is_answered_with_ours(words: str) -> None:
    with pytest.raises(UnitError) as caught:
        parse_window(f"{words} 5 V")
    assert caught.value.suggestion == f"{_SYNONYMS[words]} 5 V"


@pytest.mark.parametrize("words", _IN_WORDS)
def test_every_reading_in_words_is_answered_with_a_window(words: str) -> None:
    with pytest.raises(UnitError) as caught:
        parse_window(words.upper())
    assert caught.value.suggestion is not None
    assert as_typed(parse_window(caught.value.suggestion)) == _IN_WORDS[words]


def test_a_candidate_that_is_no_window_is_not_suggested() -> None:
    assert explain_window("4.9-5.1 V", None, refuse).suggestion is None
    assert unit_at_the_end("4.9 V", "5.1", None, refuse).suggestion is None
