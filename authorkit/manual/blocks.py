"""The page model: what a page says, in order, without any markup.

The HTML and the PDF writer each turn these blocks into a file; neither adds a word of its own, so that both say the
same. Text is always plain characters; whatever it holds is printed, never interpreted.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

# ---------------------------------------------------------------------------------------------------------------- text


@dataclass(frozen=True)
class Text:
    """Plain words."""

    text: str


@dataclass(frozen=True)
class Strong:
    """Words that matter more than those around them."""

    children: tuple[Inline, ...]


@dataclass(frozen=True)
class Emphasis:
    """Stressed words."""

    children: tuple[Inline, ...]


@dataclass(frozen=True)
class Code:
    """A signal name, a cavity, a value as it is typed: set in the fixed-width face, never hyphenated."""

    text: str


@dataclass(frozen=True)
class Link:
    """A reference to an anchor of this manual. A printed page adds ', page N' when `page` is true."""

    target: str
    children: tuple[Inline, ...]
    page: bool = False


@dataclass(frozen=True)
class WebLink:
    """A reference to an address outside the manual; print shows the address."""

    address: str
    children: tuple[Inline, ...]


@dataclass(frozen=True)
class Picture:
    """A small picture within a line (a formula): SVG bytes, its height and its depth below the line in points."""

    svg: bytes
    alt: str
    width: float
    height: float
    depth: float


@dataclass(frozen=True)
class LineBreak:
    """A forced new line."""


Inline = Text | Strong | Emphasis | Code | Link | WebLink | Picture | LineBreak
Inlines = tuple[Inline, ...]


def words(text: str) -> Inlines:
    """Plain text as inlines."""
    return (Text(text),)


# --------------------------------------------------------------------------------------------------------------- blocks


@dataclass(frozen=True)
class Heading:
    """A heading inside a page: level 2 or 3 (level 1 is the page's own title)."""

    level: int
    text: str
    anchor: str = ""


@dataclass(frozen=True)
class Paragraph:
    """Running text. `role` is '' or 'note' (a remark of lesser weight) or 'lead' (under the heading band)."""

    children: Inlines
    role: str = ""


@dataclass(frozen=True)
class BulletList:
    """A list of items, each a few blocks; `ordered` numbers them from 1."""

    items: tuple[tuple[Block, ...], ...]
    ordered: bool = False


@dataclass(frozen=True)
class Quote:
    """Quoted text."""

    children: tuple[Block, ...]


@dataclass(frozen=True)
class CodeBlock:
    """Lines printed as typed."""

    text: str


@dataclass(frozen=True)
class Table:
    """A table with a head that repeats on every page it runs over.

    `columns` are the headings; `rows` are cells of inlines, as many as columns. `align` holds 'left', 'right' or
    'centre' for each column; `widths` are relative. `row_heads` says that the first cell of each row names the row.
    `row_anchors`, if given, has one anchor for each row ("" = none): a list whose rows are referred to.
    `number` is the printed number ('Table 12'), set by numbering. `caption` is printed above.
    """

    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Inlines, ...], ...]
    anchor: str = ""
    align: tuple[str, ...] = ()
    widths: tuple[float, ...] = ()
    row_heads: bool = True
    number: str = ""
    row_anchors: tuple[str, ...] = ()


@dataclass(frozen=True)
class Figure:
    """A picture of its true size in millimetres: never scaled, except down to the text width for photographs.

    `data` is SVG or PNG bytes (`media` 'svg' or 'png'). `alt` says in words what it shows. `landscape` asks for a page
    of its own on its side in print.
    """

    caption: str
    data: bytes
    media: str
    alt: str
    width_mm: float
    height_mm: float
    anchor: str = ""
    landscape: bool = False
    number: str = ""


@dataclass(frozen=True)
class CautionBlock:
    """A safety message in the form of ANSI Z535.6. It must not be parted from the block that follows it."""

    word: str
    hazard: str
    consequence: str
    avoid: tuple[str, ...]
    anchor: str = ""


@dataclass(frozen=True)
class Answer:
    """One answer of a step and the step it leads to ('4') with its anchor."""

    condition: Inlines
    step: str
    target: str


@dataclass(frozen=True)
class StepBlock:
    """One step with its branches, never parted over pages.

    `cautions` are the short forms (signal word, sentence) repeated at this step; `measure` says what is measured where,
    in which state; `verdict` names what is at fault where the procedure ends, `repair` what to do about it; `end` is
    said instead of a verdict where it ends without one.
    """

    number: str
    anchor: str
    do: Inlines
    cautions: tuple[tuple[str, str], ...] = ()
    measure: Inlines = ()
    question: Inlines = ()
    answers: tuple[Answer, ...] = ()
    verdict: Inlines = ()
    repair: Inlines = ()
    end: Inlines = ()


@dataclass(frozen=True)
class FactList:
    """Short named facts in two columns ('Stored by': 'M1 Engine control module')."""

    rows: tuple[tuple[str, Inlines], ...]
    anchor: str = ""


@dataclass(frozen=True)
class FaultReadings:
    """What a column of a table would say with each fault: on a screen the reader picks one, print leaves it out.

    `table` is the anchor of the table, `column` the number of its column that changes (from 0). `rows` holds the
    different answers: a cell for each row of the table, and at last what the whole comes to ('It sets the code.').
    `groups` are the faults by the thing they are of, each a sentence and the number of its answer.
    """

    label: str
    table: str
    column: int
    groups: tuple[tuple[str, tuple[tuple[str, int], ...]], ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class IndexMark:
    """An invisible mark: the indexes list this page under `term`. `index` is a key of INDEXES."""

    index: str
    term: str
    sub: str = ""


INDEXES: dict[str, str] = {
    "code": "Index of codes",
    "connector": "Index of connectors and cavities",
    "circuit": "Index of circuit names",
    "component": "Index of components",
    "ground": "Index of grounds",
}

Block = (
    Heading
    | Paragraph
    | BulletList
    | Quote
    | CodeBlock
    | Table
    | Figure
    | CautionBlock
    | StepBlock
    | FactList
    | FaultReadings
    | IndexMark
)


def all_blocks(blocks: Iterable[Block]) -> Iterator[Block]:
    """Every block in reading order, those inside lists and quotes too."""
    for block in blocks:
        yield block
        if isinstance(block, BulletList):
            for item in block.items:
                yield from all_blocks(item)
        elif isinstance(block, Quote):
            yield from all_blocks(block.children)


# ---------------------------------------------------------------------------------------------------------------- pages


@dataclass(frozen=True)
class Page:
    """One page of the HTML manual, one chapter of the printed one.

    `anchor` is unique in the manual and names the HTML file ('P0118' → P0118.html). `mark` is the short text of the
    running head (the code), `system` the thumb tab. `kind` is 'title', 'contents', 'front', 'chapter', 'codes' or
    'index'. For 'contents' and 'index' pages the writers add what only they know: page numbers or links.
    """

    anchor: str
    title: str
    kind: str
    blocks: tuple[Block, ...] = ()
    mark: str = ""
    system: str = ""
    source: str = ""


@dataclass(frozen=True)
class Manual:
    """The whole manual, ready to be written.

    `systems` are the thumb tabs in order. `identity` are the lines of the title page below the title.
    """

    title: str
    subtitle: str
    language: str
    date: str
    publisher: str
    identity: Inlines
    pages: tuple[Page, ...]
    systems: tuple[str, ...] = ()
    warnings: tuple[str, ...] = field(default=())
