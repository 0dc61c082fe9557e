"""Text and pictures of a hostile author in a real browser: shown, and doing nothing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from authorkit.manual.blocks import CautionBlock, Figure, Heading, Paragraph, Picture
from authorkit.output.html import write_html
from tests.output.html.samples import chapter, small_manual
from tests.output.sample_manual import sample_manual

if TYPE_CHECKING:
    from playwright.sync_api import Page as Tab

pytestmark = pytest.mark.browser

HOSTILE = [
    "<script>document.title = 'owned'; alert(1)</script> </title></style></svg><svg onload=alert(1)>",
    "\"><iframe src='https://example.org/'></iframe> ' onfocus='alert(1)' autofocus=' <img src=x onerror=\"alert(1)\">",
    "</main><base href='https://example.org/'> {{ 7*7 }} {% for x in y %} ${alert(1)} <%= x %> javascript:alert(1)",
    "<!-- --><meta http-equiv=refresh content='0;url=https://example.org/'> --> ]]> &lt;b&gt; &#x3c;i>",
]


def spoilt(item: Any, text: str) -> Any:
    """The same page model with `text` in the place of every text, caption, name and address."""
    if isinstance(item, str):
        return f"{item} {text}"
    if isinstance(item, tuple):
        return tuple(spoilt(part, text) for part in item)
    if not is_dataclass(item) or isinstance(item, type):
        return item
    kept = {
        "anchor",
        "target",
        "kind",
        "media",
        "index",
        "align",
        "system",
        "systems",
        "language",
        "row_anchors",
        "source",
    }
    changed = {f.name: spoilt(getattr(item, f.name), text) for f in fields(item) if f.name not in kept}
    if isinstance(item, Heading | Picture | Figure):
        changed = {name: value for name, value in changed.items() if name not in ("level", "data", "svg")}
    if isinstance(item, CautionBlock):
        changed["word"] = item.word
    return replace(item, **changed)


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_is_shown_and_does_nothing(tmp_path: Path, open_tab: Callable[..., Tab], text: str) -> None:
    assert write_html(spoilt(sample_manual(), text), tmp_path / "manual") == ()
    for file in ("index", "P0118", "page-index"):
        tab = open_tab(tmp_path / "manual", file)
        assert "owned" not in tab.title().replace(text, "")
        assert text in " ".join(tab.inner_text("main").split())
        assert tab.locator("iframe, base, object, embed, main script, main img:not([src^='assets/'])").count() == 0
        assert tab.locator("script").count() == 2
        handlers = tab.evaluate(
            "[...document.querySelectorAll('*')].flatMap(e => [...e.attributes])"
            ".filter(a => /^on|^style$/.test(a.name)).length"
        )
        assert handlers == 0
        schemes = set(tab.evaluate("[...document.querySelectorAll('a')].map(a => a.protocol)"))
        assert schemes <= {"file:", "https:"}


def test_a_hostile_picture_draws_its_shapes_and_nothing_else(tmp_path: Path, open_tab: Callable[..., Tab]) -> None:
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 9 9"'
        ' onload="alert(1)"><style>@import "https://example.org/x.css"; * { fill: url(https://example.org/x) }</style>'
        '<a xlink:href="javascript:alert(1)"><rect width="9" height="9"/></a><image href="https://example.org/x.png"/>'
        '<foreignObject><body xmlns="http://www.w3.org/1999/xhtml"><script>alert(1)</script></body></foreignObject>'
        '<use href="https://example.org/x.svg#a"/><script>alert(1)</script>'
        '<circle r="3"><set attributeName="href" to="javascript:alert(1)"/></circle></svg>'
    )
    page = chapter(
        "P0118",
        Figure("c", svg.encode(), "svg", "what it shows", 50, 50),
        Paragraph((Picture(svg.encode(), "x", 9, 9, 0),)),
    )
    problems = write_html(small_manual(page), tmp_path / "manual")
    assert {problem.rule for problem in problems} == {"page-refused"}
    tab = open_tab(tmp_path / "manual", "P0118")
    assert tab.locator("main svg circle").count() == 2
    assert tab.locator("main svg :is(script, a, image, set, style, foreignObject, [href])").count() == 0
