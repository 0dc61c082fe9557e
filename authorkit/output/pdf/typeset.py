"""One part through the typesetter: a plain function of its data, so that parts can be made side by side."""

from __future__ import annotations

import json
import re
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache
from pathlib import Path
from typing import Any

import typst

from authorkit.drawing.font import font_folder
from authorkit.output.pdf.parts import Fault, Layout, Numbers, Outcome, Part, Spot, Typeset
from authorkit.output.pdf.prepare import prepare

# Archival and accessible; also makes the typesetter refuse pictures without words and signs without a glyph.
_STANDARDS: list[Any] = ["a-2a", "ua-1"]
_POINTS_PER_MM = 72 / 25.4
_REMEMBERED_FOR = 12  # compilations, and two to be sure


def typeset(part: Part, numbers: Numbers) -> Outcome:
    """The part as a file, or why there is none. Whatever the typesetter warns of is a fault: it is silent enough."""
    try:
        return _typeset(part, numbers)
    finally:
        _let_go()


def _typeset(part: Part, numbers: Numbers) -> Outcome:
    with _compiler(part, numbers) as compiler:
        try:
            raw, warnings = compiler.compile_with_warnings(
                format="pdf", timestamp=part.timestamp, pdf_standards=_STANDARDS
            )
        except typst.TypstError as error:
            return (_told(error),)
        if warnings:
            return tuple(_told(warning) for warning in warnings)
        told = _ask(compiler)
    if told["full"] and (fault := _measured(part, numbers)):
        return (fault,)
    assert isinstance(raw, bytes)  # a PDF is one file
    layout = _layout(told)
    return Typeset(layout, prepare(raw, part, layout, numbers))


def depict(part: Part, numbers: Numbers, dots_per_inch: float) -> tuple[bytes, ...] | tuple[Fault, ...]:
    """The pages of a part as PNG pictures, or why there are none: the printed pages, seen on a screen."""
    with _compiler(part, numbers) as compiler:
        try:
            made, warnings = compiler.compile_with_warnings(format="png", ppi=dots_per_inch)
        except typst.TypstError as error:
            return (_told(error),)
        if warnings:
            return tuple(_told(warning) for warning in warnings)
        told = _ask(compiler)
    _let_go()
    if told["full"] and (fault := _measured(part, numbers)):
        return (fault,)
    return (made,) if isinstance(made, bytes) else tuple(page for page in made or () if page is not None)


def lay_out(part: Part, numbers: Numbers) -> Layout | None:
    """Only where its names come to stand, which takes less than the file; None if the part cannot be typeset."""
    with _compiler(part, numbers) as compiler:
        try:
            return _layout(_ask(compiler))
        except RuntimeError:  # why it cannot is told by `typeset`
            return None
        finally:
            _let_go()


@contextmanager
def _compiler(part: Part, numbers: Numbers, *, measure: bool = False) -> Iterator[typst.Compiler]:
    """The typesetter before a part, in a folder that holds nothing else: it follows links and reads what lies there."""
    with tempfile.TemporaryDirectory(prefix="authorkit-pdf-") as name:
        folder = Path(name).resolve()
        told = json.dumps({"first": numbers.first, "pages": dict(numbers.pages), "measure": measure}, sort_keys=True)
        for path, data in {**part.files, "numbers.json": told.encode()}.items():
            (folder / path).parent.mkdir(exist_ok=True)
            (folder / path).write_bytes(data)
        main = str(folder / "main.typ")
        yield typst.Compiler(main, root=str(folder), font_paths=_shipped_fonts(), ignore_system_fonts=True)


def _let_go() -> None:
    """Compile nothing, until the typesetter has dropped what it remembers of earlier parts.

    It drops a thing at the end of the tenth compilation that did not need it. Parts have next to nothing in common, so
    that remembering costs memory (several hundred megabytes) and gains no time.
    """
    for _ in range(_REMEMBERED_FOR):
        typst.Compiler(b"", font_paths=_shipped_fonts(), ignore_system_fonts=True).compile(format="svg")


@lru_cache(maxsize=1)
def _shipped_fonts() -> typst.Fonts:
    """No other font than the shipped ones, so that every machine gives the same file."""
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(font_folder())])


def _ask(compiler: typst.Compiler) -> dict[str, Any]:
    told: dict[str, Any] = json.loads(compiler.query("<part-map>", field="value", one=True))
    return told


def _layout(told: dict[str, Any]) -> Layout:
    """Millimetres become points."""
    return Layout(told["pages"], {name: Spot(page, below * _POINTS_PER_MM) for name, page, below in told["places"]})


def _measured(part: Part, numbers: Numbers) -> Fault | None:
    """What is taller than a page, when something fills one; None if it just fits."""
    with _compiler(part, numbers, measure=True) as compiler:
        try:
            _ask(compiler)
        except RuntimeError as error:
            return _too_tall(str(error))
    return None


def _told(said: typst.TypstError | typst.TypstWarning) -> Fault:
    """What the typesetter says; the theme stops it where it finds something too tall."""
    return _too_tall(said.message) or Fault(f"the typesetter says: {said.message}", " ".join(said.hints) or None)


def _too_tall(message: str) -> Fault | None:
    found = re.search(r"too tall\|([\d.]+)\|([\d.]+)\|(.*?)\"?$", message)
    if not found:
        return None
    height, room, name = found.groups()
    return Fault(
        f"'{name}' is {float(height):.0f} mm tall, but the page has {float(room):.0f} mm and it cannot be parted.",
        "Make it shorter, or divide it.",
    )
