"""Reading a finished page with the parser of the standard library, which had no part in making it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser

_VOID = {"br", "col", "img", "input", "link", "meta"}


@dataclass
class Element:
    """An element with its attributes and what is in it, in order: elements and pieces of text."""

    tag: str
    attributes: dict[str, str | None]
    content: list[Element | str] = field(default_factory=list)

    @property
    def text(self) -> str:
        """All text in the element."""
        return "".join(part if isinstance(part, str) else part.text for part in self.content)

    @property
    def classes(self) -> list[str]:
        return (self.attributes.get("class") or "").split()

    def all(self, tag: str = "", **attributes: str) -> Iterator[Element]:
        """Every element below with this tag and these attributes; `class_` asks for one of its classes."""
        for part in self.content:
            if isinstance(part, Element):
                if tag in ("", part.tag) and all(_has(part, name, value) for name, value in attributes.items()):
                    yield part
                yield from part.all(tag, **attributes)

    def one(self, tag: str = "", **attributes: str) -> Element:
        """The only such element."""
        found = list(self.all(tag, **attributes))
        assert len(found) == 1, f"{len(found)} of {tag} {attributes}"
        return found[0]


def _has(element: Element, name: str, value: str) -> bool:
    if name == "class_":
        return value in element.classes
    return element.attributes.get(name.replace("_", "-")) == value


def read_html(markup: str) -> Element:
    """A page or a piece of one as a tree; an end tag without its start fails."""
    reader = _Reader()
    reader.feed(markup)
    reader.close()
    assert len(reader.open) == 1, f"left open: {[element.tag for element in reader.open[1:]]}"
    return reader.open[0]


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open = [Element("", {})]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        element = Element(tag, dict(attrs))
        self.open[-1].content.append(element)
        if tag not in _VOID:
            self.open.append(element)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.open[-1].content.append(Element(tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open[-1].tag == tag, f"</{tag}> ends <{self.open[-1].tag}>"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        self.open[-1].content.append(data)
