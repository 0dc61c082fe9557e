from __future__ import annotations

import pytest
import wcag_contrast_ratio

from authorkit.model.signal_word import SIGNAL_WORDS, SignalWordError, parse_signal_word, worst


def rgb_fractions(rgb: str) -> tuple[float, ...]:
    return tuple(int(rgb[i : i + 2], 16) / 255 for i in (1, 3, 5))


def test_the_four_words_stand_worst_first():
    # ANSI Z535.6, public descriptions.
    assert list(SIGNAL_WORDS) == ["DANGER", "WARNING", "CAUTION", "NOTICE"]


@pytest.mark.parametrize(
    ("word", "says"),
    [
        ("DANGER", ["will", "kill or seriously injure"]),
        ("WARNING", ["could", "kill or seriously injure"]),
        ("CAUTION", ["could", "lesser injury"]),
        ("NOTICE", ["not injury"]),
    ],
)
def test_each_word_says_how_sure_and_how_grave(word, says):
    # ANSI Z535.4: 'will' for DANGER, 'could' for WARNING and CAUTION, no injury for NOTICE.
    assert all(part in SIGNAL_WORDS[word].meaning for part in says)


def test_the_alert_symbol_goes_with_injury_only():
    # ANSI Z535.6: never with NOTICE.
    with_symbol = [word for word, entry in SIGNAL_WORDS.items() if entry.alert_symbol]
    assert with_symbol == ["DANGER", "WARNING", "CAUTION"]
    assert [word for word, entry in SIGNAL_WORDS.items() if entry.italic] == ["NOTICE"]


# Ratios of the safety colours near Pantone 186, 151, 109 and 285, computed with wcag-contrast-ratio 0.9.
@pytest.mark.parametrize(("word", "ratio"), [("DANGER", 5.88), ("WARNING", 8.45), ("CAUTION", 14.37), ("NOTICE", 4.89)])
def test_the_text_on_every_panel_can_be_read(word, ratio):
    entry = SIGNAL_WORDS[word]
    measured = wcag_contrast_ratio.rgb(rgb_fractions(entry.panel), rgb_fractions(entry.ink))
    assert measured == pytest.approx(ratio, abs=0.005)
    assert measured >= 4.5  # WCAG 2.2, 1.4.3


@pytest.mark.parametrize(
    ("words", "gravest"),
    [
        (["NOTICE"], "NOTICE"),
        (["NOTICE", "CAUTION"], "CAUTION"),
        (["CAUTION", "WARNING", "NOTICE"], "WARNING"),
        (["WARNING", "DANGER", "WARNING"], "DANGER"),
    ],
)
def test_the_worst_hazard_decides(words, gravest):
    assert worst(words).word == gravest
    assert worst(iter(reversed(words))).word == gravest


@pytest.mark.parametrize(
    ("text", "suggestion"),
    [
        ("Warning", "WARNING"),
        (" DANGER ", "DANGER"),
        ("Note", "NOTICE"),
        ("notice", "NOTICE"),
        ("ATTENTION", None),
        ("", None),
    ],
)
def test_another_word_is_refused_with_a_suggestion(text, suggestion):
    with pytest.raises(SignalWordError) as caught:
        parse_signal_word(text)
    assert caught.value.found == text
    assert caught.value.suggestion == suggestion
    assert "DANGER, WARNING, CAUTION or NOTICE" in str(caught.value)
    with pytest.raises(SignalWordError):
        worst(["DANGER", text])


def test_no_word_at_all_has_no_worst():
    with pytest.raises(SignalWordError, match="at least one"):
        worst([])
