"""Telling how far the work is: whoever makes many things one after the other calls a `Tell`."""

from __future__ import annotations

from collections.abc import Callable

# What is made, how many are done, how many there are.
Tell = Callable[[str, int, int], None]


def silent(what: str, done: int, whole: int) -> None:
    """Tell nobody how far the work is."""
