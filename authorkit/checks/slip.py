"""Slips of the finger: two names that one wrong, missing, extra or swapped letter keeps apart."""

from __future__ import annotations

from collections.abc import Iterable


def slip_of(typed: str, names: Iterable[str]) -> str | None:
    """The name that was probably meant: two letters swapped before any other slip; None if no name is so near."""
    near = [name for name in names if is_slip(typed, name)]
    return min(near, key=lambda name: (sorted(name) != sorted(typed), name), default=None)


def is_slip(typed: str, meant: str) -> bool:
    """Whether exactly one slip lies between two names.

    >>> is_slip("X21", "X12"), is_slip("X12", "X12"), is_slip("K13", "K131")
    (True, False, True)
    """
    if len(typed) == len(meant):
        wrong = [number for number in range(len(typed)) if typed[number] != meant[number]]
        if len(wrong) == 2:
            first, second = wrong
            return typed[first] == meant[second] and typed[second] == meant[first]
        return len(wrong) == 1
    shorter, longer = sorted((typed, meant), key=len)
    return len(longer) == len(shorter) + 1 and any(
        longer[:number] + longer[number + 1 :] == shorter for number in range(len(longer))
    )
