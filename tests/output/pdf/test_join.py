"""The joined file is one file: tags, links and names lead where they say, read by pypdf, which had no part in it."""

from __future__ import annotations

import hashlib
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader
from pypdf.generic import ContentStream

from authorkit.manual.blocks import Figure, Heading, Link, Paragraph, Table, WebLink, words
from authorkit.output.pdf import page_map
from tests.output.pdf.reading import page_texts
from tests.output.pdf.samples import one_chapter, printed
from tests.output.sample_manual import sample_manual
from tests.output.sample_pictures import circuit_svg, photograph


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return printed(tmp_path_factory.mktemp("joined"), sample_manual())


@pytest.fixture(scope="module")
def reader(book: Path) -> PdfReader:
    return PdfReader(book)


def kids(node: Any) -> list[Any]:
    found = node.get("/K", [])
    found = found.get_object() if hasattr(found, "get_object") else found
    return [
        kid.get_object() if hasattr(kid, "get_object") else kid
        for kid in (found if isinstance(found, list) else [found])
    ]


def tags(node: Any) -> Iterator[Any]:
    """Every structure element below a node, in the order of reading."""
    for kid in kids(node):
        if isinstance(kid, dict) and "/S" in kid:
            yield kid
            yield from tags(kid)


def marks_in(page: Any, reader: PdfReader) -> list[int]:
    """The marks of content of a page, from its instructions (ISO 32000-1, 14.6)."""
    stream = ContentStream(page["/Contents"].get_object(), reader)
    marked = (operands[1] for operands, operator in stream.operations if operator == b"BDC")
    return [int(properties["/MCID"]) for properties in marked if isinstance(properties, dict) and "/MCID" in properties]


def parents(reader: PdfReader) -> dict[int, Any]:
    flat = reader.trailer["/Root"]["/StructTreeRoot"]["/ParentTree"]["/Nums"]
    return {int(flat[at]): flat[at + 1].get_object() for at in range(0, len(flat), 2)}


def number_of(page: Any) -> int:
    return int(page.indirect_reference.idnum)


def test_every_mark_of_content_has_its_tag_and_every_tag_its_content(reader: PdfReader) -> None:
    """ISO 32000-1, 14.7.4.4: the parent tree leads from a mark on a page to the tag that holds it."""
    found = parents(reader)
    on_pages, held = set(), Counter[tuple[int, int]]()
    for page in reader.pages:
        listed = found[int(page["/StructParents"])]
        marks = marks_in(page, reader)
        assert sorted(marks) == list(range(len(listed)))
        for mark in marks:
            assert mark in kids(listed[mark].get_object())
            on_pages.add((number_of(page), mark))
    for tag in tags(reader.trailer["/Root"]["/StructTreeRoot"]):
        for kid in kids(tag):
            if isinstance(kid, int):
                held[int(tag.raw_get("/Pg").idnum), int(kid)] += 1
            elif "/MCID" in kid:
                held[int(kid.raw_get("/Pg").idnum), int(kid["/MCID"])] += 1
    assert len(on_pages) > 500
    assert held == Counter(on_pages)


def test_every_link_has_its_tag_and_a_description_in_words(reader: PdfReader) -> None:
    found = parents(reader)
    described = []
    for page in reader.pages:
        for reference in page.get("/Annots", []):
            link = reference.get_object()
            tag = found[int(link["/StructParent"])]
            assert tag["/S"] == "/Link"
            objects = [kid.raw_get("/Obj").idnum for kid in kids(tag) if isinstance(kid, dict) and "/Obj" in kid]
            assert reference.idnum in objects
            described.append(str(link["/Contents"]))
    pages = {name: place.dest_array[0].idnum for name, place in reader.named_destinations.items()}
    numbers = {number_of(page): number for number, page in enumerate(reader.pages, start=1)}
    assert f"P0118, page {numbers[pages['P0118']]}" in described
    assert f"step 3, page {numbers[pages['P0118-step-3']]}" in described
    assert all(described)
    assert not [words for words in described if "manual-place:" in words]


def test_numbers_in_the_parent_tree_rise_and_are_used_once(reader: PdfReader) -> None:
    """ISO 32000-1, 7.9.7: the keys of a number tree are sorted."""
    root = reader.trailer["/Root"]["/StructTreeRoot"]
    keys = [int(key) for key in root["/ParentTree"]["/Nums"][::2]]
    assert keys == sorted(set(keys))
    assert root["/ParentTreeNextKey"] == keys[-1] + 1
    used = [int(page["/StructParents"]) for page in reader.pages]
    used += [int(link.get_object()["/StructParent"]) for page in reader.pages for link in page.get("/Annots", [])]
    assert sorted(used) == keys


