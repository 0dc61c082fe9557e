"""Did you mean ...? The closest of the words that would have been right."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

_LONGEST = 60  # comparing longer texts is slow, and nobody mistypes a key of this length


def closest(word: str, choices: Iterable[str], *, cutoff: float = 0.6) -> str | None:
    """The choice most like `word`, whatever its case and separators; None if none is near enough.

    `cutoff` is the least likeness, from 0 to 1, as difflib counts it.
    """
    folded: dict[str, str] = {}
    for choice in choices:
        folded.setdefault(_fold(choice), choice)
    if len(word) > _LONGEST:
        return None
    found = get_close_matches(_fold(word), list(folded), n=1, cutoff=cutoff)
    return folded[found[0]] if found else None


def did_you_mean(*suggestions: str | None) -> str | None:
    """The question that offers a correction; None if there is nothing to offer."""
    quoted = [f"'{each}'" for each in suggestions if each]
    return f"Did you mean {' or '.join(quoted)}?" if quoted else None


def _fold(word: str) -> str:
    return word.strip().casefold().replace("_", "-").replace(" ", "-")
