"""A finding has three parts and reads as a sentence."""

from __future__ import annotations

import pickle

import pytest

from authorkit.units.error import UnitError, quote, with_article


def test_the_parts_are_kept_and_joined_to_a_sentence() -> None:
    error = UnitError("a voltage ('4.5 V')", "a resistance such as '2.2 kΩ'", "4.5 Ω")
    assert (error.found, error.expected, error.suggestion) == (
        "a voltage ('4.5 V')",
        "a resistance such as '2.2 kΩ'",
        "4.5 Ω",
    )
    assert str(error) == ("Found a voltage ('4.5 V'), expected a resistance such as '2.2 kΩ'. Did you mean '4.5 Ω'?")


def test_without_a_suggestion_no_question_is_asked() -> None:
    error = UnitError("nothing", "a time")
    assert error.suggestion is None
    assert str(error) == "Found nothing, expected a time."


def test_two_suggestions_are_both_offered() -> None:
    error = UnitError("'10 MOHM'", "a resistance", "10 MΩ", "10 mΩ")
    assert error.suggestion == "10 MΩ or 10 mΩ"
    assert str(error).endswith("Did you mean '10 MΩ' or '10 mΩ'?")


def test_it_is_a_value_error_and_survives_being_sent_to_another_process() -> None:
    error = UnitError("nothing", "a time", "2 s")
    again = pickle.loads(pickle.dumps(error))
    assert isinstance(again, UnitError)
    assert issubclass(UnitError, ValueError)
    assert (str(again), again.suggestion) == (str(error), "2 s")


@pytest.mark.parametrize(
    ("text", "quoted"),
    [
        ("4.5 V", "'4.5 V'"),
        ("a\nb\x00c", "'a b c'"),
        ("x" * 48, f"'{'x' * 48}'"),
        ("x" * 10_000, f"'{'x' * 48}…'"),
    ],
)
def test_a_quote_is_one_short_line(text: str, quoted: str) -> None:
    assert quote(text) == quoted


def test_the_article_follows_the_sound() -> None:
    nouns = ("voltage", "area", "energy", "isolation", "angle")
    assert [with_article(noun) for noun in nouns] == [
        "a voltage",
        "an area",
        "an energy",
        "an isolation",
        "an angle",
    ]
