"""The whole book: the recipe, the vehicle, the chapters, the pages around them."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from authorkit.model.chapter import Chapter, Prose
from authorkit.model.vehicle import Vehicle
from authorkit.model.wiring import Wiring
from authorkit.problems import Place

PageSize = Literal["a4", "us-letter"]


@dataclass(frozen=True)
class Recipe:
    """`build/manual.yaml`: how the manual is put together.

    `page_sizes` holds 'a4' and/or 'us-letter'; one PDF is made for each. `classes` names selections of codes for
    teaching; `chapters` fixes an order of codes (others follow in code order). `series` limits the edition.
    `wire_colours` shows the colours of wires beside them in drawings of circuits, for print in colour.
    """

    title: str
    subtitle: str = ""
    publisher: str = ""
    edition: str = ""
    date: str = ""
    language: str = "en"
    page_sizes: tuple[PageSize, ...] = ("a4",)
    series: tuple[str, ...] = ()
    chapters: tuple[str, ...] = ()
    classes: tuple[tuple[str, tuple[str, ...]], ...] = ()
    wire_colours: bool = False
    place: Place = Place("build/manual.yaml")


@dataclass(frozen=True)
class FrontPage:
    """A notebook without facts: a page before the chapters ('How to read this manual')."""

    title: str
    file: str
    prose: tuple[Prose, ...]
    place: Place


@dataclass(frozen=True)
class Book:
    """Everything that was read. `folder` is the manual's folder (the one that holds chapters/ and figures/)."""

    folder: Path
    recipe: Recipe
    vehicle: Vehicle
    chapters: tuple[Chapter, ...]
    front: tuple[FrontPage, ...] = ()

    @property
    def wirings(self) -> tuple[Wiring, ...]:
        """What each notebook says about the harness, the vehicle's first."""
        return (self.vehicle.wiring, *(chapter.wiring for chapter in self.chapters))

    def chapter(self, code: str) -> Chapter | None:
        """The chapter of a code as text ('P0118' or 'P0118-17'), or None."""
        return next((chapter for chapter in self.chapters if code in (str(chapter.code), chapter.code.text)), None)
