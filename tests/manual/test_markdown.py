"""What the author's Markdown becomes. CommonMark 0.31.2 is meant where a section of a standard is named."""

from __future__ import annotations

import subprocess
import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from authorkit.manual.blocks import (
    Block,
    BulletList,
    Code,
    CodeBlock,
    Emphasis,
    Figure,
    Heading,
    Inline,
    Inlines,
    LineBreak,
    Link,
    Paragraph,
    Picture,
    Quote,
    Strong,
    Table,
    Text,
    WebLink,
    words,
)
from authorkit.manual.markdown import plain, render_markdown
from authorkit.problems import Place, Problem

PLACE = Place("chapters/P0118.ipynb", 3, 5)
CODE_LINK = Link("P0117", words("P0117"), page=True)


def resolve(kind: str, target: str) -> Inline | None:
    """A manual that knows one code and every cavity."""
    if kind == "code":
        return CODE_LINK if target == "P0117" else None
    return Code(target) if kind == "cavity" else None


def blocks(text: str) -> tuple[Block, ...]:
    """The blocks of a text in which nothing is wrong."""
    made, problems = render_markdown(text, resolve, PLACE)
    assert problems == ()
    return made


def inlines(text: str) -> Inlines:
    (paragraph,) = blocks(text)
    assert isinstance(paragraph, Paragraph)
    return paragraph.children


def judged(text: str) -> tuple[tuple[Block, ...], list[tuple[str, int, str | None]]]:
    """The blocks, and of each finding the rule, the line in the cell, and what was found."""
    made, problems = render_markdown(text, resolve, PLACE)
    return made, [(problem.rule, problem.place.line, problem.found) for problem in problems]


def para(text: str) -> Paragraph:
    return Paragraph(words(text))


# --------------------------------------------------------------------------------------------------------- what it can


def test_emphasis_code_and_line_ends() -> None:
    assert inlines("A *b* **c *d*** `e <f>`\ng\\\nh") == (
        Text("A "),
        Emphasis(words("b")),
        Text(" "),
        Strong((Text("c "), Emphasis(words("d")))),
        Text(" "),
        Code("e <f>"),
        Text(" g"),
        LineBreak(),
        Text("h"),
    )


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("R&amp;D &lt;b&gt; &#60;", "R&D <b> <"),  # entities: section 2.5
        (r"\*not\* \{code:P0117}", "*not* {code:P0117}"),  # backslash escapes: section 2.4
        ("~~out~~ a_b_c 2*3", "~~out~~ a_b_c 2*3"),  # no strikethrough; no emphasis inside a word: section 6.2
        ("ECT below -40 °C -- no dash is made", "ECT below -40 °C -- no dash is made"),
        ("$5 and $10, 5 $ and 6 $", "$5 and $10, 5 $ and 6 $"),
        ("{{ template }} {% x %} ${y}", "{{ template }} {% x %} ${y}"),
    ],
)
def test_text_is_printed_as_it_reads(text: str, shown: str) -> None:
    assert inlines(text) == words(shown)


def test_lists_nest_and_keep_blocks_inside() -> None:
    (made,) = blocks("- a\n- b\n  1. c\n\n     d\n\n  ```\n  e <f>\n  ```")
    inner = BulletList(((para("c"), para("d")),), ordered=True)
    assert made == BulletList(((para("a"),), (para("b"), inner, CodeBlock("e <f>"))))


def test_quotes_typed_lines_and_rules() -> None:
    assert blocks("> a\n\n    typed\n      lines\n\n***\n\n```yaml\ncode: x\n```") == (
        Quote((para("a"),)),
        CodeBlock("typed\n  lines"),
        CodeBlock("code: x"),
    )


@pytest.mark.parametrize(("mark", "level"), [("#", 2), ("##", 2), ("###", 3), ("#####", 3)])
def test_headings_have_two_levels_below_the_title(mark: str, level: int) -> None:
    assert blocks(f"{mark} The *fan* `B5` {{code:P0117}}") == (Heading(level, "The fan B5 P0117"),)


