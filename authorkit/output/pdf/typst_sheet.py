"""What a page needs in print besides its own words: pictures, marks, bookmarks, notes for the finishing."""

from __future__ import annotations

from dataclasses import dataclass, field
from hashlib import sha256

from authorkit.manual.blocks import Page
from authorkit.output.pdf.faces import Faces


@dataclass(frozen=True)
class Section:
    """A heading for the bookmarks: its level (2 or 3), its words and its name."""

    level: int
    title: str
    anchor: str


@dataclass(frozen=True)
class Mark:
    """An index mark with the name under which the typesetter finds it."""

    index: str
    term: str
    sub: str
    name: str


@dataclass
class Sheet:
    """One page on its way into print; filled while its blocks are written, in their order.

    `files` are pictures by path in the build folder, `paths` the path of each picture's bytes. `row_heads` says of each
    table in turn whether its first cells name the rows. `turned` are the names of drawings on their side. `printed` are
    the places whose page numbers the page prints. `contents` counts the lists of the contents.
    """

    number: int
    page: Page
    faces: Faces
    files: dict[str, bytes] = field(default_factory=dict)
    paths: dict[bytes, str] = field(default_factory=dict)
    row_heads: list[bool] = field(default_factory=list)
    sections: list[Section] = field(default_factory=list)
    marks: list[Mark] = field(default_factory=list)
    turned: list[str] = field(default_factory=list)
    printed: set[str] = field(default_factory=set)
    contents: int = 0

    @property
    def title(self) -> str:
        """The title of the page without its mark, which the theme sets before it."""
        return self.page.title.removeprefix(self.page.mark).lstrip(" :–-") or self.page.title

    def picture(self, data: bytes, media: str) -> str:
        """The path of a picture in the build folder, named by its content: the same drawing is stored once."""
        path = f"/pictures/{sha256(data).hexdigest()[:20]}.{media}"
        self.files[path] = data
        self.paths[data] = path
        return path

    def name(self, kind: str) -> str:
        """A name for something without an anchor, unique in the manual, wherever in the manual the page stands."""
        count = {"mark": len(self.marks), "section": len(self.sections), "turned": len(self.turned)}[kind]
        return f"{kind} {self.page.anchor}.{count}"
