from __future__ import annotations

import re

import pytest
import wcag_contrast_ratio

from authorkit.model.signal_word import SIGNAL_WORDS
from authorkit.output.html.style import depth_class, font_files, style_sheet, width_classes, word_class

SHEET = style_sheet()
COLOUR = r"#[0-9A-Fa-f]{6}"


def variables(block: str) -> dict[str, str]:
    return dict(re.findall(rf"--([\w-]+):\s*({COLOUR})", block))


LIGHT = variables(SHEET.split("@media")[0])
DARK = LIGHT | variables(SHEET.split('data-colours="dark"]')[1].split("}")[0])


def contrast(first: str, second: str) -> float:
    """The ratio of WCAG 2.2 as the package wcag-contrast-ratio computes it."""
    colours = [tuple(int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)) for colour in (first, second)]
    ratio: float = wcag_contrast_ratio.rgb(*colours)
    return ratio


# WCAG 2.2: 4.5 to 1 for text (1.4.3), 3 to 1 for what is needed to see a control or a state (1.4.11).
TEXT_PAIRS = [
    *((text, ground) for text in ("ink", "muted", "link", "visited") for ground in ("paper", "tint", "side", "target")),
    ("bar-text", "bar"),
    ("bar-muted", "bar"),
    ("paper", "ink"),
]


@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize(("text", "ground"), TEXT_PAIRS)
def test_text_stands_out_from_its_ground(colours: dict[str, str], text: str, ground: str) -> None:
    resolved = {"bar": colours.get("bar", colours["ink"]), "bar-text": colours.get("bar-text", colours["paper"])}
    pair = [resolved.get(name, colours.get(name, "")) for name in (text, ground)]
    assert contrast(*pair) >= 4.5


@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
def test_the_focus_is_seen_on_every_ground(colours: dict[str, str]) -> None:
    for ground in ("paper", "tint", "side", "target"):
        assert contrast(colours["focus"], colours[ground]) >= 3


def test_both_ways_to_the_dark_page_give_the_same_colours() -> None:
    by_system = SHEET.split('not([data-colours="light"])')[1].split("}")[0]
    by_choice = SHEET.split('data-colours="dark"]')[1].split("}")[0]
    assert variables(by_system) == variables(by_choice)
    assert len(variables(by_choice)) >= 10


@pytest.mark.parametrize("signal", SIGNAL_WORDS.values(), ids=list(SIGNAL_WORDS))
def test_a_signal_word_has_the_panel_of_the_model_and_can_be_read_on_it(signal: object) -> None:
    word, panel, ink = (str(getattr(signal, name)) for name in ("word", "panel", "ink"))
    assert f".word-{word.lower()} .signal{{background:{panel};color:{ink};" in SHEET
    assert contrast(panel, ink) >= 4.5


def test_nothing_in_the_sheet_comes_from_outside() -> None:
    assert "@import" not in SHEET
    assert re.findall(r'url\((?!"fonts/)[^)]*\)', SHEET) == []
    assert {f"fonts/{name}" for name in font_files()} == set(re.findall(r'url\("([^"]+)"\)', SHEET))


def test_paper_gets_the_light_colours() -> None:
    """A reader with a dark screen must not print white on black: every dark rule is for screens."""
    for start in re.finditer("color-scheme: dark", SHEET):
        assert SHEET.rfind("@media screen", 0, start.start()) > SHEET.rfind("@media print", 0, start.start())
        media = re.findall(r"@media [^{]*", SHEET[: start.start()])[-1]
        assert "screen" in media


def test_every_class_that_the_writer_gives_in_steps_has_a_rule() -> None:
    for depth in (-1, 0, 0.02, 0.74, 2.99, 40):
        assert f".{depth_class(depth)}{{" in SHEET
    for name in width_classes((0.001, 1, 3.7, 1000)):
        assert f".{name}{{" in SHEET


def test_widths_are_shares_of_the_whole() -> None:
    assert width_classes((2, 1, 1)) == ("w-50", "w-25", "w-25")


def test_a_depth_is_rounded_to_a_twentieth_of_the_type_size() -> None:
    assert (depth_class(0.26), depth_class(0.5), depth_class(99)) == ("deep-5", "deep-10", "deep-60")


def test_an_unknown_signal_word_has_no_panel() -> None:
    assert (word_class("DANGER"), word_class("ATTENTION")) == ("word-danger", "")
