"""A Markdown link leads to a file or a heading that does not exist."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from pathlib import Path, PurePosixPath
from urllib.parse import unquote

from authorkit.checks.nearest import nearest
from authorkit.checks.prose.anchors import folded, sub_headings
from authorkit.checks.prose.markdown_spots import Spot, spots
from authorkit.checks.subject import Subject
from authorkit.model.chapter import SECTIONS
from authorkit.problems import Problem

RULE = "link-dangling"

# Two letters or more: 'C:' is a drive.
_SCHEME = re.compile(r"[a-zA-Z][a-zA-Z0-9+.-]+:")
_PASTED = "attachment:"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such link. Web addresses are not looked up; unsafe ones have a rule of their own."""
    headings = _headings(subject)
    for passage in subject.passages:
        for spot in spots(passage):
            if spot.kind != "html" and (spot.target.startswith(_PASTED) or not _SCHEME.match(spot.target)):
                problem = _problem(spot, headings, subject.book.folder)
                if problem is not None:
                    yield problem


def _headings(subject: Subject) -> Mapping[str, set[str]]:
    """The anchors of each notebook: its own headings, and the sections that every chapter has."""
    found: dict[str, set[str]] = defaultdict(set)
    for chapter in subject.book.chapters:
        found[chapter.file] |= {folded(heading) for heading in SECTIONS.values()}
        found[chapter.file] |= {folded(f"{chapter.code} {chapter.title}"), folded(chapter.code.text)}
    for page in subject.book.front:
        found[page.file].add(folded(page.title))
    for passage in subject.passages:
        if passage.is_prose:
            found[passage.place.file] |= {folded(heading.text) for heading in sub_headings(passage)}
    return found


def _problem(spot: Spot, headings: Mapping[str, set[str]], folder: Path) -> Problem | None:
    path, _, anchor = spot.target.partition("#")
    if spot.target.startswith(_PASTED):
        return _pasted(spot)
    if not spot.target:
        return _dangling(spot, "leads nowhere", "an address between the brackets", "Add the address.")
    if not path:
        return None if _is_heading(anchor, spot.place.file, headings) else _no_heading(spot, anchor)
    file = _inside(folder, spot.place.file, path)
    if file is None:
        return _dangling(
            spot,
            "leads out of the manual's folder",
            "a file inside the manual's folder, named from the notebook's own folder",
            "Copy the file into figures/ and link to '../figures/NAME'.",
        )
    if not _exists(folder / file):
        return _no_file(spot, folder, file)
    if anchor and file in headings and not _is_heading(anchor, file, headings):
        return _no_heading(spot, anchor)
    return None


def _is_heading(anchor: str, file: str, headings: Mapping[str, set[str]]) -> bool:
    return folded(unquote(anchor)) in headings.get(file, set())


def _inside(folder: Path, notebook: str, path: str) -> str | None:
    """The file that a link from a notebook names, relative to the manual's folder; None if it lies outside."""
    plain = unquote(path)
    if plain.startswith("/") or "\\" in plain or re.match(r"[a-zA-Z]:", plain):
        return None
    parts: list[str] = list(PurePosixPath(notebook).parent.parts)
    for part in PurePosixPath(plain).parts:
        if part != "..":
            parts.append(part)
        elif parts:
            parts.pop()
        else:
            return None
    file = "/".join(parts)
    try:
        inside = (folder / file).resolve().is_relative_to(folder.resolve())
    except (OSError, ValueError, RuntimeError):
        # A name that no file can have, or a ring of links: it is looked for, and not found.
        return file
    return file if inside else None


def _exists(path: Path) -> bool:
    try:
        return path.exists()
    except (OSError, ValueError, RuntimeError):
        return False


def _no_file(spot: Spot, folder: Path, file: str) -> Problem:
    parent = (folder / file).parent
    siblings = [path.name for path in parent.iterdir()] if _exists(parent) and parent.is_dir() else []
    advice = "Correct the name, or use a live reference such as {code:P0118}."
    name = PurePosixPath(file).name
    return _dangling(
        spot, f"leads to '{file}', which does not exist", "a file that exists", nearest(name, siblings, advice)
    )


def _no_heading(spot: Spot, anchor: str) -> Problem:
    return _dangling(
        spot,
        f"leads to the heading '{anchor}', which the notebook does not have",
        "a heading of the notebook, with dashes for spaces",
        "Use a live reference such as {section:readings} or {step:4}.",
    )


def _pasted(spot: Spot) -> Problem:
    return _dangling(
        spot,
        "is a picture pasted into the notebook, which the manual does not hold",
        "a picture below figures/",
        "Save it below figures/ and name it under 'figures' in the facts.",
    )


def _dangling(spot: Spot, what: str, expected: str, suggestion: str) -> Problem:
    return Problem(
        RULE,
        f"The {spot.kind} '{spot.target}' {what}.",
        spot.place,
        found=spot.target or "nothing",
        expected=expected,
        suggestion=suggestion,
    )
