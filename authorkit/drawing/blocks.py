"""Block drawings: modules and components in columns, what joins them, and what differs between series.

Every series is drawn in the layout of all together, so that the same thing stands at the same place in each.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from authorkit.drawing.block_layers import STEP, Track, columns_of, lay_out_blocks, least_rows
from authorkit.drawing.block_plan import Block, BlockPlan, Link, Rail, Variant, titled, union_of, variants_of
from authorkit.drawing.block_shapes import absent_frame, block_frame, block_height, fits_block
from authorkit.drawing.ink import LINE, width_of
from authorkit.drawing.page import LANDSCAPE_MM, PORTRAIT_MM, SIZES
from authorkit.drawing.paint import CHANGED_MARK
from authorkit.drawing.pen import render
from authorkit.drawing.picture import Picture
from authorkit.drawing.shapes import DESIGN_SIZE, Path, Scene, Shape, Words, moved, scaled
from authorkit.drawing.wrapped import wrapped

__all__ = ["Block", "BlockPlan", "Link", "Rail", "draw_blocks"]

_RIM = 0.8
_LANE = 2.6
_LABEL_RISE = 0.9
_HEAD = 1.4  # for a label above the first row
_NARROWEST = 24.0  # a block
_WIDEST = 62.0


def draw_blocks(plans: Mapping[str, BlockPlan], subject: str) -> tuple[Picture, ...]:
    """The drawings of some plans by series: for each of `variants_of(plans)` the same number of sheets.

    `subject` begins the alternative text. A plan too large for a page is drawn on several sheets, each with all its
    roots and some of what hangs on them.
    """
    variants = variants_of(plans)
    union = union_of(variants)
    if not union.blocks:
        return ()
    sheets = _sheets(union)
    return tuple(
        _picture(sheet, variant, titled(subject, variant, variants), f"{number} of {len(sheets)}" if sheets[1:] else "")
        for variant in variants
        for number, sheet in enumerate(sheets, start=1)
    )


class _Sheet:
    """A plan laid out at one type size; lengths are those of the design size."""

    def __init__(self, plan: BlockPlan, size: float, *, landscape: bool) -> None:
        self.plan, self.size, self.landscape = plan, size, landscape
        page = LANDSCAPE_MM if landscape else PORTRAIT_MM
        self.room = page[0] * DESIGN_SIZE / size - 2 * _RIM
        self.most = page[1] * DESIGN_SIZE / size - 2 * _RIM - 3.4 * LINE - _HEAD
        columns = columns_of(plan)
        trial = lay_out_blocks(plan, columns, {block.id: 2 for block in plan.blocks})
        self.gaps = [_Channel(tracks) for tracks in trial.channels]
        free = self.room - sum(gap.width for gap in self.gaps)
        self.width = min(free / len(columns), _WIDEST)
        least = {block.id: -(-block_height(block, self.width) // STEP) for block in plan.blocks}
        self.layers = lay_out_blocks(plan, columns, {name: int(rows) for name, rows in least.items()})
        self.gaps = [_Channel(tracks) for tracks in self.layers.channels]
        spare = self.room - sum(gap.width for gap in self.gaps) - self.width * len(columns)
        if spare < 0:
            self.width += spare / len(columns)

    @property
    def fits(self) -> bool:
        """Whether it lies on its page with every block wide enough for its words."""
        wide = self.width >= _NARROWEST and all(fits_block(block, self.width) for block in self.plan.blocks)
        tall = all(block_height(block, self.width) <= self.layers.size[block.id] * STEP for block in self.plan.blocks)
        return wide and tall and self.layers.rows * STEP <= self.most

    def left(self, column: int) -> float:
        """The left edge of a column of blocks."""
        return column * self.width + sum(gap.width for gap in self.gaps[:column])


class _Channel:
    """How a channel is divided: lanes at the left, then room for labels, then lanes of links that lead back."""

    def __init__(self, tracks: Sequence[Track]) -> None:
        self.tracks = tracks
        slanted = sum(track.lane is not None and not track.bow for track in tracks)
        bows = sum(track.bow for track in tracks)
        self.lanes = 1.6 + slanted * _LANE
        self.bows = 1.6 + bows * _LANE if bows else 0.0
        label = max((width_of(f"{CHANGED_MARK}{track.link.label}") for track in tracks), default=0.0)
        self.width = self.lanes + label + 2.6 + self.bows if tracks else 0.0

    def x(self, track: Track) -> float:
        """Where a track's lane lies, from the left edge of the channel."""
        assert track.lane is not None
        if track.bow:
            return self.width - 1.6 - track.lane * _LANE
        return 1.6 + (track.lane + 0.5) * _LANE


