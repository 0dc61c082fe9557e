from __future__ import annotations

from xml.etree import ElementTree

import pytest

from authorkit.output.html.svg import rebuild

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 20 10">'


def drawn(inner: str) -> tuple[str, tuple[str, ...]]:
    """The markup of a picture with this inside, and what was refused."""
    drawing = rebuild(f"{HEAD}{inner}</svg>".encode())
    return drawing.markup(1, {}), drawing.refused


def test_shapes_and_text_come_through() -> None:
    markup, refused = drawn('<g transform="scale(2)"><path d="M0 0H9" stroke="#000"/><text x="1">A &amp; B</text></g>')
    assert markup == (
        '<svg viewBox="0 0 20 10"><g transform="scale(2)"><path d="M0 0H9" stroke="#000"></path>'
        '<text x="1">A &amp; B</text></g></svg>'
    )
    assert refused == ()


# What may not stand in a page, and how the finding calls it.
REFUSED = [
    ("<script>alert(1)</script>", "an element 'script'"),
    ("<foreignObject><iframe xmlns='http://www.w3.org/1999/xhtml'/></foreignObject>", "an element 'foreignObject'"),
    ('<a xlink:href="javascript:alert(1)"><text>x</text></a>', "an element 'a'"),
    ('<image href="http://example.org/x.png"/>', "an element 'image'"),
    ('<animate attributeName="href"/>', "an element 'animate'"),
    ('<rect onload="alert(1)"/>', "an attribute 'onload'"),
    ('<use xlink:href="http://example.org/x.svg#a"/>', "a reference to 'http://example.org/x.svg#a'"),
    ('<rect fill="url(http://example.org/x#a)"/>', "a reference to 'url(http://example.org/x#a)'"),
    ('<rect style="fill: URL(//example.org/x)"/>', "a reference to 'URL(//example.org/x)'"),
    ("<style>@import 'http://example.org/x.css';</style>", "a style rule that begins with '@'"),
]


@pytest.mark.parametrize(("inner", "what"), REFUSED)
def test_what_could_act_or_fetch_is_left_out_and_named(inner: str, what: str) -> None:
    markup, refused = drawn(inner)
    assert refused == (what,)
    for word in ("alert", "example.org", "script", "iframe", "onload", "@import"):
        assert word not in markup


@pytest.mark.parametrize("inner", ["<title>t</title>", "<desc>d</desc>", "<metadata><x/></metadata>", "<!-- c -->"])
def test_what_shows_nothing_is_left_out_in_silence(inner: str) -> None:
    assert drawn(inner) == ('<svg viewBox="0 0 20 10"></svg>', ())


def test_entities_are_refused_before_they_are_read() -> None:
    bomb = '<!DOCTYPE svg [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]>' + HEAD + "<text>&b;</text></svg>"
    assert rebuild(bomb.encode()).refused == ("entity declarations",)


def test_a_document_type_without_entities_is_no_harm() -> None:
    head = '<?xml version="1.0"?><!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "svg11.dtd">'
    assert rebuild((head + HEAD + "</svg>").encode()).refused == ()


@pytest.mark.parametrize("data", [b"", b"\x89PNG", b"<svg", b"\xff\xfe<\x00s\x00v\x00g\x00"])
def test_data_that_is_no_xml_becomes_an_empty_drawing_with_the_reason(data: bytes) -> None:
    drawing = rebuild(data)
    assert drawing.body == ""
    assert "not XML in UTF-8" in drawing.refused[0]


def test_another_root_is_refused_by_name() -> None:
    assert rebuild(b"<html/>").refused == ("a root element 'html' that is not 'svg'",)


def test_ids_of_two_drawings_never_meet_and_references_follow_them() -> None:
    inner = '<defs><path id="a b" d="M0 0"/></defs><use xlink:href="#a b"/><rect clip-path="url(#a b)"/>'
    inner = inner.replace("url(#a b)", "url(#c)") + '<clipPath id="c"/>'
    drawing = rebuild(f"{HEAD}{inner}</svg>".encode())
    first, second = drawing.markup(1, {}), drawing.markup(2, {})
    assert 'id="d1-a-b"' in first
    assert 'href="#d1-a-b"' in first
    assert 'clip-path="url(#d1-c)"' in first
    assert first.replace("d1-", "d2-") == second


def test_styles_become_attributes_because_pages_forbid_inline_styles() -> None:
    """matplotlib writes its drawings so: a rule for everything, styles on elements, the font in short form."""
    markup, refused = drawn(
        "<style>*{stroke-linejoin: round}</style>"
        '<path style="fill: none; stroke: #c00; clip-path: url(#p)"/>'
        "<text style=\"font: 8px 'Liberation Sans'\">x</text>"
    )
    assert "style" not in markup
    assert '<path stroke-linejoin="round" fill="none" stroke="#c00" clip-path="url(#d1-p)">' in markup
    assert 'font-size="8px" font-family="&#x27;Liberation Sans&#x27;"' in markup
    assert refused == ()


def test_a_formula_takes_the_colour_of_the_text() -> None:
    data = f'{HEAD}<path d="M0 0" stroke="#000000"/><path fill="black"/><path fill="#c00"/></svg>'.encode()
    markup = rebuild(data, in_text_colour=True).markup(1, {})
    assert markup.count("currentColor") == 3  # the root, which paints what names no colour, and the two that are black
    assert 'fill="#c00"' in markup


@pytest.mark.parametrize(
    ("attributes", "box"),
    [
        ('viewBox="-1,2 30 40"', "-1 2 30 40"),
        ('width="12.5mm" height="7"', "0 0 12.5 7"),
        ('viewBox="a b c d" width="3" height="4"', "0 0 3 4"),
        ("", "0 0 300 150"),  # the size of an element without one: CSS 2.2, 10.3.2
    ],
)
def test_a_drawing_without_a_view_box_shows_all_of_itself(attributes: str, box: str) -> None:
    assert rebuild(f'<svg xmlns="http://www.w3.org/2000/svg" {attributes}/>'.encode()).view_box == box


def test_the_result_is_well_formed_whatever_the_text_holds() -> None:
    markup, _ = drawn("<text>&lt;/svg&gt;&lt;script&gt; ]]&gt; \ufffe</text>".replace("\ufffe", "{{ x }}"))
    root = ElementTree.fromstring(markup)
    assert "".join(root.itertext()) == "</svg><script> ]]> {{ x }}"
