"""The real demo manual before outside judges: every page valid by vnu, every kind of page clean by axe-core."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from authorkit.facts.read_book import read_book
from authorkit.manual.compose import compose
from authorkit.output.html import write_html

if TYPE_CHECKING:
    from playwright.sync_api import Page as Tab

pytestmark = [pytest.mark.browser, pytest.mark.slow]


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    book, problems = read_book(Path(__file__).parents[2])
    assert book is not None
    assert not problems
    manual, problems = compose(book)
    assert not problems
    target = tmp_path_factory.mktemp("demo") / "manual"
    assert write_html(manual, target) == ()
    return target


def test_every_page_is_valid_html(
    demo: Path, require_tool: Callable[[str], str], require_node_file: Callable[[str], Path]
) -> None:
    """The Nu Html Checker (W3C's validator): no error on any page."""
    jar = require_node_file("vnu-jar/build/dist/vnu.jar")
    pages = [str(path) for path in sorted(demo.glob("*.html"))]
    assert len(pages) >= 20
    command = [require_tool("java"), "-jar", str(jar), "--format", "json", "--errors-only", *pages]
    found = subprocess.run(command, capture_output=True, text=True, check=False)
    assert json.loads(found.stderr)["messages"] == []


@pytest.mark.parametrize("colours", ["light", "dark"])
def test_no_page_violates_the_accessibility_rules(
    demo: Path, open_tab: Callable[..., Tab], require_node_file: Callable[[str], Path], colours: str
) -> None:
    """All rules of axe-core, WCAG 2.2 AA among them, on a plain chapter, two high-voltage ones and the lists."""
    axe = require_node_file("axe-core/axe.min.js").read_text(encoding="utf-8")
    for file in ("index", "P0118", "P0AA6", "P0A3F", "codes", "tools-and-terms", "front-2-safety"):
        tab = open_tab(demo, file, colours=colours)
        tab.evaluate(axe)
        result = tab.evaluate("async () => await axe.run({preload: false})")
        assert [(rule["id"], rule["nodes"][0]["html"]) for rule in result["violations"]] == [], file