def _sheets(plan: BlockPlan) -> list[_Sheet]:
    """One sheet at the largest type size that fits; several if none does."""
    if least_rows(plan) * STEP <= PORTRAIT_MM[1] * DESIGN_SIZE / SIZES[-1]:
        for landscape in (False, True):
            for size in SIZES:
                sheet = _Sheet(plan, size, landscape=landscape)
                if sheet.fits:
                    return [sheet]
    halves = _halves(plan)
    if not halves:
        return [_Sheet(plan, SIZES[-1], landscape=False)]
    return [sheet for half in halves for sheet in _sheets(half)]


def _halves(plan: BlockPlan) -> list[BlockPlan]:
    """The plan in two, cut through the first column behind the roots that can be cut; nothing if none can.

    What stands before the cut is in both if it has links there, what hangs on a block stays with it, and every link is
    whole in one of them.
    """
    columns = columns_of(plan)
    cut = next((number for number in range(1, len(columns)) if len(columns[number]) > 1), 0)
    if len(columns[cut]) < 2:
        return []
    middle = len(columns[cut]) // 2
    rest = {name for number, column in enumerate(columns) if number < cut or cut == 0 for name in column}
    rest -= set(columns[cut])
    keep = [rest | set(columns[cut][:middle]), rest | set(columns[cut][middle:])]
    for column in columns[cut + 1 :] if cut else ():
        for name in column:
            near = {end for link in plan.links for end in link.ends if name in link.ends} - rest - {name}
            keep[0 if near & keep[0] else 1].add(name)
    for link in plan.links:
        if not any(set(link.ends) <= names for names in keep):
            keep[0 if link.ends[0] in keep[0] else 1].update(link.ends)
    _drop_idle(rest, keep, plan)
    if any(len(names) == len(plan.blocks) for names in keep):
        return []
    return [_part(plan, names) for names in keep]


def _drop_idle(rest: set[str], keep: list[set[str]], plan: BlockPlan) -> None:
    """Take out of a half what has its links in the other one alone."""
    near: dict[str, set[str]] = {name: set() for name in rest}
    for link in plan.links:
        for name, other in (link.ends, link.ends[::-1]):
            if name in near:
                near[name].add(other)
    for name in sorted(rest):
        used = [bool(near[name] & names) for names in keep]
        if any(used):
            for names, is_used in zip(keep, used, strict=True):
                if not is_used:
                    names.discard(name)
        else:
            keep[1].discard(name)


def _part(plan: BlockPlan, names: set[str]) -> BlockPlan:
    return replace(
        plan,
        blocks=tuple(block for block in plan.blocks if block.id in names),
        links=tuple(link for link in plan.links if set(link.ends) <= names),
        roots=tuple(root for root in plan.roots if root in names),
    )


def _picture(sheet: _Sheet, variant: Variant, subject: str, name: str) -> Picture:
    shapes = [*_blocks(sheet, variant), *_links(sheet, variant)]
    height = sheet.layers.rows * STEP
    right = sheet.left(len(sheet.layers.columns) - 1) + sheet.width + sheet.gaps[-1].width
    scene, legend = _signed(shapes, (right, height), sheet.room, _legend(sheet, variant, name))
    scene = scaled(scene, sheet.size)
    alt = " ".join([f"{subject}.", *_said(sheet, variant), legend])
    return Picture(render(scene), scene.width, scene.height, alt, sheet.landscape, sheet.size, name)