def test_a_table_has_its_caption_from_the_line_before_it() -> None:
    rows = "| Cavity | Volts | State |\n|---|--:|:-:|\n| {cavity:B5.1} | 4.9 V | *cold* |\n"
    (table,) = blocks("Table: Values at {code:P0117}\n\n" + rows)
    assert table == Table(
        "Values at P0117",
        ("Cavity", "Volts", "State"),
        (((Code("B5.1"),), words("4.9 V"), (Emphasis(words("cold")),)),),
        align=("left", "right", "centre"),
        row_heads=False,
    )


def test_a_table_without_a_caption_takes_none_from_other_text() -> None:
    paragraph, table = blocks("Before.\n\n| a |\n|---|\n| 1 |")
    assert paragraph == para("Before.")
    assert isinstance(table, Table)
    assert table.caption == ""


def test_the_word_table_before_anything_else_is_text() -> None:
    assert blocks("Table: of contents\n\nmore") == (para("Table: of contents"), para("more"))


# ------------------------------------------------------------------------------------------------------ live references


def test_a_live_reference_becomes_what_it_points_at() -> None:
    assert inlines("See {code:P0117} at {cavity:M1-A.23}.") == (
        Text("See "),
        CODE_LINK,
        Text(" at "),
        Code("M1-A.23"),
        Text("."),
    )


def test_nothing_inside_a_reference_is_read_as_markdown() -> None:
    assert inlines("{cavity:M_1*a*_<b>.2}") == (Code("M_1*a*_<b>.2"),)


@pytest.mark.parametrize("text", ["{code:P9999}", "{nonsense:x}", "{code:}", "{code P0117}", "{", "{code:P0117"])
def test_a_reference_that_points_nowhere_stays_as_typed(text: str) -> None:
    assert inlines(text) == words(text)


def test_a_reference_in_code_is_shown_as_it_is_typed() -> None:
    assert inlines("`{code:P0117}`") == (Code("{code:P0117}"),)


def test_a_reference_inside_a_link_leaves_its_words() -> None:
    assert inlines("[see {code:P0117}](https://example.org)") == (WebLink("https://example.org", words("see P0117")),)


# ---------------------------------------------------------------------------------------------------------------- links


@pytest.mark.parametrize(
    ("text", "link"),
    [
        ("[x](https://example.org/a?b=1&c=2)", WebLink("https://example.org/a?b=1&c=2", words("x"))),
        ("[x](HTTP://example.org)", WebLink("HTTP://example.org", words("x"))),
        ("<https://example.org>", WebLink("https://example.org", words("https://example.org"))),
        ("[x](mailto:desk@example.org)", WebLink("mailto:desk@example.org", words("x"))),
        ("[x][1]\n\n[1]: https://example.org", WebLink("https://example.org", words("x"))),
        ("[x](#P0118-step-4)", Link("P0118-step-4", words("x"))),
        ("[x](P0117.ipynb)", Link("P0117", words("x"), page=True)),
        ("[x](../chapters/P0117.ipynb#anything)", Link("P0117", words("x"), page=True)),
    ],
)
def test_a_link_leads_to_the_web_to_an_anchor_or_to_another_notebook(text: str, link: Inline) -> None:
    assert inlines(text) == (link,)


# Ways round a check of the scheme that browsers take (URL Standard, basic URL parser: letters in any case).
@pytest.mark.parametrize(
    "address",
    [
        "javascript:alert(1)",
        "JaVaScRiPt:alert(1)",
        "&#106;avascript:alert(1)",
        "data:text/html,x",
        "data:image/png;base64,x",
        "vbscript:x",
        "file:///etc/passwd",
        "//example.org/x",
        "blob:x",
    ],
)
def test_an_address_that_can_do_something_is_refused_and_its_words_are_kept(address: str) -> None:
    made, problems = judged(f"first\n[words]({address}) after")
    assert made == (para("first words after"),)
    assert [(rule, line) for rule, line, _ in problems] == [("prose-unsafe", 6)]


