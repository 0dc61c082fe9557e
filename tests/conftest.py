"""What tests of every room may ask for: the checkout, outside programs, and a page in a real browser."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

ROOT = Path(__file__).resolve().parent.parent
TOOLS = ROOT / "tests" / "tools"

# A browser that shows a local page and does nothing else: no look-ups, updates or account of its own.
CHROMIUM_FLAGS = [
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def pytest_addoption(parser: pytest.Parser) -> None:
    """What a run may do more than usual."""
    parser.addoption(
        "--every-fault", action="store_true", help="recompute every fault of the demo manual in ngspice, not a sample"
    )


@pytest.fixture(scope="session")
def repo_root() -> Path:
    """The folder that holds pyproject.toml."""
    return ROOT


@pytest.fixture(scope="session")
def require_tool() -> Callable[[str], str]:
    """A function from a program's name to its path; a missing program fails the test, it never skips it."""
    return find_tool


@pytest.fixture(scope="session")
def require_node_file() -> Callable[[str], Path]:
    """A function from a path like 'axe-core/axe.min.js' to that file among the installed Node packages."""
    return find_node_file


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """One Chromium without a window, for the whole run."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=find_tool("chromium"), headless=True, chromium_sandbox=False, args=CHROMIUM_FLAGS
        )
        yield browser
        browser.close()


@pytest.fixture
def chromium_page(chromium: Browser) -> Iterator[Page]:
    """A fresh page with no history, in A4's proportions; mark tests that use it with `browser`."""
    context = chromium.new_context(viewport={"width": 794, "height": 1123})
    yield context.new_page()
    context.close()


def find_tool(name: str) -> str:
    """The path of an outside program; fails the test with the Debian package to install."""
    path = shutil.which(name)
    if path is None:
        package = debian_packages().get(name, name)
        pytest.fail(f"'{name}' is not on the PATH; on Debian: apt-get install {package}", pytrace=False)
    return path


def find_node_file(path: str) -> Path:
    """A file of an installed Node package; fails the test if tests/run has not installed it."""
    file = TOOLS / "node_modules" / path
    if not file.is_file():
        pytest.fail(f"'{path}' is not in tests/tools/node_modules; tests/run installs it", pytrace=False)
    return file


def debian_packages() -> dict[str, str]:
    """Program name to Debian package, from the table that tests/run installs from."""
    lines = (TOOLS / "programs.txt").read_text(encoding="utf-8").splitlines()
    rows = [line.split(maxsplit=2) for line in lines if line and not line.startswith("#")]
    return {program: package for program, package, _ in rows}
