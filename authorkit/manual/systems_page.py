"""The page 'Systems of the vehicle': what a class sees first, before any single code."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import partial

from authorkit.drawing.block_plan import BlockPlan, titled, variants_of
from authorkit.drawing.blocks import draw_blocks
from authorkit.drawing.picture import Picture
from authorkit.drawing.rails import draw_rails
from authorkit.drawing.store import Drawn
from authorkit.manual.anchors import inside
from authorkit.manual.block_plans import Whole, bus_plan, high_voltage_plan, system_plan, whole_of
from authorkit.manual.blocks import Block, CautionBlock, Figure, Heading, Link, Page, Paragraph, Text, words
from authorkit.manual.scope import Shared
from authorkit.manual.series_differences import difference_table, vehicle_differences
from authorkit.model.chapter import Chapter
from authorkit.model.hazard import HAZARDS, HIGH_VOLTAGE
from authorkit.model.wiring import applies

ANCHOR = "systems"

_Draw = Callable[[Mapping[str, BlockPlan], str], tuple[Picture, ...]]


def systems_page(shared: Shared) -> Page | None:
    """The page, or None if the book has neither a bus nor high voltage nor a chapter to draw."""
    wholes = [whole_of(shared, series) for series in shown_series(shared)]
    blocks = [*_buses(shared, wholes), *_high_voltage(shared, wholes), *_systems(shared, wholes), *_differences(shared)]
    return Page(ANCHOR, "Systems of the vehicle", "front", tuple(blocks)) if blocks else None


def shown_series(shared: Shared) -> list[str]:
    """The series that the manual is printed for, in the vehicle's order."""
    return [name for name in shared.book.vehicle.series_ids if applies(shared.book.recipe.series, name)]


def _buses(shared: Shared, wholes: Sequence[Whole]) -> Iterator[Block]:
    plans = {whole.series: bus_plan(whole) for whole in wholes}
    figures = list(_figures(shared, "buses", "Modules and buses", plans))
    if figures:
        yield Heading(2, "Modules and buses", inside(ANCHOR, "section", "buses"))
        yield from figures


def _high_voltage(shared: Shared, wholes: Sequence[Whole]) -> Iterator[Block]:
    plans = {whole.series: high_voltage_plan(whole) for whole in wholes}
    figures = list(_figures(shared, "high-voltage", "High-voltage path", plans))
    if not figures:
        return
    hazard = HAZARDS[HIGH_VOLTAGE.id]
    yield Heading(2, "High-voltage path", inside(ANCHOR, "section", "high-voltage"))
    yield CautionBlock(
        hazard.word, hazard.hazard, hazard.consequence, hazard.avoid, inside(ANCHOR, "caution", hazard.id)
    )
    yield from figures


def _systems(shared: Shared, wholes: Sequence[Whole]) -> Iterator[Block]:
    for system in shared.book.vehicle.systems:
        chapters = [chapter for chapter in shared.book.chapters if chapter.system == system]
        modules = shared.book.vehicle.system_modules.get(system, ())
        if not chapters and not modules:
            continue
        plans = {whole.series: system_plan(whole, chapters, modules) for whole in wholes}
        yield Heading(2, system, inside(ANCHOR, "system", system))
        yield from _figures(shared, f"blocks {system}", f"Block drawing of {system}", plans)
        if chapters:
            yield _codes(chapters)


def _codes(chapters: Sequence[Chapter]) -> Paragraph:
    codes: list[Text | Link] = [Text("Codes: ")]
    for number, chapter in enumerate(chapters):
        codes += [Text(", ")] if number else []
        codes.append(Link(str(chapter.code), (Text(f"{chapter.code} {chapter.title}"),), page=True))
    return Paragraph((*codes, Text(".")))


def _differences(shared: Shared) -> Iterator[Block]:
    rows = vehicle_differences(shared)
    if not rows:
        return
    yield Heading(2, "What differs between the series", inside(ANCHOR, "section", "differences"))
    for series in shared.book.vehicle.series:
        if series.id in shown_series(shared) and series.note:
            yield Paragraph(words(f"{series.name}: {series.note.rstrip('.')}."))
    caption = "Differences between the series"
    yield difference_table(rows, shown_series(shared), caption, inside(ANCHOR, "table", "differences"))


def _figures(shared: Shared, name: str, caption: str, plans: Mapping[str, BlockPlan]) -> Iterator[Figure]:
    """The drawings of some plans: one if all series are alike, else one for each in the same layout."""
    draw = draw_rails if any(plan.rails for plan in plans.values()) else draw_blocks
    pictures, _ = shared.store.pictures(f"blocks {caption}", plans, partial(_drawn, draw, plans, caption))
    variants = variants_of(plans)
    each = len(pictures) // len(variants)
    for position, picture in enumerate(pictures):
        variant, number = variants[position // each], position % each + 1
        part = f" ({number} of {each})" if each > 1 else ""
        anchor = (name, *(variant.series if len(variants) > 1 else ()), *((str(number),) if part else ()))
        yield Figure(
            f"{titled(caption, variant, variants)}{part}",
            picture.svg,
            "svg",
            picture.alt,
            picture.width_mm,
            picture.height_mm,
            inside(ANCHOR, "figure", "-".join(anchor)),
            picture.landscape,
        )


def _drawn(draw: _Draw, plans: Mapping[str, BlockPlan], caption: str) -> Drawn:
    return draw(plans, caption), ()