def test_an_address_in_angle_brackets_is_judged_too() -> None:
    made, problems = judged("<javascript:alert(1)>")
    assert made == (para("javascript:alert(1)"),)
    assert problems == [("prose-unsafe", 5, "javascript:alert(1)")]


@pytest.mark.parametrize("address", ["other.html", "java%09script:alert(1)", "P9999.ipynb", "#", "/etc/passwd"])
def test_a_link_to_nothing_in_the_manual_is_dangling(address: str) -> None:
    made, problems = judged(f"[words]({address})")
    assert made == (para("words"),)
    assert [rule for rule, _, _ in problems] == ["link-dangling"]


# ------------------------------------------------------------------------------------------------------------- raw HTML

HTML = [
    ("<script>alert(1)</script>", ["<script>"]),
    ('<img src=x onerror="alert(1)">', ['<img src=x onerror="alert(1)">']),
    ("a <b>bold</b> word", ["<b>"]),
    ("<!-- note to myself -->", ["<!-- note to myself -->"]),
    ("<iframe src='https://example.org'></iframe>", ["<iframe src='https://example.org'>"]),
    ("<?php x ?>", ["<?php x ?>"]),
    ("<svg onload=alert(1)><path/></svg>", ["<svg onload=alert(1)>", "<path/>"]),
    ("</div>", ["</div>"]),
]


@pytest.mark.parametrize(("text", "found"), HTML)
def test_html_is_printed_as_typed_and_each_piece_is_reported(text: str, found: list[str]) -> None:
    made, problems = judged(text)
    assert made == (para(text),)
    assert problems == [("prose-unsafe", 5, piece) for piece in found]


def test_a_block_of_html_is_text_in_which_markdown_still_counts() -> None:
    made, problems = judged("<div>\n*b*\n</div>\n\nafter")
    assert made == (Paragraph((Text("<div> "), Emphasis(words("b")), Text(" </div>"))), para("after"))
    assert problems == [("prose-unsafe", 5, "<div>")]


def test_each_finding_names_its_own_line() -> None:
    _, problems = judged("a\nb <i>x</i>\n\n> c\n> <u>\n\n| h |\n|---|\n| d |\n| <br> |\n")
    assert problems == [("prose-unsafe", 6, "<i>"), ("prose-unsafe", 9, "<u>"), ("prose-unsafe", 14, "<br>")]


def test_html_in_code_is_no_finding() -> None:
    assert inlines("`<script>`") == (Code("<script>"),)


def test_a_finding_says_where_what_and_what_to_do() -> None:
    _, (problem,) = render_markdown("<b>", resolve, PLACE)
    assert problem.place == Place("chapters/P0118.ipynb", 3, 5)
    assert "'<b>'" in problem.message
    assert problem.expected == "Markdown"
    assert problem.suggestion


@settings(deadline=None)  # the first formula loads the plotting library
@given(st.text(st.sampled_from("ab<>/!-&;\"'`*_[](){}#|\n $\\:scriptjav"), max_size=60))
def test_no_text_stops_the_reading_and_findings_stay_inside_the_text(text: str) -> None:
    made, problems = render_markdown(text, resolve, PLACE)
    assert isinstance(made, tuple)
    last = PLACE.line + text.count("\n")
    assert all(isinstance(problem, Problem) and PLACE.line <= problem.place.line <= last for problem in problems)


# ------------------------------------------------------------------------------------------------------------- formulas


def test_a_formula_is_a_picture_with_its_source_as_words() -> None:
    text, picture, end = inlines(r"With $U = \frac{R_2}{R_1 + R_2}$ volts")
    assert (text, end) == (Text("With "), Text(" volts"))
    assert isinstance(picture, Picture)
    assert picture.alt == r"U = \frac{R_2}{R_1 + R_2}"
    assert picture.depth > 2  # a fraction hangs below the line


def test_a_formula_of_its_own_is_a_paragraph() -> None:
    (paragraph,) = blocks("$$\n\\tau =\n R \\cdot C\n$$")
    assert isinstance(paragraph, Paragraph)
    assert plain(paragraph.children) == r"\tau = R \cdot C"


