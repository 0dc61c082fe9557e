"""The prepared parts become one file: pages, tags and names one after the other."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from io import BytesIO

import pikepdf

from authorkit.output.pdf.shared_objects import SharedObjects

# What the first part says of the file as a whole; the parts agree in it.
_OF_THE_WHOLE = ("/Lang", "/MarkInfo", "/ViewerPreferences", "/OutputIntents", "/Metadata")


@dataclass
class _Tags:
    """The tags of the parts so far: their elements, what belongs to which mark of content, their names."""

    elements: list[pikepdf.Object] = field(default_factory=list)
    parents: list[int | pikepdf.Object] = field(default_factory=list)
    next_parent: int = 0
    names: dict[str, pikepdf.Object] = field(default_factory=dict)
    roles: dict[str, pikepdf.Object] = field(default_factory=dict)


def join(parts: Iterable[bytes]) -> pikepdf.Pdf:
    """One file of all parts, in their order; the caller closes it. Destinations and bookmarks are still missing."""
    whole = pikepdf.new()
    tags, objects, digest = _Tags(), SharedObjects(), hashlib.sha256()
    for data in parts:
        digest.update(hashlib.sha256(data).digest())
        with pikepdf.open(BytesIO(data)) as part:
            if "/Metadata" not in whole.Root:
                _take_over(whole, part)
            first = len(whole.pages)
            for page in part.pages:
                whole.pages.append(page)
            _add_tags(whole, part, tags, first)
            for page in whole.pages[first:]:
                objects.share(page.obj.Resources)
    whole.Root.StructTreeRoot = _tag_root(whole, tags)
    _restate_metadata(whole, digest.hexdigest())
    return whole


def _take_over(whole: pikepdf.Pdf, part: pikepdf.Pdf) -> None:
    """What holds for the file as a whole, from a part."""
    for key in _OF_THE_WHOLE:
        if key in part.Root:
            value = part.Root[key]
            if isinstance(value, pikepdf.Dictionary | pikepdf.Array | pikepdf.Stream):
                value = whole.copy_foreign(value if value.is_indirect else part.make_indirect(value))
            whole.Root[key] = value
    whole.trailer.Info = whole.copy_foreign(part.docinfo)


def _add_tags(whole: pikepdf.Pdf, part: pikepdf.Pdf, tags: _Tags, first: int) -> None:
    """The tags of a part become a section; its marks of content are numbered on from those before."""
    for page in whole.pages[first:]:
        _count_on(page.obj, "/StructParents", tags.next_parent)
        for annotation in page.obj.get("/Annots", []):
            _count_on(annotation, "/StructParent", tags.next_parent)
    root = whole.copy_foreign(part.Root.StructTreeRoot)
    (document,) = root.K
    document.S = pikepdf.Name.Sect
    tags.elements.append(document)
    for number, parent in pikepdf.NumberTree(root.ParentTree).items():
        tags.parents += [number + tags.next_parent, parent]
    tags.next_parent += int(root.ParentTreeNextKey)
    if "/IDTree" in root:
        tags.names.update(pikepdf.NameTree(root.IDTree).items())
    tags.roles.update(root.get("/RoleMap", {}).items())


def _count_on(node: pikepdf.Object, key: str, offset: int) -> None:
    if key in node:
        node[key] = int(node[key]) + offset


def _tag_root(whole: pikepdf.Pdf, tags: _Tags) -> pikepdf.Object:
    document = whole.make_indirect(pikepdf.Dictionary(Type=pikepdf.Name.StructElem, S=pikepdf.Name.Document))
    document.K = pikepdf.Array(tags.elements)
    for element in tags.elements:
        element.P = document
    root = whole.make_indirect(pikepdf.Dictionary(Type=pikepdf.Name.StructTreeRoot))
    document.P = root
    root.K = pikepdf.Array([document])
    root.ParentTree = whole.make_indirect(pikepdf.Dictionary(Nums=pikepdf.Array(tags.parents)))
    root.ParentTreeNextKey = tags.next_parent
    if tags.names:
        named = [entry for name in sorted(tags.names) for entry in (pikepdf.String(name), tags.names[name])]
        root.IDTree = whole.make_indirect(pikepdf.Dictionary(Names=pikepdf.Array(named)))
    root.RoleMap = pikepdf.Dictionary(tags.roles)
    return root


def _restate_metadata(whole: pikepdf.Pdf, digest: str) -> None:
    """The description of the file counts all pages and names this file; the rest is the same for every part."""
    said = whole.Root.Metadata.read_bytes().decode("utf-8")
    said = re.sub(r"(<xmpTPg:NPages>)\d+(?=<)", rf"\g<1>{len(whole.pages)}", said)
    for kind in ("xmpMM:InstanceID", "stEvt:instanceID"):
        said = re.sub(rf"(<{kind}>)[^<_]*", rf"\g<1>{digest[:32]}", said)
    whole.Root.Metadata.write(said.encode("utf-8"))
