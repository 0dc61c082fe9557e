"""JupyterLab as the author uses it: a chapter is opened, run, changed, broken, completed and explained in Chromium."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING

import pytest

from tests.desk.conftest import copy_of_the_demo

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Locator
    from playwright.sync_api import Page as Tab

pytestmark = pytest.mark.browser

SECONDS = 60  # to wait for what a busy machine does at its leisure
PAGE_PIXELS = (1300, 1000)


@pytest.fixture(scope="module")
def address(repo_root: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """JupyterLab on a copy of the demo manual, started once as the author starts it; where the chapter P0118 is."""
    folder = copy_of_the_demo(repo_root, tmp_path_factory.mktemp("lab"))
    home = tmp_path_factory.mktemp("home")
    command = [sys.executable, "-m", "authorkit", "desk", str(folder), "--no-browser", "--chapter", "P0118"]
    environment = {name: value for name, value in os.environ.items() if not name.startswith("JUPYTER")}
    server = subprocess.Popen(
        command,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        cwd=folder,
        env={**environment, "HOME": str(home), "JUPYTER_PLATFORM_DIRS": "0"},
        start_new_session=True,
    )
    assert server.stdout is not None
    said = server.stdout
    try:
        yield _address(said)
    finally:
        Thread(target=said.read, daemon=True).start()
        server.terminate()
        try:
            server.wait(SECONDS)
        except subprocess.TimeoutExpired:
            os.killpg(server.pid, signal.SIGKILL)
        server.wait()
        said.close()


def _address(said: Iterator[str]) -> str:
    lines = []
    for line in said:
        lines.append(line)
        found = re.search(r"http://127\.0\.0\.1:\S+token=\w+", line)
        if found:
            return found.group()
    pytest.fail(f"JupyterLab did not start:\n{''.join(lines)}")


@dataclass
class Author:
    """Somebody who writes a chapter: acts with mouse and keyboard, and sees the facts cell."""

    tab: Tab
    lines: list[str]
    runs: int = 0

    @property
    def cell(self) -> Locator:
        return self.tab.locator(".jp-CodeCell").first

    @property
    def output(self) -> Locator:
        return self.cell.locator(".jp-OutputArea-output")

    def run(self) -> str:
        """Run the cell and wait for its output; its words."""
        self.runs += 1
        self.tab.keyboard.press("Control+Enter")
        self.cell.locator(".jp-InputPrompt", has_text=f"[{self.runs}]").wait_for(timeout=1000 * SECONDS)
        return "\n".join(self.output.all_inner_texts()).replace("\N{NARROW NO-BREAK SPACE}", " ")

    def go_to(self, text: str) -> int:
        """Put the cursor at the beginning of the first line that holds a text."""
        number = next(number for number, line in enumerate(self.lines) if text in line)
        self.cell.locator(".cm-content").click()
        self.tab.keyboard.press("Control+Home")
        for _ in range(number):
            self.tab.keyboard.press("ArrowDown")
        return number

    def retype(self, text: str, new: str) -> None:
        """Replace the words of the line that holds a text."""
        number = self.go_to(text)
        self.tab.keyboard.press("Home")
        self.tab.keyboard.press("Shift+End")
        self.tab.keyboard.type(new)
        indent = len(self.lines[number]) - len(self.lines[number].lstrip())
        self.lines[number] = " " * indent + new

    def choose(self, word: str) -> None:
        """Go down the list of completions to a word, and take it."""
        active = self.tab.locator(".jp-Completer-item.jp-mod-active")
        for _ in range(30):
            if word in active.inner_text():
                self.tab.keyboard.press("Enter")
                return
            self.tab.keyboard.press("ArrowDown")
        pytest.fail(f"'{word}' is not in the list")


@pytest.fixture
def author(chromium: Browser, address: str, facts_of: dict[str, str]) -> Iterator[Author]:
    context = chromium.new_context(viewport={"width": PAGE_PIXELS[0], "height": PAGE_PIXELS[1]})
    tab = context.new_page()
    tab.set_default_timeout(1000 * SECONDS)
    tab.goto(address)
    tab.locator(".jp-CodeCell .cm-content").first.wait_for()
    tab.get_by_text("Python 3 | Idle").wait_for()
    author = Author(tab, facts_of["chapters/P0118.ipynb"].split("\n"))
    author.cell.locator(".cm-content").click()
    yield author
    context.close()


@pytest.fixture(scope="session")
def facts_of(repo_root: Path) -> dict[str, str]:
    """The text of the chapter's facts cell."""
    cells = json.loads((repo_root / "chapters" / "P0118.ipynb").read_text(encoding="utf-8"))["cells"]
    return {"chapters/P0118.ipynb": next(text for cell in cells if (text := "".join(cell["source"])).startswith("%%"))}


def test_a_chapter_is_written_and_seen_proven_as_one_types(author: Author, picture: Callable[[Tab, str], None]) -> None:
    # Run: no error, the drawings are there, the cold sensor reads 2.5 V.
    assert "Error" not in author.run()
    widths = author.output.locator("img").evaluate_all("images => images.map(image => image.naturalWidth)")
    assert len(widths) >= 4
    assert min(widths) > 100
    assert re.search(
        r"M1-A\.23 \(ECT SIG\)\s+2\.5 V", "\n".join(author.output.all_inner_texts()).replace("\u202f", " ")
    )
    picture(author.tab, "run")

    # A value is changed: at 25 °C the divider gives 5 V × 2.05 / (2.49 + 2.05) = 2.258 V.
    author.retype("cold: {key: on", "cold: {key: on, B5: 25 °C}")
    assert re.search(r"M1-A\.23 \(ECT SIG\)\s+2\.258 V", author.run())
    author.retype("cold: {key: on", "cold: {key: on, B5: 20 °C}")

    # A mistake is shown with its line and what to do; the drawings stay.
    author.retype("set-by: M1", "set-by: M11")
    words = author.run()
    assert "Error line 4, column 9" in words
    assert "4 | set-by: M11" in words
    assert "Did you mean 'M1'?" in words
    assert author.output.locator("img").count() >= 4
    picture(author.tab, "mistake")
    author.retype("set-by: M11", "set-by: M1")

    # A connector is completed by Tab.
    author.go_to("B5.2], series: B}")
    author.tab.keyboard.press("End")
    author.tab.keyboard.press("Enter")
    author.tab.keyboard.type("    - [m1-a.2")
    author.tab.keyboard.press("Tab")
    offered = author.tab.locator(".jp-Completer-item")
    offered.first.wait_for()
    assert "M1-A.23" in "\n".join(offered.all_inner_texts())
    picture(author.tab, "completion")
    author.choose("M1-A.25")
    author.cell.locator(".cm-line", has_text="- [M1-A.25").wait_for()

    # A key is explained by Shift+Tab.
    author.go_to("lamp: ")
    for _ in range(2):
        author.tab.keyboard.press("ArrowRight")
    author.tab.keyboard.press("Shift+Tab")
    tooltip = author.tab.locator(".jp-Tooltip")
    tooltip.wait_for()
    assert "Which lamp is on, and when." in tooltip.inner_text()
    picture(author.tab, "help")


@pytest.fixture
def picture(tmp_path: Path) -> Callable[[Tab, str], None]:
    """Keeps what is on the screen, to be looked at after a failure."""

    def take(tab: Tab, name: str) -> None:
        tab.screenshot(path=tmp_path / f"{name}.png")

    return take
