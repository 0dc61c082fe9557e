"""Links, pictures and raw HTML of a piece of Markdown, each with the place where it is typed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from markdown_it.token import Token

from authorkit.checks.passage import Passage
from authorkit.problems import Place


@dataclass(frozen=True)
class Spot:
    """One of them: `kind` is 'link', 'picture' or 'html', `target` its address or the HTML itself."""

    kind: str
    target: str
    place: Place


_ADDRESS = {"link_open": ("link", "href"), "image": ("picture", "src")}


def spots(passage: Passage) -> Iterator[Spot]:
    """In the order in which they are typed; nothing for a fact."""
    if not passage.is_prose or not any(mark in passage.text for mark in ("](", "]:", "<", "][")):
        return
    cursor = 0
    for block in passage.tokens:
        if block.map:
            cursor = max(cursor, passage.line_starts[block.map[0]])
        for token in (block, *(block.children or ())):
            found = _found(token)
            if found is not None:
                kind, target = found
                at = passage.text.find(target, cursor) if target else passage.text.find("()", cursor)
                # A link by reference has its address elsewhere; its paragraph has to do as its place.
                cursor = at + len(target) if at >= 0 else cursor
                yield Spot(kind, target, passage.at(max(at, 0) if at >= 0 else cursor))


def _found(token: Token) -> tuple[str, str] | None:
    if token.type in ("html_block", "html_inline"):
        return "html", token.content.strip()
    if token.type not in _ADDRESS:
        return None
    kind, name = _ADDRESS[token.type]
    return kind, str(token.attrs.get(name, ""))
