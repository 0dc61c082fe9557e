"""A Markdown link or picture leads to something that is not in the manual."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from urllib.parse import unquote

from authorkit.checks.nearest import nearest
from authorkit.checks.passage import Passage
from authorkit.checks.prose.figure_files import FIGURES, normal
from authorkit.checks.prose.markdown_spots import Spot, spots
from authorkit.checks.subject import Subject
from authorkit.model.chapter import SECTIONS
from authorkit.problems import Problem

RULE = "link-dangling"

# Two letters or more: 'C:' is a drive.
_SCHEME = re.compile(r"\s*[a-zA-Z][a-zA-Z0-9+.-]+:")
_PASTED = "attachment:"
_LISTED = ("part", "connector", "ground", "fuse", "term", "tool", "listed")
_ANCHOR = "the anchor of a page, heading, table, figure or step of the manual"


@dataclass(frozen=True)
class _Link:
    """A link or picture, the passage that it stands in, and what is being checked."""

    spot: Spot
    passage: Passage
    subject: Subject

    @property
    def folder(self) -> Path:
        return self.subject.book.folder

    def dangling(self, what: str, expected: str, suggestion: str) -> Problem:
        """The finding that it leads nowhere."""
        spot = self.spot
        return Problem(
            RULE,
            f"The {spot.kind} '{spot.target}' {what}.",
            spot.place,
            found=spot.target or "nothing",
            expected=expected,
            suggestion=suggestion,
        )


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such link. Web addresses are not looked up; unsafe ones have a rule of their own."""
    # Anchors inside a chapter begin with its code, those at the back with what they list. Whether such an anchor exists
    # is known when the pages are written, and proven then.
    starts = [*(re.escape(str(chapter.code)) for chapter in subject.book.chapters), *_LISTED]
    anchors = re.compile(rf"#(?:{'|'.join(starts)})(?:-.+)?")
    for passage in subject.passages:
        for spot in spots(passage):
            link = _Link(spot, passage, subject)
            if spot.kind != "html" and not anchors.fullmatch(spot.target):
                yield from _problems(link)


def _problems(link: _Link) -> Iterator[Problem]:
    target = link.spot.target
    if target.startswith(_PASTED):
        yield link.dangling(
            "is a picture pasted into the notebook, which the manual does not hold",
            f"a picture below {FIGURES}/",
            f"Save it below {FIGURES}/ and name it under 'figures' in the facts.",
        )
    elif not target:
        yield link.dangling("leads nowhere", "an address between the brackets", "Add the address.")
    elif target.startswith("#"):
        yield _heading(link, unquote(target[1:]))
    elif not _SCHEME.match(target) and not target.startswith("{"):
        yield from _file(link, unquote(target.partition("#")[0]))


def _heading(link: _Link, anchor: str) -> Problem:
    words = re.sub(r"[^a-z0-9]+", " ", anchor.lower()).strip()
    section = next((key for key, heading in SECTIONS.items() if heading.lower() == words), None)
    advice = f"Write '{{section:{section}}}'." if section else "Use a live reference such as {section:readings}."
    return link.dangling("leads to a heading of the notebook, which has no place in the manual", _ANCHOR, advice)


def _file(link: _Link, path: str) -> Iterator[Problem]:
    file = _inside(link.folder, link.passage.place.file, path)
    if file is None:
        yield link.dangling(
            "leads out of the manual's folder",
            "a file inside the manual's folder, named from the notebook's own folder",
            f"Copy the file into {FIGURES}/ and name it there.",
        )
    elif not _exists(link.folder / file):
        yield _no_file(link, file)
    elif link.spot.kind == "picture":
        yield from _picture(link, file)
    elif not _is_chapter(link, file):
        yield link.dangling(
            f"leads to '{file}', which the manual does not take along",
            "the notebook of a chapter, or a web address",
            "Use a live reference such as {code:P0118} or {figure:NAME}.",
        )


def _is_chapter(link: _Link, file: str) -> bool:
    """Whether a file is the notebook of a code under its own name."""
    stem = PurePosixPath(file).stem
    return file.endswith(".ipynb") and link.subject.names.find("code", stem, link.passage.chapter) is not None


def _picture(link: _Link, file: str) -> Iterator[Problem]:
    """A picture of a chapter is one of its figures, which says in words what it shows."""
    chapter = link.passage.chapter
    if chapter is not None and file not in {f"{FIGURES}/{normal(figure.file)}" for figure in chapter.figures}:
        yield link.dangling(
            f"shows '{file}', which is not among the figures of this chapter",
            "a file that is listed under 'figures' in the facts",
            "List it under 'figures' with an id, and write {figure:ID} here.",
        )


def _inside(folder: Path, notebook: str, path: str) -> str | None:
    """The file that a link from a notebook names, relative to the manual's folder; None if it lies outside."""
    if path.startswith("/") or "\\" in path or re.match(r"[a-zA-Z]:", path):
        return None
    parts: list[str] = list(PurePosixPath(notebook).parent.parts)
    for part in PurePosixPath(path).parts:
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


def _no_file(link: _Link, file: str) -> Problem:
    parent = (link.folder / file).parent
    siblings = [path.name for path in parent.iterdir()] if _exists(parent) and parent.is_dir() else []
    advice = "Correct the name, or use a live reference such as {code:P0118}."
    return link.dangling(
        f"leads to '{file}', which does not exist",
        "a file that exists",
        nearest(PurePosixPath(file).name, siblings, advice),
    )
