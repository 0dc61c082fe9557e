"""What a line must not break inside: codes, colours, values with their unit."""

from __future__ import annotations

import re
from collections.abc import Iterator

LONGEST_UNPARTED = 24  # signs of a typed code that is kept on one line

SPACES = re.compile(r"[ \t\r\n]+")
_UNPARTED = re.compile(
    r"(?:(?<!\w)[−-])?\b\d[\d.,]*\u0020(?:[mkM]?(?:V|A|W|Ω|Hz)|°C|[mµ]?s|[cm]?m|mm[2²]|N·?m|bar|k?Pa|%|min|h)(?!\w)"
    r"|(?<!\S)[(\['\"]?[\w.+]{1,12}(?:[-/][\w.+]{1,12}){1,3}(?![-/\w])"
)


def pieces_of(text: str) -> Iterator[tuple[str, bool]]:
    """Text in pieces, each with whether it must stay on one line; line ends and runs of spaces are one space.

    >>> list(pieces_of("Read 4.9 V at B5."))
    [('Read ', False), ('4.9 V', True), (' at B5.', False)]
    """
    text = SPACES.sub(" ", text)
    end = 0
    for match in _UNPARTED.finditer(text):
        if match.start() > end:
            yield text[end : match.start()], False
        yield match.group(), True
        end = match.end()
    if end < len(text) or not text:
        yield text[end:], False
