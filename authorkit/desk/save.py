"""Writing over a file of the author's: at every moment the old text or the new one is there, whole."""

from __future__ import annotations

import os
import stat
import tempfile
from contextlib import suppress
from pathlib import Path


class NotSavedError(Exception):
    """Why a file was left as it is, in a few words that end a sentence."""


def replace_text(path: Path, before: bytes, text: str) -> None:
    """Give a file a new text; its mode and owner stay, and a symbolic link stays one: the file it leads to is replaced.

    `before` is what the new text was made from: a file that was saved by somebody else meanwhile is left alone, and so
    is one that may not be written. Raises NotSavedError.
    """
    target = path.resolve()
    try:
        status = target.stat()
        if not status.st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH) or not os.access(target, os.W_OK):
            raise NotSavedError("it is read-only")
        handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}.", suffix=".part")
        aside = Path(name)
        try:
            _fill(handle, text.encode("utf-8"), status)
            aside.chmod(stat.S_IMODE(status.st_mode))
            if target.read_bytes() != before:
                raise NotSavedError("it was saved by another program meanwhile")
            aside.replace(target)
        finally:
            aside.unlink(missing_ok=True)
        _settle(target.parent)
    except OSError as error:
        raise NotSavedError(error.strerror or str(error)) from error


def _fill(handle: int, data: bytes, status: os.stat_result) -> None:
    """Write everything to the disk itself, for the owner of the old file where that is allowed."""
    with os.fdopen(handle, "wb") as file:
        file.write(data)
        file.flush()
        if hasattr(os, "chown"):
            with suppress(OSError):
                os.chown(file.fileno(), status.st_uid, status.st_gid)
        os.fsync(file.fileno())


def _settle(folder: Path) -> None:
    """Bring the renaming itself to the disk, where the system can do that for a folder."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
