"""`authorkit watch` as its author sees it: a saved change appears, an error is told, the last good page stays."""

from __future__ import annotations

import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.desk.manuals import edit, small_manual

if TYPE_CHECKING:
    from playwright.sync_api import Page as Tab

pytestmark = pytest.mark.browser


@pytest.fixture
def manual(tmp_path: Path) -> Path:
    return small_manual(tmp_path)


@pytest.fixture
def watching(manual: Path) -> Iterator[tuple[str, subprocess.Popen[str]]]:
    """The running program, and the address that it prints."""
    command = [sys.executable, "-m", "authorkit", "watch", str(manual), "--port", "0"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True) as program:
        assert program.stdout is not None
        line = program.stdout.readline()
        address = re.search(r"http://127\.0\.0\.1:\d+/", line)
        assert address, line
        yield address.group(), program
        program.kill()


@pytest.mark.slow
def test_the_page_follows_what_is_saved(watching, manual: Path, chromium_page: Tab) -> None:
    address, program = watching
    faults: list[str] = []
    chromium_page.on("console", lambda message: faults.append(message.text))
    chromium_page.on("pageerror", lambda error: faults.append(str(error)))
    chromium_page.goto(address)
    chromium_page.wait_for_selector("text=P0118")  # appears as soon as it is built
    faults.clear()  # the first page was not there yet
    chromium_page.click("main a:has-text('P0118')")
    chromium_page.wait_for_url("**/P0118.html", wait_until="load")
    chromium_page.evaluate("scrollTo({top: 400, behavior: 'instant'}); window.same = true")

    edit(manual, "P0118", "trips: 2", "trips: 7")
    chromium_page.wait_for_selector("text=on 7 trips", timeout=30_000)
    assert chromium_page.evaluate("window.same") is None
    # The page's policy refuses what would wait inside it; so the waiting is done here.
    for _ in range(100):
        if chromium_page.evaluate("Math.abs(scrollY - 400) < 5"):
            break
        chromium_page.wait_for_timeout(50)
    assert chromium_page.evaluate("scrollY") == pytest.approx(400, abs=5)

    edit(manual, "P0118", "set-by: M1", "set-by: M99")
    box = chromium_page.wait_for_selector("#ui-watch", timeout=30_000)
    assert box is not None
    told = box.inner_text()
    assert "the page shows the last good state" in told
    assert re.search(r"chapters/P0118.ipynb, cell \d+, line \d+.*module-unknown", told)
    assert chromium_page.is_visible("text=on 7 trips")

    edit(manual, "P0118", "set-by: M99", "set-by: M1")
    chromium_page.wait_for_selector("#ui-watch", state="detached", timeout=30_000)
    assert faults == []

    program.send_signal(signal.SIGINT)
    rest, _ = program.communicate(timeout=30)
    assert program.returncode == 0
    assert "chapters/P0118.ipynb: built (" in rest
    assert "chapters/P0118.ipynb: not built, the last good pages stay (" in rest
    assert "Stopped." in rest
    assert "Traceback" not in rest
