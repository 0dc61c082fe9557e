"""References that a page turns into links: those outside code."""

from __future__ import annotations

import re
from collections.abc import Iterator

from authorkit.checks.passage import Passage
from authorkit.model.reference import Reference, find_references


def live_references(passage: Passage, pattern: re.Pattern[str] | None = None) -> Iterator[Reference]:
    """Every reference of a passage; `pattern` (kind, target) finds texts that only look like one as well."""
    if "{" not in passage.text:
        return
    text = passage.without_code
    if pattern is None:
        yield from find_references(text)
        return
    for match in pattern.finditer(text):
        yield Reference(match.group(1), match.group(2).strip(), match.start(), match.end())
