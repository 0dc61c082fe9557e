"""Author's text is printed as it is, whatever it holds; nothing of it is ever run."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from authorkit.manual.blocks import (
    Answer,
    Block,
    BulletList,
    CautionBlock,
    Code,
    CodeBlock,
    FactList,
    Figure,
    Heading,
    IndexMark,
    Paragraph,
    Quote,
    StepBlock,
    Table,
    WebLink,
    words,
)
from tests.output.pdf.reading import page_texts
from tests.output.pdf.samples import one_chapter, printed
from tests.output.sample_pictures import circuit_svg

HOSTILE = [
    '#read("/etc/passwd")',
    '];#read("/etc/passwd");[',
    '"; read("/etc/passwd"); "',
    '\\"; panic("out"); \\"',
    "\\u{23}read(\\n)",
    "*bold* _thin_ $x^2$ @label <tag> `raw` ~ // no /* no */",
    "= Heading",
    "#import \"@preview/x:1.0.0\"",
    "{ } ( ) [ ] ' \" \\ # $ % & * + - ; ... -- ---",
]  # fmt: skip


def everywhere(text: str) -> list[Block]:
    """The text in every place that takes one."""
    inline = words(text)
    return [
        FactList(((text, inline),)),
        Heading(2, text),
        Paragraph((*inline, Code(text), WebLink(text, inline))),
        Paragraph(inline, role="note"),
        BulletList(((Paragraph(inline),), (Quote((Paragraph(inline),)),))),
        CodeBlock(text),
        Table(text, (text,), ((inline,),), number=text),
        Figure(text, circuit_svg(100, 50), "svg", text, 100, 50, number=text),
        CautionBlock("NOTICE", text, text, (text, text)),
        StepBlock("1", "s1", inline, (("NOTICE", text),), inline, inline, (Answer(inline, text, "s1"),)),
        StepBlock("2", "s2", (), verdict=inline, repair=inline),
        StepBlock("3", "s3", (), end=inline),
        IndexMark("code", text, text),
    ]


@pytest.mark.parametrize("text", HOSTILE)
def test_text_that_looks_like_code_is_printed_as_it_is(tmp_path: Path, text: str) -> None:
    manual = one_chapter(*everywhere(text), title=text)
    hostile = replace(
        manual, title=text, subtitle=text, publisher=text, identity=words(text), warnings=(text,), systems=(text,)
    )
    shown = "".join("".join(page_texts(printed(tmp_path, hostile))).split())
    assert "root:" not in shown
    # 23 places in the blocks, the chapter's title, the title page, the index.
    assert shown.count("".join(text.split())) >= 31


def test_anchors_may_hold_any_sign(tmp_path: Path) -> None:
    anchor = 'a"]#\\ <b>'
    target = printed(tmp_path, one_chapter(Heading(2, "Here", anchor)))
    assert "Here" in page_texts(target)[1]


def test_an_invented_link_to_a_file_stays_a_link(tmp_path: Path) -> None:
    link = WebLink("file:///etc/passwd", words("look here"))
    text = " ".join(page_texts(printed(tmp_path, one_chapter(Paragraph((link,))))))
    assert "look here (file:///etc/passwd)" in text
    assert "root:" not in text


def test_spaces_and_line_ends_inside_text_do_not_change_the_line(tmp_path: Path) -> None:
    text = " ".join(page_texts(printed(tmp_path, one_chapter(Paragraph(words("one\n\n  two\tthree"))))))
    assert "one two three" in text
