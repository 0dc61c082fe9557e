"""Tabs that show an HTML manual from disk, and watch over what it does."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from authorkit.output.html import write_html
from tests.output.sample_manual import sample_manual

if TYPE_CHECKING:
    from playwright.sync_api import Browser
    from playwright.sync_api import Page as Tab


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample manual, written once, in a folder whose name needs quoting in an address."""
    target = tmp_path_factory.mktemp("html") / "my manual é"
    assert write_html(sample_manual(), target) == ()
    return target


@pytest.fixture
def open_tab(chromium: Browser) -> Iterator[Callable[..., Tab]]:
    """Opens tabs of a given kind; fails at the end if one asked for a file outside the manual or broke its policy."""
    contexts, faults = [], []

    def open_one(folder: Path, file: str, *, width: int = 1280, colours: Any = "light", **settings: Any) -> Tab:
        context = chromium.new_context(
            viewport={"width": width, "height": 800}, color_scheme=colours, reduced_motion="reduce", **settings
        )
        contexts.append(context)
        tab = context.new_page()
        root = folder.as_uri()
        tab.on("request", lambda request: None if request.url.startswith(root) else faults.append(request.url))
        tab.on("requestfailed", lambda request: faults.append(f"failed: {request.url}"))
        tab.on("console", lambda message: faults.append(message.text))
        tab.on("pageerror", lambda error: faults.append(str(error)))
        tab.on("dialog", lambda dialog: faults.append(f"dialog: {dialog.message}"))
        tab.goto(f"{root}/{file}.html")
        return tab

    yield open_one
    for context in contexts:
        context.close()
    assert faults == []
