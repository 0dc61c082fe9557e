from __future__ import annotations

import pytest

from authorkit.output.html.svg_style import declarations, read_rules, style_of

RULES = read_rules(
    """
    /* a comment { with braces } */
    #frame { stroke: red } * { stroke: black; fill: none }
    path, .wire { stroke: blue }
    .thick { stroke: green !important }
    """
)


# Cascade and specificity: CSS 2.2, 6.4.3 (id over class over name over '*').
@pytest.mark.parametrize(
    ("name", "classes", "id_", "stroke"),
    [
        ("rect", [], "", "black"),
        ("path", [], "", "blue"),
        ("rect", ["wire"], "", "blue"),
        ("path", ["thick"], "", "green"),
        ("path", ["thick"], "frame", "red"),
    ],
)
def test_the_more_specific_rule_wins(name: str, classes: list[str], id_: str, stroke: str) -> None:
    assert dict(style_of(RULES, name, classes, id_)) == {"fill": "none", "stroke": stroke}


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("font: 8px Arial", {"font-size": "8px", "font-family": "Arial"}),
        (
            "font:italic bold 1.2em/1.5 'A B', serif",
            {"font-style": "italic", "font-weight": "bold", "font-size": "1.2em", "font-family": "'A B', serif"},
        ),
        ("FILL : Red ;; broken", {"fill": "Red"}),
        ("font: caption", {}),
    ],
)
def test_declarations_are_read_and_the_font_is_taken_apart(text: str, parts: dict[str, str]) -> None:
    assert dict(declarations(text)) == parts


def test_a_rule_that_loads_something_is_kept_to_be_refused() -> None:
    assert [rule.selector for rule in read_rules("@import url(x); * {fill: none}")][:1] != []
    assert any(rule.selector.startswith("@") for rule in read_rules("@import url(x);"))
    assert any(rule.selector.startswith("@") for rule in read_rules("@font-face{src:url(x)}"))
