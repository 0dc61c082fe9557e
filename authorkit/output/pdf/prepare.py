"""A part as it leaves the typesetter becomes a file that can be joined: links, tags, pages on their side."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from io import BytesIO

import pikepdf

from authorkit.output.pdf.inside_links import InsideLink, link_of
from authorkit.output.pdf.parts import Layout, Numbers, Part
from authorkit.output.pdf.tags import mark_contents, mark_tables
from authorkit.output.tokens import design_tokens


def prepare(raw: bytes, part: Part, layout: Layout, numbers: Numbers) -> bytes:
    """The part with everything in it that concerns it alone. The same input gives the same bytes."""
    with pikepdf.open(BytesIO(raw)) as pdf:
        for name in part.turned:
            pdf.pages[layout.spots[name].page - 1].rotate(90, relative=False)
        known = dict(numbers.pages) | {name: numbers.first - 1 + spot.page for name, spot in layout.spots.items()}
        for annotation in link_boxes(pdf):
            _lead_inside(annotation, known)
        mark_tables(pdf, part.row_heads, part.anchor)
        if part.contents:
            mark_contents(pdf, part.contents)
        for key in ("/Names", "/Outlines"):  # of the whole file, made anew
            if key in pdf.Root:
                del pdf.Root[key]
        out = BytesIO()
        pdf.save(out, object_stream_mode=pikepdf.ObjectStreamMode.generate, deterministic_id=True)
    return out.getvalue()


def link_boxes(pdf: pikepdf.Pdf) -> Iterator[pikepdf.Object]:
    """Every link of a file, page by page."""
    for page in pdf.pages:
        yield from page.obj.get("/Annots", [])


def _lead_inside(annotation: pikepdf.Object, known: Mapping[str, int]) -> None:
    """A link with an address of ours leads to a named place of the file; its description tells what it says.

    ISO 14289-1, 7.18.5, wants the description.
    """
    action = annotation.get("/A")
    link = link_of(str(action.URI)) if action is not None and "/URI" in action else None
    if link is None:
        return
    del annotation["/A"]
    annotation.Dest = pikepdf.String(link.target)
    annotation.Contents = pikepdf.String(_description(link, known))


def _description(link: InsideLink, known: Mapping[str, int]) -> str:
    page = f"{design_tokens()['words']['page']} {known[link.target]}" if link.target in known else ""
    return ", ".join(filter(None, (link.words.strip(), page))) or link.target
