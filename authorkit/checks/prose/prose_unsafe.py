"""Prose holds raw HTML, or an address that does more than lead to a page of the web."""

from __future__ import annotations

import re
from collections.abc import Iterator

from authorkit.checks.prose.markdown_spots import Spot, spots
from authorkit.checks.subject import Subject
from authorkit.problems import Problem

RULE = "prose-unsafe"

# Browsers ignore spaces and control characters inside a scheme. One letter is a drive, which link-dangling reports.
_SCHEME = re.compile(r"\s*([a-z](?:[\s\x00-\x1f]*[a-z0-9+.-])+)[\s\x00-\x1f]*:", re.IGNORECASE)
# Schemes that only lead somewhere; others run something ('javascript:'), carry something ('data:') or depend on the
# reader's computer ('file:'). A picture may not even be fetched from the web: the manual is read offline.
_LEADING = ("http", "https", "mailto")
_PASTED = "attachment"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each tag and address. Pictures pasted into a notebook are link-dangling."""
    for passage in subject.passages:
        for spot in spots(passage):
            scheme = _scheme(spot.target)
            if spot.kind == "html":
                if not spot.target.startswith("</"):
                    yield _html(spot)
            elif scheme and scheme != _PASTED and (spot.kind == "picture" or scheme not in _LEADING):
                yield _address(spot, scheme)


def _scheme(target: str) -> str:
    match = _SCHEME.match(target)
    return re.sub(r"[\s\x00-\x1f]", "", match[1]).lower() if match else ""


def _html(spot: Spot) -> Problem:
    shown = _short(spot.target.split("\n")[0])
    if spot.target.startswith("<!--"):
        advice = "A comment is no secret on a page: move it to a raw cell."
    else:
        advice = "Write it in Markdown, or put it between back-quotes if the reader shall see it as it is."
    return Problem(
        RULE,
        f"The prose holds raw HTML: '{shown}'. No page takes it over.",
        spot.place,
        found=shown,
        expected="Markdown",
        suggestion=advice,
    )


def _address(spot: Spot, scheme: str) -> Problem:
    if spot.kind == "picture":
        expected, advice = "a file below figures/", "Save the picture below figures/ and name it under 'figures'."
    else:
        expected = "an address that begins with https:, http: or mailto:, or a live reference"
        advice = "Link to a web address, or use a live reference such as {code:P0118}."
    return Problem(
        RULE,
        f"The {spot.kind} '{_short(spot.target)}' uses the scheme '{scheme}:', which is not allowed there.",
        spot.place,
        found=f"{scheme}:",
        expected=expected,
        suggestion=advice,
    )


def _short(text: str) -> str:
    return text if len(text) <= 60 else f"{text[:60]}…"
