"""The validation report as a page: whole by itself, valid, safe, and readable without colour."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from authorkit.checks.run import Findings
from authorkit.output.findings.report import as_report
from authorkit.problems import RULES, Place, Problem

if TYPE_CHECKING:
    from playwright.sync_api import Page

LineOf = Callable[[Place], str | None]


class Seen(HTMLParser):
    """Elements, ids, links and text of a page."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.elements: list[str] = []
        self.ids: list[str] = []
        self.links: list[str] = []
        self.loaded: list[str] = []
        self.text = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append(tag)
        given = dict(attrs)
        self.ids += [given["id"]] if given.get("id") else []
        self.links += [given["href"] or ""] if tag == "a" else []
        self.loaded += [value or "" for name, value in attrs if name in ("src", "srcset", "data", "action")]
        self.loaded += [given["href"] or ""] if tag == "link" else []

    def handle_data(self, data: str) -> None:
        self.text += data


def test_the_page_counts_groups_and_quotes(findings: Findings, line_of: LineOf) -> None:
    text = Seen(as_report(findings, line_of, "Parcel")).text
    assert "Validation report: Parcel" in text
    assert "1 error, 1 warning, 1 note, 1 accepted." in text
    assert "error The wire K131 from B5.1 to X12.4 is GN here & BU there." in text
    assert "cell 2, line 7, column 12" in text
    assert "K131 <GN> &" in text
    assert "the file as a whole" in text
    assert "Accepted because: Draft for the class" in text


def test_each_rule_that_is_broken_is_explained_once_and_linked(findings: Findings, line_of: LineOf) -> None:
    seen = Seen(as_report(findings, line_of, "Parcel"))
    assert sorted(seen.ids) == ["rule-figure-unused", "rule-procedure-length", "rule-wire-two-colours"]
    assert {link.removeprefix("#") for link in seen.links} == set(seen.ids)


def test_nothing_is_loaded_from_outside(findings: Findings, line_of: LineOf) -> None:
    page = as_report(findings, line_of, "Parcel")
    seen = Seen(page)
    assert seen.loaded == []
    assert "script" not in seen.elements
    assert "default-src 'none'" in page
    assert not re.search(r"url\(|@import", page)


def test_a_clean_check_is_a_page_too(nothing: Findings, line_of: LineOf) -> None:
    seen = Seen(as_report(nothing, line_of, "Parcel"))
    assert "No findings." in seen.text
    assert "article" not in seen.elements


def test_text_of_the_author_never_becomes_markup(hostile: Findings, line_of: LineOf) -> None:
    page = as_report(hostile, line_of, "<script>alert(2)</script>")
    seen = Seen(page)
    assert "script" not in seen.elements
    assert "</script><script>alert('1')</script>" in seen.text
    page.encode("utf-8")


def test_the_same_findings_give_the_same_page(findings: Findings, line_of: LineOf) -> None:
    assert as_report(findings, line_of, "Parcel") == as_report(findings, line_of, "Parcel")


@pytest.mark.slow
def test_the_page_is_valid_html(
    findings: Findings,
    hostile: Findings,
    nothing: Findings,
    line_of: LineOf,
    require_tool: Callable[[str], str],
    require_node_file: Callable[[str], Path],
    tmp_path: Path,
) -> None:
    """Judged by the Nu HTML checker, with the explanations of all rules on one page."""
    every = Findings(tuple(Problem(rule, "It is so.", Place("a.ipynb", 1, 1)) for rule in RULES), ())
    for name, case in {"some": findings, "bad": hostile, "none": nothing, "all": every}.items():
        (tmp_path / f"{name}.html").write_text(as_report(case, line_of, "Parcel"), encoding="utf-8")
    jar = require_node_file("vnu-jar/build/dist/vnu.jar")
    result = subprocess.run(
        [require_tool("java"), "-jar", str(jar), "--format", "gnu", *(path.name for path in tmp_path.glob("*.html"))],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (result.returncode, result.stderr) == (0, "")


@pytest.mark.browser
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_page_can_be_read_by_everybody(
    findings: Findings,
    line_of: LineOf,
    chromium_page: Page,
    require_node_file: Callable[[str], Path],
    scheme: str,
    tmp_path: Path,
) -> None:
    """Judged by axe-core, which knows WCAG 2.2 AA: contrast, headings, names, keyboard."""
    path = tmp_path / "report.html"
    # The judge itself is a script, which the page would refuse.
    page = re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", as_report(findings, line_of, "Parcel"))
    path.write_text(page, encoding="utf-8")
    chromium_page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
    chromium_page.goto(path.as_uri())
    chromium_page.add_script_tag(path=require_node_file("axe-core/axe.min.js"))
    tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
    result = chromium_page.evaluate("tags => axe.run(document, {runOnly: tags})", tags)
    assert [(each["id"], each["nodes"][0]["html"]) for each in result["violations"]] == []
    assert {"color-contrast", "heading-order"} <= {each["id"] for each in result["passes"]}
