"""Where the cursor stands in facts that are half written; `¦` marks it."""

from __future__ import annotations

import random

import pytest
import yaml

from authorkit.desk.cursor import Level, spot_at

# Text with the cursor → the steps that lead there, what is typed, what it may be.
SPOTS = [
    ("%%facts\nco¦", (), "co", "key"),
    ("%%facts\ncode: P¦", ("code",), "P", "value"),
    ("circuit:\n  pa¦\n  wires: []", ("circuit",), "pa", "key"),
    ("circuit:\n  parts:\n    B5:\n      na¦", ("circuit", "parts", "B5"), "na", "key"),
    ('p:\n  c: {B5: {"1": S¦', ("p", "c", "B5", "1"), "S", "value"),
    ('p:\n  c: {B5: {"1": SIG, "¦', ("p", "c", "B5"), '"', "key"),
    ("i:\n  - {thermistor: [B5.1, B5.¦], r25: 2 kΩ}", ("i", 0, "thermistor", 1), "B5.", "value"),
    ("i:\n  - {thermistor: [B5.1, B5.2], r¦, beta: 3400 K}", ("i", 0), "r", "key"),
    ("specs:\n  - vo¦", ("specs", 0), "vo", "either"),
    ("specs:\n  - {volts: a}\n  - volts: [a, b]\n    st¦", ("specs", 1), "st", "key"),
    ("specs:\n- volts: [a, b]\n  st¦", ("specs", 0), "st", "key"),
    ("specs:\n- volts: [a, b]\nst¦", (), "st", "key"),
    ("specs:\n  - {volts: [a,\n     b], sta¦", ("specs", 0), "sta", "key"),
    ("procedure:\n  2: {do: x, then: {yes: 2, no: ¦", ("procedure", "2", "then", "no"), "", "value"),
    ("do: Measure at {cav¦", ("do",), "Measure at {cav", "value"),
    ("a: 'it ends: here'\nb: ¦", ("b",), "", "value"),
    ("a: |\n  text key: val¦", ("a",), "text key: val", "value"),
    ("a: |\n  text key: val\nb¦", (), "b", "key"),
    ("# circuit:\nti¦", (), "ti", "key"),
    ("states:\n  cold: {key: on}\n  ¦", ("states",), "", "key"),
    ("cautions:\n  - word: W\n    avoid:\n      - Keep\n    st¦", ("cautions", 0), "st", "key"),
]


@pytest.mark.parametrize(("marked", "steps", "typed", "may_be"), SPOTS)
def test_the_spot_is_found_by_indentation_and_brackets(
    marked: str, steps: tuple[str | int, ...], typed: str, may_be: str
) -> None:
    spot = spot_at(marked.replace("¦", ""), marked.index("¦"))
    assert tuple(level.step for level in spot.levels) == steps
    assert (spot.typed, spot.may_be) == (typed, may_be)


def test_keys_above_and_below_the_cursor_are_known() -> None:
    marked = "code: P0118\nti¦\nset-by: M1\ncircuit:\n  parts: {}\nlamp: x"
    assert spot_at(marked.replace("¦", ""), marked.index("¦")).keys == ("code", "set-by", "circuit", "lamp")


def test_keys_in_brackets_before_and_after_the_cursor_are_known() -> None:
    marked = "- {wire: [a, {b: c}], ¦, series: A, x: {y: 1}}"
    assert spot_at(marked.replace("¦", ""), marked.index("¦")).keys == ("wire", "series", "x")


def test_each_level_knows_the_keys_of_its_mapping() -> None:
    marked = "specs:\n  - {ohms: [a, b], reads: ¦"
    assert spot_at(marked.replace("¦", ""), marked.index("¦")).levels[-1] == Level("reads", ("ohms", "reads"))


def steps_to_scalars(node: yaml.Node, steps: tuple[str | int, ...] = ()) -> list[tuple[int, tuple[str | int, ...]]]:
    """By PyYAML's composer: the index of the first character of each plain value, and what leads to it."""
    if isinstance(node, yaml.MappingNode):
        return [found for key, value in node.value for found in steps_to_scalars(value, (*steps, key.value))]
    if isinstance(node, yaml.SequenceNode):
        return [found for at, item in enumerate(node.value) for found in steps_to_scalars(item, (*steps, at))]
    return [(node.start_mark.index, steps)]


def test_every_value_of_the_demo_chapters_is_found_where_a_yaml_parser_finds_it(facts_of: dict[str, str]) -> None:
    """Against PyYAML, which shares no code with the walk."""
    wrong = []
    for file, source in facts_of.items():
        text = source.replace("%%facts", "#%facts", 1)
        for index, steps in steps_to_scalars(yaml.compose(text, Loader=yaml.BaseLoader)):
            spot = spot_at(source, index + 1)
            if tuple(level.step for level in spot.levels) != steps:
                wrong.append((file, source[index : index + 20], steps, spot))
    assert wrong == []


def test_no_text_makes_it_fail(facts_of: dict[str, str]) -> None:
    source = facts_of["chapters/P0480.ipynb"]
    dice = random.Random(4)
    for _ in range(300):
        text = list(source)
        for _ in range(20):
            text[dice.randrange(len(text))] = dice.choice("{}[]:,'\"- \n#|é")
        spot_at("".join(text), dice.randrange(len(text)))
