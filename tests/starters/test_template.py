"""The form of the templates: placeholders, blocks, conditions, cells, quoting."""

from __future__ import annotations

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from authorkit.starters.template import cells_of, fill, flow, quoted, scalar


def test_a_placeholder_is_replaced_and_its_value_is_not_read_again() -> None:
    assert fill("code: $code.1", {"code": "$title", "title": "no"}) == "code: $title.1\n"


def test_a_line_with_one_placeholder_takes_a_block_at_its_own_indentation() -> None:
    assert fill("a:\n  $block\nb:", {"block": "x: 1\ny:\n  z"}) == "a:\n  x: 1\n  y:\n    z\nb:\n"


def test_a_line_with_an_empty_block_disappears() -> None:
    assert fill("a:\n  $block\nb:", {"block": ""}) == "a:\nb:\n"


def test_a_placeholder_without_a_value_is_refused() -> None:
    with pytest.raises(KeyError, match="unknown"):
        fill("a: $unknown!", {})
    with pytest.raises(KeyError, match="unknown"):
        fill("$unknown", {})


@pytest.mark.parametrize(
    ("applies", "kept"),
    [({"low"}, "  - low\n"), ({"high"}, "  - high\n"), (set(), "  - neither\n")],
)
def test_conditions_at_the_beginning_of_a_line_must_all_hold(applies: set[str], kept: str) -> None:
    text = "  [low] - low\n  [high] - high\n  [not low] [not high] - neither"
    assert fill(text, {}, applies) == kept


def test_a_yaml_list_at_the_beginning_of_a_line_is_no_condition() -> None:
    assert fill("[A, B] x\n- [a, b]", {}) == "[A, B] x\n- [a, b]\n"


def test_each_section_and_each_block_of_facts_becomes_a_cell() -> None:
    cells = cells_of(
        "# P1\n\n## What\n\none\n\n```yaml facts\n%%facts\na: 1\n```\n\n## How\n\ntwo\n\n## How\n\nthree\n"
    )
    assert [(cell.kind, cell.id) for cell in cells] == [
        ("markdown", "what"),
        ("code", "facts"),
        ("markdown", "how"),
        ("markdown", "how-2"),
    ]
    assert [cell.source for cell in cells] == [
        "# P1\n\n## What\n\none",
        "%%facts\na: 1",
        "## How\n\ntwo",
        "## How\n\nthree",
    ]


@given(st.text(st.characters(exclude_categories=["C", "Zl", "Zp"]), min_size=1))
def test_a_quoted_text_is_read_back_by_pyyaml(text: str) -> None:
    if not text.isprintable():
        with pytest.raises(ValueError, match="cannot be printed"):
            quoted(text)
    else:
        assert yaml.load(f"[{scalar(text)}, {quoted(text)}]", Loader=yaml.BaseLoader) == [text, text]


@pytest.mark.parametrize("text", ["two\nlines", "tab\there", "bell\a", "zero width\u200b"])
def test_a_text_of_control_characters_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="cannot be printed"):
        quoted(text)


def test_cavities_and_signals_are_read_back_by_pyyaml() -> None:
    uses = {"1": "HV+ IN", "A1": "SIG, 5 V: high", '"': "#x", "\\": "SNSR"}
    assert yaml.load(flow(uses), Loader=yaml.BaseLoader) == uses
