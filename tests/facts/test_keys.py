"""The description of the written form itself: every key explained, every example readable, every field there."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from typing import Any

import pytest

from authorkit.facts.node import Node
from authorkit.facts.schema import devices
from authorkit.facts.schema.chapter import CHAPTER
from authorkit.facts.schema.devices import DEVICES, DeviceForm
from authorkit.facts.schema.reader import Reader
from authorkit.facts.schema.recipe import RECIPE
from authorkit.facts.schema.record import Key, Record
from authorkit.facts.schema.states import STATE, StateForm
from authorkit.facts.schema.vehicle import VEHICLE
from authorkit.facts.yaml_lines import read_yaml
from authorkit.model.device_kinds import DEVICE_KINDS


def records(form: Any, seen: set[int]) -> Iterator[Record[Any]]:
    """Every record that is reached from a form, once."""
    if id(form) in seen or not dataclasses.is_dataclass(form):
        return
    seen.add(id(form))
    inner: list[Any] = []
    if isinstance(form, Record):
        yield form
        inner = [key.form for key in form.keys] + [form.extra]
    elif isinstance(form, DeviceForm):
        inner = list(DEVICES.values())
    elif isinstance(form, StateForm):
        inner = [STATE]
    else:
        inner = [getattr(form, field.name) for field in dataclasses.fields(form)]
    for each in inner:
        yield from records(each, seen)


SEEN: set[int] = set()
RECORDS = [record for top in (CHAPTER, VEHICLE, RECIPE) for record in records(top, SEEN)]
KEYS = [pytest.param(record, key, id=f"{record.what}: {key.name}") for record in RECORDS for key in record.keys]


def test_all_parts_of_the_form_are_reached() -> None:
    assert len(RECORDS) > 60
    assert len(KEYS) > 300


@pytest.mark.parametrize(("record", "key"), KEYS)
def test_a_key_has_help_and_an_example_that_can_be_read(record: Record[Any], key: Key) -> None:
    assert key.help
    node, problems = read_yaml(key.example, "example")
    assert node is not None
    assert problems == ()
    states, _ = read_yaml("{cold: {key: on}, rolling: {key: run}}", "example")
    assert states is not None
    assert isinstance(states.value, dict)
    reader = Reader(states=states.value)
    assert reader.read(key.form, Node(node.value, node.place, node.key, "", key.name, node.bare)) is not None
    assert reader.problems == []


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: record.what)
def test_the_keys_of_a_record_differ_and_those_that_exclude_each_other_are_among_them(record: Record[Any]) -> None:
    names = [key.name for key in record.keys]
    assert len(set(names)) == len(names)
    assert all(name == name.lower() and " " not in name for name in names)
    for group in record.one_of:
        assert set(group.names) <= set(names)


def test_every_kind_of_device_has_a_form() -> None:
    assert list(devices.DEVICES) == list(DEVICE_KINDS)
    for name, kind in DEVICE_KINDS.items():
        assert {name, *(value.name for value in kind.values)} <= set(DEVICES[name].by_name)
