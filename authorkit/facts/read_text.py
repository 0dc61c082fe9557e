"""A file of the author's as text: it must be there, of a sane size, and UTF-8."""

from __future__ import annotations

import codecs
from pathlib import Path

from authorkit.problems import Place, Problem
from authorkit.problems.closest import closest

LARGEST_FILE = 20_000_000
"""Bytes of the largest notebook that is read: pictures in cells included, this is far beyond a chapter."""

_UTF_16 = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)


def read_text(folder: Path, file: str) -> tuple[str | None, tuple[Problem, ...]]:
    """The text of `file` (relative to `folder`, with '/'), line ends as they are, a byte-order mark removed."""
    path = folder / file
    try:
        if not path.exists():
            return None, (_missing(folder, file),)
        if not path.is_file():
            return None, (_unopened(file, "it is not a file"),)
        size = path.stat().st_size
        if size > LARGEST_FILE:
            return None, (_too_large(file, size),)
        data = path.read_bytes()
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "the name is not one of a file"
        return None, (_unopened(file, reason),)
    return _decoded(data, file)


def _decoded(data: bytes, file: str) -> tuple[str | None, tuple[Problem, ...]]:
    if data.startswith(_UTF_16) or b"\x00" in data[:4]:
        return None, (_wrong_encoding(Place(file), "UTF-16", "the whole file is UTF-16"),)
    try:
        return data.decode("utf-8-sig"), ()
    except UnicodeDecodeError as error:
        line_start = data.rfind(b"\n", 0, error.start) + 1
        before = data[line_start : error.start].decode("utf-8", "replace").removeprefix("\ufeff")
        place = Place(file, 0, data.count(b"\n", 0, error.start) + 1, len(before) + 1)
        byte = data[error.start]
        letter = bytes([byte]).decode("cp1252", "replace")
        meant = f", which is '{letter}' in Windows-1252" if letter.isalnum() or letter in "°µ±²³·" else ""
        return None, (_wrong_encoding(place, f"byte 0x{byte:02X}", f"it holds the byte 0x{byte:02X}{meant}"),)


def _missing(folder: Path, file: str) -> Problem:
    parent = folder / Path(file).parent
    siblings = sorted(path.name for path in parent.iterdir()) if parent.is_dir() else []
    near = closest(Path(file).name, siblings)
    suggestion = f"Rename '{near}' to '{Path(file).name}'." if near else f"Create '{file}' in the manual's folder."
    return Problem(
        "file-missing", f"The file '{file}' is not there.", Place(file), expected=file, suggestion=suggestion
    )


def _unopened(file: str, reason: str) -> Problem:
    return Problem(
        "file-missing",
        f"The file '{file}' cannot be opened: {reason}.",
        Place(file),
        found=reason,
        expected="a file that can be read",
        suggestion="Check the file's name and its permissions.",
    )


def _too_large(file: str, size: int) -> Problem:
    return Problem(
        "notebook-too-large",
        f"The file '{file}' is {size / 1e6:.1f} MB large, more than is read.",
        Place(file),
        found=f"{size / 1e6:.1f} MB",
        expected=f"at most {LARGEST_FILE / 1e6:.0f} MB",
        suggestion="Clear the outputs of the notebook and move its pictures to figures/.",
    )


def _wrong_encoding(place: Place, found: str, why: str) -> Problem:
    return Problem(
        "encoding-wrong",
        f"The file '{place.file}' is not UTF-8: {why}.",
        place,
        found=found,
        expected="a file in UTF-8",
        suggestion="Save it again as UTF-8, which JupyterLab always does.",
    )
