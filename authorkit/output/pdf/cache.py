"""Typeset parts kept on disk from build to build, keyed by everything they were made from.

A part that is found is the one that would be typeset. The folder may be deleted at any time, two builds may use it at
once, and an entry that cannot be read is made anew.
"""

from __future__ import annotations

import hashlib
import json
import os
import tempfile
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import asdict, dataclass
from functools import lru_cache
from importlib.metadata import version
from pathlib import Path
from typing import Any

from authorkit.drawing.font import font_folder
from authorkit.output.pdf.parts import Layout, Numbers, Part, Spot, Typeset

_ENTRY, _ASIDE = ".part", ".aside"
# Entries of other builds (the other sheet, a class) are kept up to this many times the size of the present one.
_OTHER_BUILDS = 4
_STALE = 3600 * 10**9  # nanoseconds


def key_of(part: Part, numbers: Numbers) -> str:
    """The name of a part with these page numbers in the cache."""
    return hashlib.sha256(f"{_maker()}\n{part.digest}\n{numbers!r}".encode("utf-8", "surrogatepass")).hexdigest()[:40]


@lru_cache(maxsize=1)
def _maker() -> str:
    """A digest of what turns a part into a file: the libraries, the fonts and the modules of this folder."""
    digest = hashlib.sha256(f"typst {version('typst')}, pikepdf {version('pikepdf')}".encode())
    for file in (*sorted(font_folder().glob("*.ttf")), *sorted(Path(__file__).parent.glob("*.py"))):
        digest.update(hashlib.sha256(file.read_bytes()).digest())
    return digest.hexdigest()


@dataclass(frozen=True)
class PartCache:
    """Typeset parts by key; without a folder nothing is kept. `sheet` names the list of what was typeset last."""

    folder: Path | None
    sheet: str

    def read(self, key: str) -> Typeset | None:
        """A part as it was typeset before, or None."""
        if self.folder is None:
            return None
        return _read_entry(self.folder / f"{key}{_ENTRY}")

    def keep(self, key: str, made: Typeset) -> None:
        """Keep a part for the next build. A full disk costs only the entry."""
        if self.folder is not None:
            _write_aside(self.folder / f"{key}{_ENTRY}", _entry(made))

    def last_layouts(self, parts: Sequence[Part]) -> list[Layout | None]:
        """How each part came out when it was last typeset, whatever was in it then: a good guess of how it will."""
        if self.folder is None:
            return [None] * len(parts)
        keys = _read_last(self.folder / self._last)
        printed = {name for part in parts for name in part.printed}
        layouts: list[Layout | None] = []
        for part in parts:
            entry = _read_entry(self.folder / f"{keys.get(part.anchor, '')}{_ENTRY}")
            known = entry and printed.intersection(part.names) <= entry.layout.spots.keys()
            layouts.append(entry.layout if entry and known else None)
        return layouts

    def settle(self, keys: dict[str, str]) -> None:
        """After a build: remember the keys of the parts (by anchor), forget what has not been used for long."""
        if self.folder is None or not self.folder.is_dir():
            return
        last = _read_last(self.folder / self._last) | keys
        alive = {anchor: key for anchor, key in last.items() if (self.folder / f"{key}{_ENTRY}").exists()}
        _write_aside(self.folder / self._last, json.dumps(alive, sort_keys=True).encode())
        _prune(self.folder, {f"{key}{_ENTRY}" for key in keys.values()})

    @property
    def _last(self) -> str:
        return f"last-{self.sheet}.json"


def _entry(made: Typeset) -> bytes:
    """A digest of the rest, a line with the layout, the file."""
    rest = json.dumps(asdict(made.layout), sort_keys=True).encode() + b"\n" + made.pdf
    return hashlib.sha256(rest).hexdigest().encode() + b"\n" + rest


def _read_entry(path: Path) -> Typeset | None:
    """An entry, marked as used just now; None if there is none or if a single bit of it is wrong."""
    try:
        digest, _, rest = path.read_bytes().partition(b"\n")
        if hashlib.sha256(rest).hexdigest().encode() != digest:
            return None
        os.utime(path)
    except OSError:
        return None
    head, _, pdf = rest.partition(b"\n")
    try:
        told = json.loads(head)
        spots = {name: Spot(spot["page"], spot["below_top"]) for name, spot in told["spots"].items()}
        return Typeset(Layout(told["pages"], spots), pdf)
    except (ValueError, KeyError, TypeError, AttributeError):  # kept by another version of the toolkit
        return None


def _read_last(path: Path) -> dict[str, str]:
    try:
        told: Any = json.loads(path.read_bytes())
    except (OSError, ValueError):
        return {}
    return {str(anchor): str(key) for anchor, key in told.items()} if isinstance(told, dict) else {}


def _write_aside(path: Path, data: bytes) -> None:
    """Write aside, then swap, so that nobody ever reads half an entry."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=path.parent, suffix=_ASIDE)
    except OSError:
        return
    aside = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        aside.replace(path)
    except OSError:
        _delete(aside)


def _prune(folder: Path, present: set[str]) -> None:
    """Delete the entries that were not used for longest, as far as they are more than a few builds need."""
    sizes = {path: status for path in folder.glob(f"*{_ENTRY}") if (status := _status(path))}
    room = _OTHER_BUILDS * sum(size for path, (_, size) in sizes.items() if path.name in present)
    others = (path for path in sizes if path.name not in present)
    for path in sorted(others, key=lambda path: (-sizes[path][0], path.name)):
        room -= sizes[path][1]
        if room < 0:
            _delete(path)
    _sweep(folder)


def _sweep(folder: Path) -> None:
    """Delete what builds that were stopped left half written: everything aside for longer than any writing takes."""
    asides = {path: status[0] for path in folder.glob(f"*{_ASIDE}") if (status := _status(path))}
    newest = max((status[0] for path in folder.iterdir() if (status := _status(path))), default=0)
    for path, written in asides.items():
        if newest - written > _STALE:
            _delete(path)


def _delete(path: Path) -> None:
    """Delete a file; one that is gone already or belongs to somebody else costs only its room."""
    with suppress(OSError):
        path.unlink()


def _status(path: Path) -> tuple[int, int] | None:
    """When an entry was last used (nanoseconds), and its size; None if another build just deleted it."""
    try:
        status = path.stat()
    except OSError:
        return None
    return status.st_mtime_ns, status.st_size
