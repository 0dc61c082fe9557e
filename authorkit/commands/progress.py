"""How far a long command is: one line that changes, on a terminal; nothing anywhere else."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager

from authorkit.manual.telling import Tell, silent

_WIDTH = 24


@contextmanager
def progress() -> Iterator[Tell]:
    """Something to tell how far the work is, and a clean line afterwards, also when it is stopped."""
    if not sys.stderr.isatty():
        yield silent
        return
    try:
        yield _tell
    finally:
        sys.stderr.write("\r\x1b[K")
        sys.stderr.flush()


def _tell(what: str, done: int, whole: int) -> None:
    sys.stderr.write(f"\r\x1b[K{line(what, done, whole)}")
    sys.stderr.flush()


def line(what: str, done: int, whole: int) -> str:
    """A bar with what it counts.

    >>> line("pages composed", 3, 6)
    '[############            ] 3 of 6 pages composed'
    """
    if not done:
        return f"{what} ..."
    filled = _WIDTH * done // max(whole, 1)
    return f"[{'#' * filled}{' ' * (_WIDTH - filled)}] {done} of {whole} {what}"
