"""Finished pictures kept on disk, keyed by everything they were made from, so that nothing is drawn twice.

The key holds the facts, the code of the toolkit and the version of the drawing library: a picture that is found is the
one that would be drawn. The folder may be deleted at any time. An entry that cannot be read is drawn anew.
"""

from __future__ import annotations

import hashlib
import json
import os
import tempfile
from collections.abc import Callable, Iterable
from dataclasses import asdict, dataclass, field, fields, is_dataclass
from functools import lru_cache
from importlib.metadata import version
from pathlib import Path

from authorkit.drawing.picture import Picture
from authorkit.problems import Problem

Drawn = tuple[tuple[Picture, ...], tuple[Problem, ...]]


@dataclass
class PictureStore:
    """Pictures by key. Without a folder everything is drawn each time."""

    folder: Path | None = None
    used: set[str] = field(default_factory=set)

    def pictures(self, kind: str, facts: object, draw: Callable[[], Drawn]) -> Drawn:
        """The pictures of some facts: from disk if they are there, else drawn and kept.

        `kind` tells apart what may be drawn of the same facts. Pictures with findings are not kept: the findings name
        places, which are no part of the key.
        """
        if self.folder is None:
            return draw()
        key = _key(kind, facts)
        self.used.add(key)
        kept = _read(self.folder / f"{key}.json")
        if kept is not None:
            return kept, ()
        made, problems = draw()
        if not problems:
            _write(self.folder / f"{key}.json", made)
        return made, problems

    def prune(self) -> None:
        """Forget what this build did not use, so that the folder does not grow without bound."""
        if self.folder is None or not self.folder.is_dir():
            return
        for path in sorted(self.folder.iterdir()):
            if path.stem not in self.used:
                path.unlink(missing_ok=True)


def content(record: object, without: Iterable[str] = ("place",)) -> object:
    """What a record says, as plain tuples, without the named fields (where it was said)."""
    skipped = frozenset(without)
    if isinstance(record, (tuple, list)):
        return tuple(content(item, skipped) for item in record)
    if is_dataclass(record):
        return (
            type(record).__name__,
            *(content(getattr(record, item.name), skipped) for item in fields(record) if item.name not in skipped),
        )
    if isinstance(record, (frozenset, set)):
        return tuple(sorted(repr(content(item, skipped)) for item in record))
    if isinstance(record, dict):
        return tuple((key, content(value, skipped)) for key, value in sorted(record.items(), key=repr))
    return record


def _key(kind: str, facts: object) -> str:
    return hashlib.sha256(f"{_toolkit()}\n{kind}\n{content(facts)!r}".encode()).hexdigest()[:32]


@lru_cache(maxsize=1)
def _toolkit() -> str:
    """A digest of the code that draws, and of the library it draws with."""
    package = Path(__file__).parent.parent
    digest = hashlib.sha256(version("schemdraw").encode())
    for path in sorted(package.rglob("*.py")):
        digest.update(path.read_bytes())
    return digest.hexdigest()


def _read(path: Path) -> tuple[Picture, ...] | None:
    try:
        entries = json.loads(path.read_bytes())
        return tuple(Picture(**{**entry, "svg": entry["svg"].encode()}) for entry in entries)
    except (OSError, ValueError, TypeError, KeyError, AttributeError):
        return None


def _write(path: Path, pictures: tuple[Picture, ...]) -> None:
    """Write aside, then swap, so that nobody ever reads half an entry. A full disk costs only the entry."""
    text = json.dumps([{**asdict(picture), "svg": picture.svg.decode()} for picture in pictures])
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=path.parent, suffix=".part")
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(text)
        Path(name).replace(path)
    except OSError:
        return