def test_a_formula_that_cannot_be_set_is_printed_as_typed_and_reported() -> None:
    made, problems = judged("one\ntwo $\\begin{cases}x\\end{cases}$")
    assert made == (para("one two $\\begin{cases}x\\end{cases}$"),)
    assert problems == [("value-malformed", 6, r"\begin{cases}x\end{cases}")]


def test_text_without_a_formula_never_loads_the_plotting_library() -> None:
    program = (
        "import sys; from authorkit.manual.markdown import render_markdown; from authorkit.problems import Place; "
        "render_markdown('*b* {code:X}', lambda kind, target: None, Place('x')); print('matplotlib' in sys.modules)"
    )
    result = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert result.stdout == "False\n"


# ------------------------------------------------------------------------------------------------------------- pictures

FIGURE = Figure("cap", b"", "png", "alt", 1, 1)


def with_pictures(text: str) -> tuple[tuple[Block, ...], list[str], list[tuple[str, str, str]]]:
    """Blocks, rules of the findings, and what was asked for; only sensor.png exists."""
    asked: list[tuple[str, str, str]] = []

    def picture(path: str, alt: str, title: str) -> Block | None:
        asked.append((path, alt, title))
        return FIGURE if path == "sensor.png" else None

    made, problems = render_markdown(text, resolve, PLACE, picture=picture)
    return made, [problem.rule for problem in problems], asked


@pytest.mark.parametrize("path", ["figures/sensor.png", "../figures/sensor.png", "./../figures/sensor.png"])
def test_a_picture_of_the_authors_follows_its_paragraph_as_a_figure(path: str) -> None:
    made, problems, asked = with_pictures(f'before ![The sensor]({path} "Where it sits") after')
    assert made == (para("before  after"), FIGURE)
    assert problems == []
    assert asked == [("sensor.png", "The sensor", "Where it sits")]


def test_a_picture_alone_is_only_the_figure() -> None:
    assert with_pictures("![The sensor](figures/sensor.png)")[0] == (FIGURE,)


@pytest.mark.parametrize(
    ("path", "rule", "asked"),
    [
        ("figures/gone.png", "figure-missing", 1),
        ("figures/../../etc/passwd", "figure-missing", 0),
        ("figures/%2e%2e/secret.png", "figure-missing", 0),
        ("/etc/passwd", "figure-missing", 0),
        ("attachment:image.png", "prose-unsafe", 0),
        ("https://example.org/x.png", "prose-unsafe", 0),
        ("//example.org/x.png", "prose-unsafe", 0),
        ("data:image/svg+xml,x", "prose-unsafe", 0),
    ],
)
def test_a_picture_that_cannot_be_shown_leaves_its_words_and_is_reported(path: str, rule: str, asked: int) -> None:
    made, problems, questions = with_pictures(f"![The sensor]({path})")
    assert made == (para("The sensor"),)
    assert problems == [rule]
    assert len(questions) == asked


def test_a_picture_named_by_its_id_is_a_reference() -> None:
    made, problems, asked = with_pictures("![]({code:P0117}) ![]({figure:gone})")
    assert made == (Paragraph((CODE_LINK, Text(" {figure:gone}"))),)
    assert (problems, asked) == ([], [])


# ------------------------------------------------------------------------------------------------------------- too much


def test_what_lies_too_deep_is_said_not_lost_in_silence() -> None:
    made, problems = judged("> " * 60 + "deep")
    assert "deep" not in repr(made)
    assert [rule for rule, _, _ in problems] == ["value-malformed"]
    assert "deep" in repr(blocks("> " * 20 + "deep"))


@pytest.mark.parametrize("text", ["[" * 3000, "*" * 5000 + "a", "{code:" * 3000, "<" * 5000, "![[" * 1000, "$" * 5000])
def test_a_text_made_to_be_slow_is_read_all_the_same(text: str) -> None:
    made, _ = render_markdown(text, resolve, PLACE)
    assert made
