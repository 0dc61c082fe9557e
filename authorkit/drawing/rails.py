"""The data buses of a vehicle: rails down the middle of the page, the modules to their left and right.

A dot joins a module to a bus; a line that passes a rail without a dot is not joined to it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from authorkit.drawing.block_plan import Block, BlockPlan, Rail, Variant, titled, union_of, variants_of
from authorkit.drawing.block_shapes import absent_frame, block_frame, block_height
from authorkit.drawing.ink import LINE, width_of
from authorkit.drawing.page import PORTRAIT_MM, SIZES
from authorkit.drawing.paint import CHANGED_MARK
from authorkit.drawing.pen import render
from authorkit.drawing.picture import Picture
from authorkit.drawing.shapes import DESIGN_SIZE, XY, Circle, Path, Scene, Shape, Words, moved, scaled
from authorkit.drawing.wrapped import wrapped

_RIM = 0.8
_RAIL = 5.0  # from one bus to the next
_TAP = 4.6  # from one tap of a module to the next
_GAP = 3.4  # between two modules
_DOT = 0.85


@dataclass(frozen=True)
class _Place:
    """Where a module stands: its top left corner and its height."""

    block: Block
    corner: XY
    height: float


def draw_rails(plans: Mapping[str, BlockPlan], subject: str) -> tuple[Picture, ...]:
    """The drawings of some plans by series: for each of `variants_of(plans)` the same number of sheets; none without
    a bus.

    `subject` begins the alternative text. More modules than a page holds go on several sheets, each with all buses.
    """
    variants = variants_of(plans)
    union = union_of(variants)
    if not union.rails or not union.blocks:
        return ()
    size, sheets = _sheets(union)
    return tuple(
        _picture(
            _Layout(union, sheet, size),
            variant,
            titled(subject, variant, variants),
            f"{number} of {len(sheets)}" if sheets[1:] else "",
        )
        for variant in variants
        for number, sheet in enumerate(sheets, start=1)
    )


class _Layout:
    """The modules of one sheet in two columns."""

    def __init__(self, plan: BlockPlan, blocks: Sequence[Block], size: float) -> None:
        self.plan, self.blocks, self.size = plan, blocks, size
        self.room = PORTRAIT_MM[0] * DESIGN_SIZE / size - 2 * _RIM
        self.middle = len(plan.rails) * _RAIL + 3.0
        self.width = (self.room - self.middle) / 2
        self.head = len(plan.rails) * LINE + 2.0
        heights = [self._height(block) for block in blocks]
        half = _half(heights)
        self.places = (
            *self._column(blocks[:half], heights[:half], 0.0),
            *self._column(blocks[half:], heights[half:], self.width + self.middle),
        )
        self.bottom = max(place.corner[1] + place.height for place in self.places)

    @property
    def fits(self) -> bool:
        """Whether it lies on a page together with its legend."""
        return self.bottom + 4 * LINE + 2 * _RIM <= PORTRAIT_MM[1] * DESIGN_SIZE / self.size

    def _height(self, block: Block) -> float:
        taps = sum(block.id in rail.members for rail in self.plan.rails)
        return max(block_height(block, self.width), taps * _TAP)

    def _column(self, blocks: Sequence[Block], heights: Sequence[float], x: float) -> Iterator[_Place]:
        y = self.head
        for block, height in zip(blocks, heights, strict=True):
            yield _Place(block, (x, y), height)
            y += height + _GAP

    def rail_x(self, number: int) -> float:
        """Where a bus runs down the page."""
        return self.width + 1.5 + (number + 0.5) * _RAIL


def _half(heights: Sequence[float]) -> int:
    """How many modules stand in the left column so that both columns are about as high."""
    return min(range(1, len(heights) + 1), key=lambda count: (max(sum(heights[:count]), sum(heights[count:])), count))


def _sheets(plan: BlockPlan) -> tuple[float, list[tuple[Block, ...]]]:
    """The largest type size at which one sheet holds everything, or sheets of about the same number of modules."""
    for size in SIZES:
        if _Layout(plan, plan.blocks, size).fits:
            return size, [plan.blocks]
    for count in range(2, len(plan.blocks) + 1):
        each = -(-len(plan.blocks) // count)
        sheets = [plan.blocks[start : start + each] for start in range(0, len(plan.blocks), each)]
        if all(_Layout(plan, sheet, SIZES[0]).fits for sheet in sheets):
            return SIZES[0], sheets
    return SIZES[-1], [(block,) for block in plan.blocks]


def _picture(layout: _Layout, variant: Variant, subject: str, name: str) -> Picture:
    shapes = [*_rails(layout, variant), *_modules(layout, variant)]
    legend = _legend(layout, variant, name)
    y = layout.bottom + 1.0
    for text in wrapped(legend, layout.room):
        y += LINE
        shapes.append(Words(text, 0.0, y))
    placed = tuple(moved(shape, _RIM, _RIM) for shape in shapes)
    widest = max((layout.rail_x(0) + width_of(_label(rail, variant)) + 2.0 for rail in variant.plan.rails), default=0.0)
    width = max(layout.room, widest + len(layout.plan.rails) * _RAIL)
    scene = scaled(Scene(placed, width + 2 * _RIM, y + 1.2 + 2 * _RIM), layout.size)
    alt = " ".join([f"{subject}.", *_said(layout, variant), legend])
    return Picture(render(scene), scene.width, scene.height, alt, type_size=layout.size, sheet=name)


def _label(rail: Rail, variant: Variant) -> str:
    return f"{CHANGED_MARK if rail.id in variant.changed else ''}{rail.label}"


def _rails(layout: _Layout, variant: Variant) -> Iterator[Shape]:
    """Each bus with its name at its head; a bus further right begins lower, so that no name crosses a bus."""
    mine = {rail.id: rail for rail in variant.plan.rails}
    for number, rail in enumerate(layout.plan.rails):
        if rail.id in mine:
            x, top = layout.rail_x(number), number * LINE + 1.0
            yield Path(((x, top), (x, layout.bottom)), "rail", node=rail.id)
            yield Words(_label(mine[rail.id], variant), x + 1.4, top + 2.6)


def _modules(layout: _Layout, variant: Variant) -> Iterator[Shape]:
    mine = {block.id: block for block in variant.plan.blocks}
    joined = {rail.id: rail.members for rail in variant.plan.rails}
    for place in layout.places:
        name = place.block.id
        if name not in mine:
            yield from absent_frame(place.block, place.corner, (layout.width, place.height))
            continue
        changed = name in variant.changed
        yield from block_frame(mine[name], place.corner, (layout.width, place.height), changed=changed)
        buses = [number for number, rail in enumerate(layout.plan.rails) if name in joined.get(rail.id, ())]
        yield from _taps(place, buses, layout)


def _taps(place: _Place, buses: Sequence[int], layout: _Layout) -> Iterator[Shape]:
    """Lines from a module to its buses; those from the left and from the right never lie at the same height."""
    at_left = place.corner[0] == 0.0
    edge = layout.width if at_left else layout.width + layout.middle
    first = place.corner[1] + (place.height - len(buses) * _TAP) / 2
    # On a grid of whole steps for the left column and of half steps for the right one.
    start = round(first / _TAP) * _TAP + (0.25 if at_left else 0.75) * _TAP
    while start < place.corner[1]:
        start += _TAP
    for row, number in enumerate(buses):
        y, x = start + row * _TAP, layout.rail_x(number)
        yield Path(((edge, y), (x, y)), "way", node=f"{place.block.id}~{layout.plan.rails[number].id}")
        yield Circle((x, y), _DOT, "tap", fill="black", node=f"{place.block.id}~{layout.plan.rails[number].id}")


def _legend(layout: _Layout, variant: Variant, name: str) -> str:
    said = [f"Sheet {name}." if name else "", "A dot joins a module to a bus."]
    names = {place.block.id for place in layout.places} | {rail.id for rail in layout.plan.rails}
    if variant.changed & names:
        said.append(f"{CHANGED_MARK.strip()} differs from another series.")
    if variant.absent & names:
        said.append("Dashed: not fitted in this series.")
    return " ".join(filter(None, said))


def _said(layout: _Layout, variant: Variant) -> Iterator[str]:
    names = {place.block.id for place in layout.places}
    for block in variant.plan.blocks:
        if block.id in names:
            lines = f": {'; '.join(block.lines)}" if block.lines else ""
            yield f"{block.id} {block.name}{lines}."
    for rail in variant.plan.rails:
        members = [name for name in rail.members if name in names]
        yield f"On {rail.label}: {', '.join(members)}." if members else f"{rail.label}."
