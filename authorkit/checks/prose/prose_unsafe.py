"""Prose holds raw HTML, or a link that runs a program or reads a file of this computer."""

from __future__ import annotations

import re
from collections.abc import Iterator

from authorkit.checks.prose.markdown_spots import Spot, spots
from authorkit.checks.subject import Subject
from authorkit.problems import Problem

RULE = "prose-unsafe"

_COMMENT = re.compile(r"(?:<!--.*?-->\s*)+", re.DOTALL)
# Browsers ignore spaces and control characters inside a scheme.
_SCHEME = re.compile(r"\s*((?:[a-z][\s\x00-\x1f]*)+):", re.IGNORECASE)
_UNSAFE = ("javascript", "vbscript", "data", "file", "blob")


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each tag and link. A comment is not printed and does no harm."""
    for passage in subject.passages:
        for spot in spots(passage):
            if spot.kind == "html":
                if not _COMMENT.fullmatch(spot.target) and not spot.target.startswith("</"):
                    yield _html(spot)
            elif (scheme := _scheme(spot.target)) in _UNSAFE:
                yield _link(spot, scheme)


def _scheme(target: str) -> str:
    match = _SCHEME.match(target)
    return re.sub(r"[\s\x00-\x1f]", "", match[1]).lower() if match else ""


def _html(spot: Spot) -> Problem:
    first = spot.target.split("\n")[0]
    shown = first if len(first) <= 60 else f"{first[:60]}…"
    return Problem(
        RULE,
        f"The prose holds raw HTML: '{shown}'. No page takes it over.",
        spot.place,
        found=shown,
        expected="Markdown",
        suggestion="Write it in Markdown, or put it between back-quotes if the reader shall see it as it is.",
    )


def _link(spot: Spot, scheme: str) -> Problem:
    shown = spot.target if len(spot.target) <= 60 else f"{spot.target[:60]}…"
    return Problem(
        RULE,
        f"The {spot.kind} '{shown}' uses the scheme '{scheme}:', which no page may use.",
        spot.place,
        found=f"{scheme}:",
        expected="a web address, a file of the manual, or a live reference",
        suggestion="Save the picture below figures/ and name it there."
        if spot.kind == "picture"
        else "Link to a web address, or use a live reference such as {code:P0118}.",
    )
