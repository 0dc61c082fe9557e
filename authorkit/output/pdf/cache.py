"""Typeset parts kept from build to build, keyed by everything they were made from.

A part that is found is the one that would be typeset.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from authorkit.output.pdf.parts import Layout, Numbers, Part, Typeset
from authorkit.store import KeptFiles, content_key, packed, unpacked

_KEY = re.compile(r"[0-9a-z]+")  # anything else that stands in the list could be the path of another file


def key_of(part: Part, numbers: Numbers) -> str:
    """The name of a part with these page numbers in the cache."""
    return content_key("part", part.digest, numbers)


@dataclass(frozen=True)
class PartCache:
    """Typeset parts by key; without a folder nothing is kept. `sheet` names the list of what was typeset last."""

    kept: KeptFiles
    sheet: str

    def read(self, key: str) -> Typeset | None:
        """A part as it was typeset before, or None."""
        layout, pdf = self.layout(key), self.kept.get(_file(key))
        return Typeset(layout, pdf) if layout is not None and pdf is not None else None

    def layout(self, key: str) -> Layout | None:
        """How a part came out, or None."""
        data = self.kept.get(_layout(key))
        try:
            found = unpacked(data) if data is not None else None
        except ValueError:
            return None
        return found if isinstance(found, Layout) else None

    def keep(self, key: str, made: Typeset) -> None:
        """Keep a part for the next build."""
        self.kept.put(_file(key), made.pdf)
        self.kept.put(_layout(key), packed(made.layout))

    def last_layouts(self, parts: Sequence[Part]) -> list[Layout | None]:
        """How each part came out when it was last typeset, whatever was in it then: a good guess of how it will."""
        keys = self._last_keys()
        printed = {name for part in parts for name in part.printed}
        layouts: list[Layout | None] = []
        for part in parts:
            layout = self.layout(keys[part.anchor]) if part.anchor in keys else None
            known = layout and printed.intersection(part.names) <= layout.spots.keys()
            layouts.append(layout if known else None)
        return layouts

    def settle(self, keys: Mapping[str, str]) -> None:
        """After a build: remember the keys of the parts (by anchor) for the guesses of the next one."""
        last = self._last_keys() | dict(keys)
        alive = {anchor: key for anchor, key in last.items() if _layout(key) in self.kept}
        self.kept.put(self._last, json.dumps(alive, sort_keys=True).encode())

    def _last_keys(self) -> dict[str, str]:
        try:
            told: Any = json.loads(self.kept.get(self._last) or b"{}")
        except ValueError:
            return {}
        entries = told.items() if isinstance(told, dict) else ()
        return {anchor: key for anchor, key in entries if isinstance(key, str) and _KEY.fullmatch(key)}

    @property
    def _last(self) -> str:
        return f"last-{self.sheet}"


def _file(key: str) -> str:
    return f"{key}-pdf"


def _layout(key: str) -> str:
    return f"{key}-layout"