def test_every_tag_knows_its_parent_and_the_roles_are_known(reader: PdfReader) -> None:
    root = reader.trailer["/Root"]["/StructTreeRoot"]
    waiting = [root]
    seen = 0
    while waiting:
        node = waiting.pop()
        for kid in kids(node):
            if isinstance(kid, dict) and "/S" in kid:
                assert kid.raw_get("/P").idnum == node.indirect_reference.idnum
                waiting.append(kid)
                seen += 1
    assert seen > 500
    assert {"/Strong", "/Title"} <= set(root["/RoleMap"])


def test_each_part_is_a_section_of_the_one_document(reader: PdfReader) -> None:
    (document,) = kids(reader.trailer["/Root"]["/StructTreeRoot"])
    assert document["/S"] == "/Document"
    assert [kid["/S"] for kid in kids(document)] == ["/Sect"] * len(sample_manual().pages)


def test_the_lines_of_the_contents_are_tagged_as_such(reader: PdfReader) -> None:
    """ISO 32000-1, table 333: TOC holds TOCI, and TOCI its Reference."""
    lists = [tag for tag in tags(reader.trailer["/Root"]["/StructTreeRoot"]) if tag["/S"] == "/TOC"]
    assert [[line["/S"] for line in kids(entry)] for entry in lists] == [
        ["/TOCI"],
        ["/TOCI", "/TOCI"],
        ["/TOCI"],
        ["/TOCI", "/TOCI"],
    ]
    for entry in lists:
        assert "/ListNumbering" not in str(entry.get("/A", ""))
        for line in kids(entry):
            assert [kid["/S"] for kid in kids(line)] == ["/Reference"]
            assert [kid["/S"] for kid in kids(kids(line)[0])] == ["/Link"]


def test_a_list_of_the_author_on_the_page_of_contents_stays_a_list(tmp_path: Path) -> None:
    from authorkit.manual.blocks import BulletList

    bullets = BulletList(((Paragraph(words("One.")),), (Paragraph(words("Two.")),)))
    pages = tuple(
        replace(page, blocks=(bullets,)) if page.kind == "contents" else page for page in sample_manual().pages
    )
    pdf = PdfReader(printed(tmp_path, replace(sample_manual(), pages=pages)))
    contents = kids(kids(pdf.trailer["/Root"]["/StructTreeRoot"])[0])[1]
    assert [kid["/S"] for kid in kids(contents) if kid["/S"] in ("/L", "/TOC")] == ["/L", *["/TOC"] * 4]


def test_names_of_tags_are_unique_and_cells_name_heads_that_exist(tmp_path: Path) -> None:
    """Cells without heads of rows name the heads of their columns (ISO 32000-1, 14.8.5.7)."""
    row = ((words("1"), words("2")),)
    table = Table("Plain", ("A", "B"), row, row_heads=False)
    manual = one_chapter(table)
    again = replace(manual.pages[1], anchor="P0124", blocks=(table,))
    manual = replace(manual, pages=(*manual.pages[:2], again, manual.pages[2]))
    root = PdfReader(printed(tmp_path, manual)).trailer["/Root"]["/StructTreeRoot"]
    names = [str(name) for name in root["/IDTree"]["/Names"][::2]]
    assert names == sorted(set(names))
    assert names == sorted(str(tag["/ID"]) for tag in tags(root) if "/ID" in tag)
    named = [str(head) for tag in tags(root) if tag["/S"] == "/TD" for head in heads_of(tag)]
    assert len(named) == 4
    assert len(set(named)) == 4
    assert set(named) <= set(names)


def heads_of(cell: Any) -> list[Any]:
    attributes = cell.get("/A", [])
    listed = attributes if isinstance(attributes, list) else [attributes]
    return [head for entry in listed for head in entry.get_object().get("/Headers", [])]


def test_the_metadata_count_the_pages_of_the_whole_file(reader: PdfReader) -> None:
    said = reader.trailer["/Root"]["/Metadata"].get_data().decode()
    assert re.findall(r"<xmpTPg:NPages>(\d+)<", said) == [str(len(reader.pages))]
    assert re.findall(r"<pdfaid:(?:part|conformance)>(\w+)<", said) == ["2", "A"]
    assert len(re.findall(r"<pdfuaid:part>1<", said)) == 1
    assert len(set(re.findall(r"nstanceID>([0-9a-f]{32})", said))) == 1


