"""The finished file, read by programs that had no part in making it: qpdf, poppler, pypdf, pdfua."""

from __future__ import annotations

import dataclasses
import hashlib
import os
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pdfua
import pytest
from pypdf import PdfReader
from pypdf.generic import DictionaryObject

from authorkit.manual.blocks import Heading, Manual, Page
from authorkit.output.pdf.write import page_map, write_pdf
from tests.output.pdf.reading import links, page_texts, page_words
from tests.output.pdf.samples import printed
from tests.output.sample_manual import sample_manual

MM = 72 / 25.4


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return printed(tmp_path_factory.mktemp("a4"), sample_manual())


@pytest.fixture(scope="module")
def letter(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return printed(tmp_path_factory.mktemp("letter"), sample_manual(), "us-letter")


def words_of(value: object) -> Iterator[str]:
    """Every word that a reader must find; names of places and files, and words for those who cannot see, left out."""
    unseen = {"anchor", "row_anchors", "target", "media", "kind", "source", "align", "role", "index", "alt", "language"}
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for item in value:
            yield from words_of(item)
    elif dataclasses.is_dataclass(value):
        for entry in dataclasses.fields(value):
            if entry.name not in unseen:
                yield from words_of(getattr(value, entry.name))


def squeezed(text: str) -> str:
    return "".join(text.split())


def test_every_word_of_the_model_is_printed(book: Path) -> None:
    text = squeezed("".join(page_texts(book)))
    missing = [words for words in words_of(sample_manual()) if squeezed(words) not in text]
    assert missing == []


def test_pypdf_reads_the_same_words_as_poppler(book: Path) -> None:
    texts = [squeezed(page.extract_text()) for page in PdfReader(book).pages]
    assert "Enginecoolanttemperaturesensor1circuithigh" in texts[4]
    assert [sorted(text) == sorted(squeezed(other)) for text, other in zip(texts, page_texts(book), strict=True)] == [
        True for _ in texts
    ]


def test_every_printed_page_number_is_the_page_that_the_link_opens(book: Path) -> None:
    numbered = 0
    for link in links(book):
        number = re.search(r"(?:page |^|\. )(\d+)[.,]?$", link.words)
        if number:
            numbered += 1
            assert int(number.group(1)) == link.target, link
    # 6 lines of the contents, 4 references in text, 3 in the list of codes, 3 steps on another page, 12 in the indexes.
    assert numbered == 28


def test_a_link_without_a_page_number_leads_to_the_step_it_names(book: Path) -> None:
    steps = [link for link in links(book) if link.words.startswith("→ step")]
    assert len(steps) == 11
    for link in steps:
        number = re.findall(r"\d+", link.words)[0]
        assert re.search(rf"\b{number}\b", page_texts(book)[link.target - 1])
        assert ("page" in link.words) == (link.page != link.target)


def test_page_map_tells_the_page_on_which_an_anchor_stands(book: Path) -> None:
    pages = page_map(book)
    texts = page_texts(book)
    headings = [
        (block.anchor, block.text)
        for page in sample_manual().pages
        for block in page.blocks
        if isinstance(block, Heading) and block.anchor
    ]
    assert len(headings) == 10
    for anchor, text in headings:
        assert text in texts[pages[anchor] - 1]
    assert {page.anchor for page in sample_manual().pages} <= pages.keys()


def test_qpdf_finds_no_fault(book: Path, letter: Path, require_tool: Callable[[str], str]) -> None:
    for pdf in (book, letter):
        checked = subprocess.run([require_tool("qpdf"), "--check", str(pdf)], capture_output=True, text=True)
        assert checked.returncode == 0, checked.stdout + checked.stderr
        assert "No syntax or stream encoding errors" in checked.stdout


def test_the_machine_checkable_part_of_pdf_ua_finds_nothing(book: Path) -> None:
    """ISO 14289-1 as far as the package pdfua goes: 16 of the 106 conditions of the Matterhorn Protocol."""
    assert [(finding.rule_id, finding.message) for finding in pdfua.validate(str(book)).findings] == []


def test_title_language_and_tags_are_declared(book: Path) -> None:
    """What ISO 14289-1 wants of the file as a whole (Matterhorn checkpoints 06, 07, 11, from memory)."""
    reader = PdfReader(book)
    root: Any = reader.trailer["/Root"]
    assert reader.metadata is not None
    assert reader.metadata.title == "Veldrun Parcel Diagnostic Manual"
    assert root["/Lang"] == "en-US"
    assert root["/MarkInfo"]["/Marked"] == True  # noqa: E712  (a BooleanObject, not a bool)
    assert root["/ViewerPreferences"]["/DisplayDocTitle"] == True  # noqa: E712
    assert b"pdfuaid" in root["/Metadata"].get_data()


def test_all_fonts_are_the_shipped_ones_and_embedded(book: Path) -> None:
    fonts = {}
    for page in PdfReader(book).pages:
        for font in fonts_of(page["/Resources"]):
            descendant = font["/DescendantFonts"][0].get_object()
            fonts[str(font["/BaseFont"])] = "/FontFile2" in descendant["/FontDescriptor"]
    assert {name.split("+")[1].split("-")[0] for name in fonts} == {"LiberationSans", "LiberationMono"}
    assert all(fonts.values())


def fonts_of(resources: Any) -> Iterator[DictionaryObject]:
    """The fonts of a page and of the drawings on it."""
    resources = resources.get_object()
    for font in resources.get("/Font", {}).values():
        yield font.get_object()
    for drawing in resources.get("/XObject", {}).values():
        if "/Resources" in drawing.get_object():
            yield from fonts_of(drawing.get_object()["/Resources"])


def test_bookmarks_go_from_system_to_chapter_to_section(book: Path) -> None:
    reader = PdfReader(book)
    assert outline(reader.outline) == [
        "Contents",
        "How to use this manual",
        ["Reading a chapter", "The divider"],
        "Engine",
        [
            "P0117 Engine coolant temperature sensor 1 circuit low",
            ["What it means", "Procedure"],
            "P0118 Engine coolant temperature sensor 1 circuit high",
            [
                *("When it sets", "Circuit", "Connector cavities", "Readings", "Procedure"),
                ["Before you start", "Steps"],
                "Photographs",
            ],
        ],
        "High voltage",
        [
            "P0AA6 Hybrid battery voltage system isolation fault",
            ["What it means", "When it sets", "Possible causes", "Circuit", "Procedure"],
        ],
        "List of codes",
        "Indexes",
        [
            "Index of codes",
            "Index of connectors and cavities",
            "Index of circuit names",
            "Index of components",
            "Index of grounds",
        ],
    ]


def outline(items: Any) -> list[Any]:
    return [outline(item) if isinstance(item, list) else item.title for item in items]


def test_a_bookmark_opens_the_page_of_its_heading(book: Path) -> None:
    reader = PdfReader(book)
    texts = page_texts(book)
    flat = list(flattened(reader.outline))
    assert len(flat) == 31
    for item in flat:
        number = reader.get_destination_page_number(item)
        if item.title not in ("Engine", "High voltage"):
            assert squeezed(item.title) in squeezed(texts[number])


def flattened(items: Any) -> Iterator[Any]:
    for item in items:
        if isinstance(item, list):
            yield from flattened(item)
        else:
            yield item


def elements(node: Any, wanted: str) -> Iterator[Any]:
    """The structure elements of one kind, in the order of the tags."""
    kids = node.get("/K", [])
    for kid in kids if isinstance(kids, list) else [kids]:
        entry = kid.get_object()
        if isinstance(entry, DictionaryObject):
            if entry.get("/S") == wanted:
                yield entry
            yield from elements(entry, wanted)


def test_every_picture_says_in_words_what_it_shows(book: Path) -> None:
    figures = list(elements(PdfReader(book).trailer["/Root"]["/StructTreeRoot"], "/Figure"))
    assert [figure["/Alt"] for figure in figures] == [
        "U equals 5 V times R2 over R1 plus R2",
        "Module M1 feeds sensor B5 over wire K131; wire K200 returns to the module.",
        "A grey box beside a dark hose.",
        "Battery G10 feeds inverter M9 over contactors K1 and K2.",
    ]


def test_heads_of_rows_and_columns_have_their_scope(book: Path) -> None:
    """TH with Scope (ISO 14289-1, 7.5): 6 lists of facts with 5, 5, 5, 5 rows, 4 tables with 14 columns, 71 rows."""
    heads = list(elements(PdfReader(book).trailer["/Root"]["/StructTreeRoot"], "/TH"))
    scopes = [scope for head in heads for scope in scopes_of(head)]
    assert len(scopes) == len(heads)
    assert scopes.count("/Row") == 4 * 5 + 4 + 60 + 3 + 4
    assert scopes.count("/Column") == 4 + 3 + 3 + 3


def scopes_of(head: Any) -> list[str]:
    attributes = head["/A"]
    listed = attributes if isinstance(attributes, list) else [attributes]
    return [str(entry.get_object()["/Scope"]) for entry in listed if "/Scope" in entry.get_object()]


def test_headings_are_tagged_without_a_skipped_level(book: Path) -> None:
    root = PdfReader(book).trailer["/Root"]["/StructTreeRoot"]
    assert len(list(elements(root, "/H1"))) == 7
    assert len(list(elements(root, "/H2"))) == 20
    assert len(list(elements(root, "/H3"))) == 2
    assert len(list(elements(root, "/TOCI"))) == 6


@pytest.mark.parametrize(
    ("fixture", "width", "height"),
    # ISO 216: A4 is 210 by 297 mm. US Letter is 8 1/2 by 11 inches (ANSI/ASME Y14.1, size A).
    [("book", 210 * MM, 297 * MM), ("letter", 8.5 * 72, 11 * 72)],
)
def test_every_sheet_has_the_size_asked_for(
    fixture: str, width: float, height: float, request: pytest.FixtureRequest
) -> None:
    pages = PdfReader(request.getfixturevalue(fixture)).pages
    assert len(pages) >= 13
    for page in pages:
        assert (page.mediabox.width, page.mediabox.height) == pytest.approx((width, height), abs=0.1)


def test_only_the_wide_drawing_is_turned_on_the_screen(book: Path) -> None:
    turned = [number for number, page in enumerate(PdfReader(book).pages, start=1) if page.rotation]
    assert turned == [page_map(book)["P0AA6-figure-circuit"]]
    assert PdfReader(book).pages[turned[0] - 1].rotation == 90
    # Its heading goes with it.
    assert "Circuit" in page_texts(book)[turned[0] - 1]


def test_the_foot_shows_the_number_of_the_page_at_the_outer_edge(book: Path) -> None:
    pages = page_words(book)
    for number, words in enumerate(pages, start=1):
        if number in (1, page_map(book)["P0AA6-figure-circuit"]):
            continue
        foot = [word for word in words if word.top > 280 * MM]
        outermost = max(foot, key=lambda word: word.right) if number % 2 else min(foot, key=lambda word: word.left)
        assert outermost.text == str(number)


def test_margins_are_mirrored(book: Path) -> None:
    """The binding edge of the sheet (left on odd pages) has the wider margin: 22 mm, against 18 mm outside."""
    titles = {4: "P0117", 5: "P0118"}
    lefts = {
        number: min(word.left for word in page_words(book)[number - 1] if word.text == code) / MM
        for number, code in titles.items()
    }
    assert lefts[5] == pytest.approx(22, abs=0.7)
    assert lefts[4] == pytest.approx(18, abs=0.7)


def test_the_thumb_tab_of_a_system_is_at_the_outer_edge_and_lower_for_the_next_one(book: Path) -> None:
    words = page_words(book)
    even = next(word for word in words[5] if word.text == "Engine" and word.right < 10 * MM)
    odd = next(word for word in words[4] if word.text == "Engine" and word.left > 200 * MM)
    other = next(word for word in words[8] if word.text == "voltage" and word.left > 200 * MM)
    assert even.top == pytest.approx(odd.top, abs=1)
    assert other.top - odd.top > 30 * MM


def test_the_running_head_names_the_chapter_at_the_outer_edge_except_where_it_begins(book: Path) -> None:
    heads = [[word for word in words if word.top < 24 * MM] for words in page_words(book)]
    even = sorted(heads[5], key=lambda word: word.left)
    odd = sorted(heads[6], key=lambda word: word.left)
    assert (even[0].text, even[-1].text) == ("P0118", "Engine")
    assert (odd[0].text, odd[-1].text) == ("Engine", "P0118")
    assert [word.text for word in heads[4]] == ["Engine"]


def test_the_title_page_says_that_the_vehicle_does_not_exist(book: Path) -> None:
    text = page_texts(book)[0]
    assert "The Veldrun Parcel does not exist." in text
    assert "Edition 2026-11-25" in text
    assert "Parcel Training Workshop" in text


def test_an_index_names_a_page_once_however_often_it_is_marked(book: Path) -> None:
    text = page_texts(book)[12]
    pages = page_map(book)
    circuit, battery = pages["P0118-figure-circuit"], pages["P0AA6-figure-circuit"]
    assert f"G1 Left strut tower {circuit}, {battery}" in text
    assert f"K131 {circuit} " in text


def test_the_same_manual_gives_the_same_bytes(book: Path, tmp_path: Path) -> None:
    assert printed(tmp_path, sample_manual()).read_bytes() == book.read_bytes()


@pytest.mark.slow
def test_no_order_of_hashing_changes_the_bytes(book: Path, tmp_path: Path, repo_root: Path) -> None:
    script = (
        "import sys; from pathlib import Path; from authorkit.output.pdf import write_pdf; "
        "from tests.output.sample_manual import sample_manual; "
        "sys.exit(len(write_pdf(sample_manual(), Path(sys.argv[1]), page_size='a4')))"
    )
    digests = {hashlib.sha256(book.read_bytes()).hexdigest()}
    for seed in ("1", "2"):
        target = tmp_path / f"{seed}.pdf"
        environment = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(repo_root)}
        subprocess.run([sys.executable, "-c", script, str(target)], cwd=repo_root, env=environment, check=True)
        digests.add(hashlib.sha256(target.read_bytes()).hexdigest())
    assert len(digests) == 1


