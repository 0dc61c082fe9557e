"""The last good pages, what is wrong at present, and who waits for news of them."""

from __future__ import annotations

import hashlib
import threading
from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass
class Shelf:
    """What the server hands out. Every method may be called from any thread."""

    _files: Mapping[str, bytes] = field(default_factory=dict)
    _problems: str = ""
    _version: int = 0
    _closed: bool = False
    _news: threading.Condition = field(default_factory=threading.Condition)

    def put(self, files: Mapping[str, bytes] | None, problems: str) -> None:
        """New pages, or None where the last good ones stay; `problems` are the findings as text, '' for none."""
        with self._news:
            if files is not None:
                self._files = files
            self._problems = problems
            self._version += 1
            self._news.notify_all()

    def close(self) -> None:
        """Let everybody go who waits."""
        with self._news:
            self._closed = True
            self._news.notify_all()

    def file(self, name: str) -> bytes | None:
        """A file of the manual by its path."""
        with self._news:
            return self._files.get(name)

    def stamp(self, name: str) -> str:
        """What changes whenever a page, or how it looks, changes; '' if there is no such page."""
        with self._news:
            page = self._files.get(name)
            if page is None:
                return ""
            looks = [self._files.get(f"assets/{asset}", b"") for asset in ("style.css", "page.js", "search.js")]
        return hashlib.sha256(b"\0".join([page, *looks])).hexdigest()[:16]

    @property
    def problems(self) -> str:
        """The findings that stand in the way of the newest pages."""
        with self._news:
            return self._problems

    def wait(self, version: int, seconds: float) -> int | None:
        """The version as soon as it is another than `version`, the same one after that time; None when closed."""
        with self._news:
            self._news.wait_for(lambda: self._closed or self._version != version, timeout=seconds)
            return None if self._closed else self._version
