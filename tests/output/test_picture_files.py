"""The pictures as files and on the contact sheet: every one, once, in order, with its caption and its words."""

from __future__ import annotations

import io
from xml.etree import ElementTree

import pikepdf
import pypdf
import pytest

from authorkit.manual.blocks import Figure, all_blocks
from authorkit.output.picture_files import picture_files, write_sheet
from tests.output.sample_manual import sample_manual


@pytest.fixture(scope="module")
def manual():
    return sample_manual()


def _figures(manual):
    return [block for page in manual.pages for block in all_blocks(page.blocks) if isinstance(block, Figure)]


def test_every_figure_is_a_file_under_a_name_of_its_own(manual):
    files = picture_files(manual)
    assert [file.figure for file in files] == _figures(manual)
    assert len({file.name.casefold() for file in files}) == len(files) > 1
    for file in files:
        assert file.name.startswith(file.page.anchor)
        assert file.name.endswith((".svg", ".png"))
        assert not set(file.name) & set('/\\:*?"<>| ')
        if file.figure.media == "svg":
            assert ElementTree.fromstring(file.figure.data).tag.endswith("svg")


def test_the_contact_sheet_shows_every_picture_with_its_caption_below_the_title_of_its_page(manual, tmp_path):
    target = tmp_path / "sheet.pdf"
    write_sheet(manual, target)
    reader = pypdf.PdfReader(io.BytesIO(target.read_bytes()))
    text = " ".join(" ".join(page.extract_text() for page in reader.pages).split())
    for file in picture_files(manual):
        assert " ".join(file.figure.caption.split()) in text
        assert file.page.title in text
    assert {str(font["/BaseFont"]).split("+")[-1].split("-")[0] for font in _fonts(target)} == {"LiberationSans"}


def _fonts(path):
    with pikepdf.open(path) as pdf:
        return [
            {"/BaseFont": str(font.BaseFont)}
            for page in pdf.pages
            for font in (page.resources.get("/Font") or pikepdf.Dictionary()).values()
        ]


def test_the_contact_sheet_is_the_same_bytes_each_time(manual, tmp_path):
    for name in ("one.pdf", "two.pdf"):
        write_sheet(manual, tmp_path / name)
    assert (tmp_path / "one.pdf").read_bytes() == (tmp_path / "two.pdf").read_bytes()
