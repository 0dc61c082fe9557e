"""The outside programs that judge the pages: each is there, passes a good page and refuses a bad one."""

from __future__ import annotations

import ctypes
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Page

GOOD = """<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><title>Coolant sensor</title></head>
<body><main><h1>Coolant sensor</h1><p>Measure at cavity 23.</p></main></body></html>
"""
BAD = GOOD.replace("<p>", '<p colour="pale" style="color: #aaa; background: #fff">')
TABLE = Path(__file__).with_name("tools") / "programs.txt"
NEEDED = [line.split()[0] for line in TABLE.read_text().splitlines() if not line.startswith("#")]


@pytest.mark.parametrize("program", [name for name in NEEDED if ".so." not in name])
def test_program_is_installed(require_tool: Callable[[str], str], program: str) -> None:
    assert Path(require_tool(program)).name == program


@pytest.mark.parametrize("library", [name for name in NEEDED if ".so." in name])
def test_library_is_installed(library: str) -> None:
    assert ctypes.CDLL(library)


def test_a_missing_program_fails_the_test_and_names_what_to_install(
    require_tool: Callable[[str], str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", "")
    with pytest.raises(pytest.fail.Exception, match="apt-get install poppler-utils"):
        require_tool("pdftotext")


def test_a_missing_node_file_fails_the_test_and_names_what_installs_it(
    require_node_file: Callable[[str], Path],
) -> None:
    with pytest.raises(pytest.fail.Exception, match="tests/run installs it"):
        require_node_file("no-such-package/index.js")


@pytest.mark.slow
def test_the_html_checker_passes_a_good_page_and_refuses_an_unknown_attribute(
    require_tool: Callable[[str], str], require_node_file: Callable[[str], Path], tmp_path: Path
) -> None:
    jar = require_node_file("vnu-jar/build/dist/vnu.jar")
    (tmp_path / "good.html").write_text(GOOD)
    (tmp_path / "bad.html").write_text(BAD)
    result = subprocess.run(
        [require_tool("java"), "-jar", str(jar), "--format", "gnu", "good.html", "bad.html"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )
    assert result.returncode == 1
    assert "good.html" not in result.stderr
    assert "bad.html" in result.stderr


@pytest.mark.browser
def test_axe_in_the_browser_passes_a_good_page_and_refuses_pale_text(
    chromium_page: Page, require_node_file: Callable[[str], Path]
) -> None:
    """The contrast rule needs a real layout: WCAG 2.2, success criterion 1.4.3, asks for 4.5 to 1."""
    assert axe_violations(chromium_page, GOOD, require_node_file) == []
    assert "color-contrast" in axe_violations(chromium_page, BAD, require_node_file)


def axe_violations(page: Page, html: str, require_node_file: Callable[[str], Path]) -> list[str]:
    """The ids of the axe rules that a page breaks."""
    page.set_content(html)
    page.add_script_tag(path=require_node_file("axe-core/axe.min.js"))
    violations: list[str] = page.evaluate("async () => (await axe.run()).violations.map((rule) => rule.id)")
    return violations
