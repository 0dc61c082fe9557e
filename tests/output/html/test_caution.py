from __future__ import annotations

import pytest

from authorkit.manual.blocks import CautionBlock
from authorkit.output.html.caution import short_caution_html
from tests.output.html.reading import read_html
from tests.output.html.samples import rendered

CAUTION = CautionBlock("WARNING", "The fan can start.", "It takes off fingers.", ("Unplug it.", "Wait."), "fan")


def test_a_message_says_word_hazard_consequence_and_how_to_avoid_it_in_this_order() -> None:
    """ANSI Z535.6: the signal word, then the hazard, what it does, and how to avoid it."""
    note = rendered((CAUTION,)).one("div", role="note")
    assert note.attributes["id"] == "fan"
    assert note.text == "WARNINGThe fan can start.It takes off fingers.Unplug it.Wait."
    assert [item.text for item in note.all("li")] == ["Unplug it.", "Wait."]


def test_a_message_is_announced_by_its_signal_word() -> None:
    assert rendered((CAUTION,)).one("div", role="note").attributes["aria-label"] == "WARNING"


# ANSI Z535.4: the safety alert symbol stands for a risk of injury, so never with NOTICE.
@pytest.mark.parametrize(("word", "symbols"), [("DANGER", 1), ("WARNING", 1), ("CAUTION", 1), ("NOTICE", 0)])
def test_the_alert_symbol_goes_with_the_words_for_injury_only(word: str, symbols: int) -> None:
    note = rendered((CautionBlock(word, "h", "c", ()),)).one("div", role="note")
    assert len(list(note.all("svg", class_="alert"))) == symbols
    assert f"word-{word.lower()}" in note.classes


def test_the_symbol_is_silent_because_the_word_beside_it_says_the_same() -> None:
    assert rendered((CAUTION,)).one("svg").attributes["aria-hidden"] == "true"


def test_a_message_repeated_at_a_step_is_one_line() -> None:
    note = read_html(short_caution_html("DANGER", "360 V: wear gloves.")).one("div", role="note")
    assert note.text == "DANGER360 V: wear gloves."
    assert (note.attributes["aria-label"], "short" in note.classes) == ("DANGER", True)
