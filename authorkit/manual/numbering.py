"""Numbers of figures and tables: counted within each page, so that an edit to one chapter renumbers no other."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any

from authorkit.manual.blocks import Block, Figure, Inline, Link, Page, Table, Text


def numbered(page: Page) -> Page:
    """The page with 'Figure P0118-2' and 'Table P0118-1' filled in, and references to figures named by number."""
    prefix = f"{page.mark or page.title}-" if page.kind == "chapter" else ""
    counts = {"Figure": 0, "Table": 0}
    numbers: dict[str, str] = {}
    blocks: list[Block] = []
    for block in page.blocks:
        if isinstance(block, (Figure, Table)):
            word = "Figure" if isinstance(block, Figure) else "Table"
            counts[word] += 1
            block = replace(block, number=f"{word} {prefix}{counts[word]}")
            numbers[block.anchor] = block.number
        blocks.append(block)
    return replace(page, blocks=tuple(_rename(block, numbers) for block in blocks))


def _rename(block: Block, numbers: Mapping[str, str]) -> Block:
    """A block in which each link to a figure says the figure's number."""

    def rename(link: Link) -> Link:
        if link.children == (Text("figure"),) and link.target in numbers:
            return replace(link, children=(Text(numbers[link.target]),))
        return link

    changed: Block = map_links(block, rename)
    return changed


def map_links(item: Any, change: Callable[[Link], Inline]) -> Any:
    """The same block, inline or tuple with every Link replaced by what `change` gives."""
    if isinstance(item, Link):
        return change(item)
    if isinstance(item, tuple):
        mapped = tuple(map_links(part, change) for part in item)
        return item if all(new is old for new, old in zip(mapped, item, strict=True)) else mapped
    if is_dataclass(item) and not isinstance(item, type):
        new = {field.name: map_links(getattr(item, field.name), change) for field in fields(item)}
        differs = {name: value for name, value in new.items() if value is not getattr(item, name)}
        return replace(item, **differs) if differs else item
    return item
