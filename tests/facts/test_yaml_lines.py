"""YAML as nodes: the same texts and places as PyYAML's own loader and composer, and no end to patience."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from authorkit.facts.node import Node, places, plain
from authorkit.facts.yaml_lines import read_yaml
from authorkit.problems import Place

FULL = (Path(__file__).parent / "full_chapter.yaml").read_text(encoding="utf-8").replace("%%facts", "", 1)


def marks_of(node: yaml.Node, path: str = "") -> dict[str, tuple[int, int]]:
    """Line and column of every value, by PyYAML's composer."""
    assert node.start_mark is not None
    found = {path: (node.start_mark.line + 1, node.start_mark.column + 1)}
    children: list[tuple[str, yaml.Node]] = []
    if isinstance(node, yaml.MappingNode):
        children = [(key.value, value) for key, value in node.value]
    elif isinstance(node, yaml.SequenceNode):
        children = [(str(number), value) for number, value in enumerate(node.value, 1)]
    for name, child in children:
        found |= marks_of(child, f"{path}.{name}" if path else name)
    return found


def values_of(node: Node) -> dict[str, tuple[int, int]]:
    found = {node.path: (node.place.line, node.place.column)}
    children = (
        node.value if isinstance(node.value, list) else node.value.values() if isinstance(node.value, dict) else []
    )
    for child in children:
        found |= values_of(child)
    return found


def test_values_and_their_places_are_those_of_pyyaml() -> None:
    node, problems = read_yaml(FULL, "x")
    assert problems == ()
    assert node is not None
    assert plain(node) == yaml.load(FULL, Loader=yaml.CBaseLoader)
    assert values_of(node) == marks_of(yaml.compose(FULL, Loader=yaml.CBaseLoader))


DATA = st.recursive(
    st.text(st.characters(exclude_categories=["C", "Zl", "Zp"]), max_size=12),
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(st.text("abcdefgh ", min_size=1, max_size=5), inner, max_size=4)
    ),
    max_leaves=20,
)


@given(DATA, st.sampled_from([None, True, False]))
def test_what_pyyaml_writes_is_read_back(data: object, flow: bool | None) -> None:
    text = yaml.dump(data, default_flow_style=flow, allow_unicode=True, width=30)
    node, problems = read_yaml(text, "x")
    keys_with_text = all(key.strip() for key in keys_of(data))
    if keys_with_text:
        assert problems == ()
        assert node is not None
        assert plain(node) == data
    else:
        assert {problem.rule for problem in problems} == {"yaml-syntax"}


def keys_of(data: object) -> list[str]:
    if isinstance(data, dict):
        return [*data, *(key for value in data.values() for key in keys_of(value))]
    return [key for item in data for key in keys_of(item)] if isinstance(data, list) else []


def test_places_by_path_give_texts_themselves_and_the_keys_of_lists_and_mappings() -> None:
    node, _ = read_yaml("a: one\nb:\n  - two\n  - {c: three}\n", "f.ipynb", 3)
    assert node is not None
    assert places(node) == {
        "a": Place("f.ipynb", 3, 1, 4),
        "b": Place("f.ipynb", 3, 2, 1),
        "b.1": Place("f.ipynb", 3, 3, 5),
        "b.2": Place("f.ipynb", 3, 4, 5),
        "b.2.c": Place("f.ipynb", 3, 4, 9),
    }


def test_an_alias_bomb_is_refused_in_no_time() -> None:
    """Nine levels of nine: a walk that followed the aliases would meet 387 million values."""
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{level}: &a{level} [{', '.join([f'*a{level - 1}'] * 9)}]" for level in range(1, 9)]
    start = time.process_time()
    node, problems = read_yaml("\n".join(lines), "x")
    assert time.process_time() - start < 0.5
    assert node is not None
    assert [problem.rule for problem in problems] == ["yaml-alias"] * (9 + 8 * 9)
    assert plain(node) == {"a0": ["x"] * 9, **{f"a{level}": [None] * 9 for level in range(1, 9)}}


@pytest.mark.parametrize("text", ["- " * 5000, "{a: " * 5000, "[" * 5000, "? " * 5000, "a:\n" + " a:\n" * 5000])
def test_depth_is_limited_whatever_the_style(text: str) -> None:
    node, problems = read_yaml(text, "x")
    assert node is None or not isinstance(node.value, str)
    assert problems[-1].rule in ("yaml-too-deep", "yaml-syntax", "key-repeated")


@given(st.text(max_size=80) | st.text("{}[]:,-?&*!|>'\"%@` \n\t#abc\\", max_size=60))
def test_no_text_upsets_the_reading_of_yaml(text: str) -> None:
    node, problems = read_yaml(text, "x", 1)
    assert node is not None or problems
    for problem in problems:
        assert problem.place.cell == 1
        assert 0 <= problem.place.line <= text.count("\n") + text.count("\r") + 2