def test_a_refused_manual_leaves_the_file_that_was_there(tmp_path: Path) -> None:
    target = tmp_path / "manual.pdf"
    target.write_bytes(b"the last good one")
    manual = dataclasses.replace(sample_manual(), date="25 November")
    assert [problem.message for problem in write_pdf(manual, target, page_size="a4")] == [
        "Page 'Veldrun Parcel Diagnostic Manual' cannot be printed: the date of the edition is '25 November', "
        "which is not a date of the form 2026-11-25."
    ]
    assert target.read_bytes() == b"the last good one"
    assert list(tmp_path.iterdir()) == [target]


def test_the_build_folder_holds_one_file_a_page_and_what_was_there_before_is_gone(tmp_path: Path) -> None:
    work = tmp_path / "work"
    stale = work / "pdf-a4" / "pages" / "0099.typ"
    stale.parent.mkdir(parents=True)
    stale.write_text("old", encoding="utf-8")
    assert write_pdf(sample_manual(), tmp_path / "manual.pdf", page_size="a4", work=work) == ()
    names = sorted(file.name for file in (work / "pdf-a4" / "pages").iterdir())
    assert names == [f"{number:04}.typ" for number in range(1, 9)]


def test_the_contents_list_the_pages_of_each_system_under_its_name(book: Path) -> None:
    text = re.sub(r"(?: ?\.){3,}", " ...", page_texts(book)[1])
    pages = page_map(book)
    assert "Engine P0117 Engine coolant temperature sensor 1 circuit low ... 4 P0118" in text
    assert (
        f"High voltage P0AA6 Hybrid battery voltage system isolation fault ... {pages['P0AA6']} List of codes" in text
    )


def test_a_manual_without_systems_or_lists_is_printed_too(tmp_path: Path) -> None:
    page = Page("note", "A note", "front", (Heading(2, "Only this"),), source="chapters/note.ipynb")
    manual = Manual("Small", "", "en", "2026-01-02", "Nobody", (), (page,))
    pdf = printed(tmp_path, manual)
    assert "Only this" in page_texts(pdf)[0]
    assert page_map(pdf) == {"note": 1}
