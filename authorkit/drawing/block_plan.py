"""What a block drawing shows: blocks, the links between them, the buses that they share; and what differs by series."""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import dataclass, replace

_SPELLED = 2  # circuit names that a link spells out


@dataclass(frozen=True)
class Block:
    """A module or component. `lines` say what it is in charge of, what feeds it."""

    id: str
    name: str
    lines: tuple[str, ...] = ()
    module: bool = False


@dataclass(frozen=True)
class Link:
    """What runs between two blocks; `strong` is high voltage, which never shares a link with anything else."""

    ends: tuple[str, str]
    circuits: tuple[str, ...]
    strong: bool = False

    @property
    def key(self) -> tuple[str, ...]:
        """What tells a link from the others of a drawing, and finds it in that of another series."""
        return (*self.ends, "high voltage") if self.strong else self.ends

    @property
    def label(self) -> str:
        """The names of its circuits: 'H601, H602', 'H531 to H533', or the first and how many more."""
        if len(self.circuits) <= _SPELLED:
            return ", ".join(self.circuits)
        if _are_counted(self.circuits):
            return f"{self.circuits[0]} to {self.circuits[-1]}"
        return f"{self.circuits[0]} + {len(self.circuits) - 1} more"


def _are_counted(names: tuple[str, ...]) -> bool:
    """Whether names count up by one: 'H531', 'H532', 'H533'."""
    stem = names[0].rstrip("0123456789")
    numbers = [name.removeprefix(stem) for name in names]
    if not all(name.startswith(stem) and number.isdecimal() for name, number in zip(names, numbers, strict=True)):
        return False
    return all(int(b) == int(a) + 1 and len(a) == len(b) for a, b in itertools.pairwise(numbers))


@dataclass(frozen=True)
class Rail:
    """A data bus: its id, what is printed along it, and the blocks that are on it."""

    id: str
    label: str
    members: tuple[str, ...]


@dataclass(frozen=True)
class BlockPlan:
    """One drawing: `roots` are the blocks that stand at the left."""

    blocks: tuple[Block, ...]
    links: tuple[Link, ...] = ()
    rails: tuple[Rail, ...] = ()
    roots: tuple[str, ...] = ()


@dataclass(frozen=True)
class Variant:
    """The drawing of some series in the layout that all share.

    `absent` are ids of blocks that only others have; `changed` are ids of blocks and of rails, and keys of links, that
    differ from another series.
    """

    series: tuple[str, ...]
    plan: BlockPlan
    absent: frozenset[str]
    changed: frozenset[str | tuple[str, ...]]


def variants_of(plans: Mapping[str, BlockPlan]) -> tuple[Variant, ...]:
    """One drawing for each group of series that have the same plan, with what sets it apart from the others."""
    groups: dict[BlockPlan, tuple[str, ...]] = {}
    for series, plan in plans.items():
        groups[plan] = (*groups.get(plan, ()), series)
    return tuple(_variant(plan, series, tuple(groups)) for plan, series in groups.items())


def _variant(plan: BlockPlan, series: tuple[str, ...], plans: tuple[BlockPlan, ...]) -> Variant:
    others = [other for other in plans if other is not plan]
    mine = {block.id for block in plan.blocks}
    absent = {block.id for other in others for block in other.blocks} - mine
    changed: set[str | tuple[str, ...]] = set()
    for other in others:
        changed |= {block.id for block in plan.blocks if block not in other.blocks}
        changed |= {link.key for link in plan.links if link not in other.links}
        changed |= {rail.id for rail in plan.rails if rail not in other.rails}
    return Variant(series, plan, frozenset(absent), frozenset(changed))


def titled(subject: str, variant: Variant, variants: tuple[Variant, ...]) -> str:
    """What a drawing is about, with its series if there are several drawings."""
    return f"{subject}, Series {' and '.join(variant.series)}" if len(variants) > 1 else subject


def union_of(variants: tuple[Variant, ...]) -> BlockPlan:
    """One plan that has room for everything of any variant: the longest lines, the longest labels."""
    blocks: dict[str, Block] = {}
    links: dict[tuple[str, ...], Link] = {}
    for variant in variants:
        for block in variant.plan.blocks:
            known = blocks.get(block.id, block)
            longer = tuple(max(pair, key=len) for pair in _paired(known.lines, block.lines))
            blocks[block.id] = replace(known, name=max(known.name, block.name, key=len), lines=longer)
        for link in variant.plan.links:
            links[link.key] = max(links.get(link.key, link), link, key=lambda each: len(each.label))
    rails = {rail.id: rail for variant in variants for rail in variant.plan.rails}
    roots = tuple(dict.fromkeys(root for variant in variants for root in variant.plan.roots))
    return BlockPlan(tuple(blocks.values()), tuple(links.values()), tuple(rails.values()), roots)


def _paired(first: tuple[str, ...], second: tuple[str, ...]) -> list[tuple[str, str]]:
    count = max(len(first), len(second))
    return list(zip((*first, *[""] * (count - len(first))), (*second, *[""] * (count - len(second))), strict=True))