def _signed(shapes: Sequence[Shape], size: tuple[float, float], room: float, legend: str) -> tuple[Scene, str]:
    """The scene with its legend below."""
    y = size[1] + 1.0
    words: list[Shape] = []
    for text in wrapped(legend, room):
        y += LINE
        words.append(Words(text, 0.0, y))
    width = max(size[0], *(width_of(text) for text in wrapped(legend, room))) if legend else size[0]
    placed = tuple(moved(shape, _RIM, _RIM + _HEAD) for shape in (*shapes, *words))
    return Scene(placed, width + 2 * _RIM, y + 1.2 + _HEAD + 2 * _RIM), legend


def _blocks(sheet: _Sheet, variant: Variant) -> Iterator[Shape]:
    mine = {block.id: block for block in variant.plan.blocks}
    union = {block.id: block for block in sheet.plan.blocks}
    for number, column in enumerate(sheet.layers.columns):
        for name in column:
            corner = (sheet.left(number), sheet.layers.top[name] * STEP)
            size = (sheet.width, sheet.layers.size[name] * STEP)
            if name in mine:
                yield from block_frame(mine[name], corner, size, changed=name in variant.changed)
            else:
                yield from absent_frame(union[name], corner, size)


def _links(sheet: _Sheet, variant: Variant) -> Iterator[Shape]:
    mine = {link.key: link for link in variant.plan.links}
    for number, gap in enumerate(sheet.gaps):
        left = sheet.left(number) + sheet.width
        for track in gap.tracks:
            link = mine.get(track.link.key)
            if link is not None:
                yield from _link(track, gap, left, _labelled(link, variant))


def _labelled(link: Link, variant: Variant) -> tuple[Link, str]:
    """A link with what is printed along it, marked if another series differs."""
    mark = CHANGED_MARK if link.key in variant.changed else ""
    return link, f"{mark}{link.label}"


def _link(track: Track, gap: _Channel, left: float, said: tuple[Link, str]) -> Iterator[Shape]:
    link, label = said
    first, second = ((row + 0.5) * STEP for row in track.rows)
    right = left + gap.width
    role, node = "strong-way" if link.strong else "way", "~".join(link.ends)
    rise = _LABEL_RISE + (0.4 if link.strong else 0.0)
    if track.bow:
        x = left + gap.x(track)
        yield Path(((left, first), (x, first), (x, second), (left, second)), role, node=node)
        yield Words(label, left + gap.lanes + 0.6, min(first, second) - rise)
        return
    if track.lane is None:
        yield Path(((left, first), (right, second)), role, node=node)
    else:
        x = left + gap.x(track)
        yield Path(((left, first), (x, first), (x, second), (right, second)), role, node=node)
    yield Words(label, right - gap.bows - 1.0, second - rise, "end")


def _legend(sheet: _Sheet, variant: Variant, name: str) -> str:
    """Only what this picture needs to be read."""
    said = [f"Sheet {name}." if name else ""]
    names = {block.id for block in sheet.plan.blocks}
    if any(block.module for block in variant.plan.blocks if block.id in names):
        said.append("Heavy frame: module.")
    if any(link.strong for link in variant.plan.links if set(link.ends) <= names):
        said.append("Thick line: high voltage.")
    if any(_is_here(each, names) for each in variant.changed):
        said.append(f"{CHANGED_MARK.strip()} differs from another series.")
    if variant.absent & names:
        said.append("Dashed: not fitted in this series.")
    return " ".join(filter(None, said))


def _is_here(changed: str | tuple[str, ...], names: set[str]) -> bool:
    return changed in names if isinstance(changed, str) else set(changed[:2]) <= names


def _said(sheet: _Sheet, variant: Variant) -> Iterator[str]:
    names = {block.id for block in sheet.plan.blocks}
    for block in variant.plan.blocks:
        if block.id in names:
            lines = f": {'; '.join(block.lines)}" if block.lines else ""
            yield f"{block.id} {block.name}".strip() + f"{lines}."
    for link in variant.plan.links:
        if set(link.ends) <= names:
            kind = "High voltage" if link.strong else "Wires"
            yield f"{kind} {', '.join(link.circuits)} from {link.ends[0]} to {link.ends[1]}."
