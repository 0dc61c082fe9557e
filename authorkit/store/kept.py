"""Files kept from build to build by a key that names their content.

A folder of them may be deleted at any time, several builds may use it at once, a full or read-only disk costs only the
entry, and an entry with a single wrong bit is treated as absent. What was not used for longest goes first.
"""

from __future__ import annotations

import hashlib
import os
import tempfile
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

_ENTRY, _ASIDE = ".kept", ".aside"
_STALE = 3600 * 10**9  # nanoseconds: longer than writing any entry takes
_ROOM_LEFT = 0.8  # pruning goes down to this part of the limit, so that it is rare


@dataclass(eq=False)
class KeptFiles:
    """Bytes by key in a folder that stays below a limit; without a folder nothing is kept.

    Keys are made of letters, digits, '-' and '_'. An object may be handed to another process; each one keeps count of
    the folder by itself, so that a limit may be passed by what the others wrote until they look again.
    """

    folder: Path | None
    limit_bytes: int = 1 << 30
    _size: int | None = field(default=None, repr=False)

    def __contains__(self, key: str) -> bool:
        return self.folder is not None and (self.folder / f"{key}{_ENTRY}").exists()

    def get(self, key: str) -> bytes | None:
        """What was kept under a key, marked as used just now; None if there is nothing sound."""
        if self.folder is None:
            return None
        path = self.folder / f"{key}{_ENTRY}"
        try:
            data = path.read_bytes()
        except OSError:
            return None
        if data[:32] != hashlib.sha256(memoryview(data)[32:]).digest():
            return None
        with suppress(OSError):
            os.utime(path)
        return data[32:]

    def put(self, key: str, data: bytes) -> None:
        """Keep something under a key, in the place of what was there. If the disk refuses, nothing is kept."""
        if self.folder is None or len(data) > self.limit_bytes:
            return
        if _write_aside(self.folder / f"{key}{_ENTRY}", hashlib.sha256(data).digest() + data):
            self._grow(len(data) + 32)

    def _grow(self, added: int) -> None:
        """Count what was added; prune when it is too much."""
        assert self.folder is not None
        known = self._size is not None
        self._size = (self._size or 0) + added if known else _total(self.folder)
        if self._size > self.limit_bytes:
            self._size = prune(self.folder, int(self.limit_bytes * _ROOM_LEFT))


def prune(folder: Path, room: int) -> int:
    """Delete the entries that were not used for longest until the rest takes no more than `room` bytes; what is left.

    Files that stopped builds left half written go too, once they are older than any writing takes.
    """
    found = _listed(folder)
    newest = max((used for used, _, _ in found), default=0)
    left = 0
    for used, size, path in sorted(found, key=lambda entry: (-entry[0], entry[2])):
        half = path.suffix == _ASIDE
        if newest - used > _STALE if half else left + size > room:
            with suppress(OSError):
                path.unlink()
        else:
            left += size
    return left


def _total(folder: Path) -> int:
    return sum(size for _, size, _ in _listed(folder))


def _listed(folder: Path) -> list[tuple[int, int, Path]]:
    """When each file of ours was last used (nanoseconds), its size, where it is."""
    found = []
    with suppress(OSError), os.scandir(folder) as entries:
        for entry in entries:
            if entry.name.endswith((_ENTRY, _ASIDE)):
                with suppress(OSError):  # another build just deleted it
                    status = entry.stat(follow_symlinks=False)
                    found.append((status.st_mtime_ns, status.st_size, Path(entry.path)))
    return found


def _write_aside(path: Path, data: bytes) -> bool:
    """Write aside, then swap, so that nobody ever reads half an entry; False if the disk refuses."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=path.parent, suffix=_ASIDE)
    except OSError:
        return False
    aside = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        aside.replace(path)
    except OSError:
        with suppress(OSError):
            aside.unlink()
        return False
    return True
