"""A key for what records say: the same on every run, machine and hash seed, whatever order sets come in."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from functools import lru_cache
from pathlib import PurePath

from authorkit.store.toolkit import toolkit_digest

_PLAIN = (str, bytes, int, float, complex, Fraction, Decimal, date, type(None))


def content(record: object, without: Iterable[str] = ("place",)) -> object:
    """What a record says, as plain tuples, without the named fields (where it was said) and those never compared.

    Raises TypeError for anything that has no lasting written form, such as a function or an array.
    """
    return _content(record, frozenset(without))


def content_key(kind: str, *facts: object, without: Iterable[str] = ("place",)) -> str:
    """The name under which something made of these facts by this toolkit is kept: 40 hexadecimal digits.

    `kind` tells apart what may be made of the same facts. Raises TypeError as `content` does.
    """
    told = repr(_content(facts, frozenset(without)))
    text = f"{toolkit_digest()}\n{kind}\n{told}"
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:40]


def _content(record: object, skipped: frozenset[str]) -> object:
    if isinstance(record, Enum):
        return (type(record).__name__, record.name)
    if isinstance(record, _PLAIN):
        return record
    if isinstance(record, (tuple, list)):
        return tuple(_content(item, skipped) for item in record)
    if is_dataclass(record) and not isinstance(record, type):
        names = (name for name in _told_fields(type(record)) if name not in skipped)
        return (type(record).__name__, *(_content(getattr(record, name), skipped) for name in names))
    if isinstance(record, (frozenset, set)):
        return ("set", *sorted((_content(item, skipped) for item in record), key=repr))
    if isinstance(record, Mapping):
        return tuple((_content(key, skipped), _content(value, skipped)) for key, value in _sorted(record))
    if isinstance(record, PurePath):
        return record.as_posix()
    raise TypeError(f"{type(record).__name__} has no lasting written form to make a key of")


def _sorted(mapping: Mapping[object, object]) -> list[tuple[object, object]]:
    """The entries in an order that does not depend on how they were put in."""
    return sorted(mapping.items(), key=lambda entry: repr(_content(entry[0], frozenset())))


@lru_cache(maxsize=1024)
def _told_fields(record: type) -> tuple[str, ...]:
    """The fields that make two records equal; a field left out of comparisons says where or how, not what."""
    return tuple(item.name for item in fields(record) if item.compare)