def test_the_colours_have_their_profile(reader: PdfReader) -> None:
    """ISO 19005-2, 6.2.3: an output intent with an embedded profile."""
    (intent,) = reader.trailer["/Root"]["/OutputIntents"]
    assert intent["/S"] == "/GTS_PDFA1"
    assert intent["/DestOutputProfile"].get_object()["/N"] == 3
    assert reader.pdf_header == "%PDF-1.7"


def test_the_same_photograph_in_two_chapters_is_kept_once(tmp_path: Path) -> None:
    figure = Figure("Photo", photograph(48, 32), "png", "A box.", 60, 40)
    manual = one_chapter(figure)
    again = replace(manual.pages[1], anchor="P0124", blocks=(Heading(2, "Other words"), figure))
    manual = replace(manual, pages=(*manual.pages[:2], again, manual.pages[2]))
    reader = PdfReader(printed(tmp_path, manual))
    images = {
        (drawing.idnum, number)
        for number, page in enumerate(reader.pages)
        for drawing in (page["/Resources"].get("/XObject", {})).values()
        if drawing.get_object()["/Subtype"] == "/Image"
    }
    assert len({number for _, number in images}) == 2
    assert len({identity for identity, _ in images}) == 1
    assert len(list(images_of(reader))) == 1


def images_of(reader: PdfReader) -> Iterator[Any]:
    for number in range(1, int(reader.trailer["/Size"])):
        found = reader.get_object(number)
        if isinstance(found, dict) and found.get("/Subtype") == "/Image":
            yield found


def test_no_two_colour_profiles_or_fonts_are_the_same(reader: PdfReader) -> None:
    digests = []
    for number in range(1, int(reader.trailer["/Size"])):
        found = reader.get_object(number)
        if isinstance(found, dict) and "/N" in found and hasattr(found, "get_data") and "/First" not in found:
            digests.append(hashlib.sha256(found.get_data()).hexdigest())
        elif isinstance(found, dict) and "/FontFile2" in found:
            digests.append(hashlib.sha256(found["/FontFile2"].get_object().get_data()).hexdigest())
    profiles = Counter(digests)
    # The profile of the output intent stands apart; font descriptors may share a file.
    assert len(profiles) >= 4
    assert max(profiles.values()) <= 2


def test_names_with_any_sign_are_found_again(tmp_path: Path) -> None:
    anchor = 'Höhe Ω "]#\\ <b>/%25?'
    link = Paragraph((Link(anchor, words("the height"), page=True),))
    manual = one_chapter(Heading(2, "Here", anchor))
    other = replace(manual.pages[1], anchor="P0124", blocks=(link,))
    pdf = printed(tmp_path, replace(manual, pages=(manual.pages[0], other, manual.pages[1], manual.pages[2])))
    assert page_map(pdf)[anchor] == 3
    assert "the height, page 3" in page_texts(pdf)[1]
    (first, _) = (link.get_object() for link in PdfReader(pdf).pages[1]["/Annots"])
    assert PdfReader(pdf).named_destinations[str(first["/Dest"])].dest_array[0].idnum == number_of(
        PdfReader(pdf).pages[2]
    )
    assert first["/Contents"] == "the height, page 3"


def test_a_link_to_the_web_stays_one(tmp_path: Path) -> None:
    pdf = printed(tmp_path, one_chapter(Paragraph((WebLink("https://a.example/x?y", words("there")),))))
    addresses = {link.get_object()["/A"]["/URI"] for link in PdfReader(pdf).pages[1]["/Annots"]}
    assert addresses == {"https://a.example/x?y"}


def test_a_chapter_that_begins_on_a_left_page_has_its_turned_drawing_on_the_right_one(tmp_path: Path) -> None:
    wide = Figure("Wide", circuit_svg(200, 90), "svg", "M1 to B5.", 200, 90, landscape=True, anchor="wide")
    pdf = printed(tmp_path, one_chapter(Paragraph(words("Before.")), wide, Paragraph(words("After."))))
    reader = PdfReader(pdf)
    assert [page.get("/Rotate", 0) for page in reader.pages] == [0, 0, 90, 0, 0]
    assert page_map(pdf)["wide"] == 3
    assert reader.named_destinations["wide"].typ == "/Fit"
