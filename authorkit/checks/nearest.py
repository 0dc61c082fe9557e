"""A suggestion where a name is unknown: the nearest one that exists."""

from __future__ import annotations

from collections.abc import Iterable

from authorkit.checks.slip import slip_of
from authorkit.problems.closest import closest


def nearest(name: str, choices: Iterable[str], otherwise: str) -> str:
    """'Did you mean ...?' with the choice most like `name`; the other advice if none is like it."""
    others = sorted(set(choices) - {name})
    near = slip_of(name, others) or closest(name, others)
    return f"Did you mean '{near}'?" if near else otherwise


def listed(choices: Iterable[str], most: int = 12) -> str:
    """The choices in a sentence; only how many there are if they are more than `most`."""
    names = list(dict.fromkeys(choices))
    if not names:
        return "none, because none is declared"
    return f"one of {', '.join(names)}" if len(names) <= most else f"one of {len(names)} names, such as '{names[0]}'"
