"""Links inside the manual on their way through the typesetter.

A part is typeset alone and knows nothing of the others, so each link inside the manual leaves the typesetter as an
address that names its target and its words; the finishing makes a place of the file of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import quote, unquote

_SCHEME = "manual-place:"


@dataclass(frozen=True)
class InsideLink:
    """The name of the place that a link leads to, and the words it says."""

    target: str
    words: str


def address_of(target: str, words: str) -> str:
    """The address of a place in the manual, in ASCII.

    >>> address_of("P0118", "the other code")
    'manual-place:P0118?the%20other%20code'
    """
    return f"{_SCHEME}{quote(target, safe='')}?{quote(words, safe='')}"


def link_of(address: str) -> InsideLink | None:
    """What an address made by `address_of` names; None for any other address."""
    if not address.startswith(_SCHEME):
        return None
    target, _, words = address.removeprefix(_SCHEME).partition("?")
    return InsideLink(unquote(target), unquote(words))
