"""Finished pictures kept from build to build, keyed by everything they were made from, so that nothing is drawn twice.

The key holds the facts and the whole toolkit: a picture that is found is the one that would be drawn.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from authorkit.drawing.picture import Picture
from authorkit.problems import Problem
from authorkit.store import KeptFiles, content_key, packed, unpacked

Drawn = tuple[tuple[Picture, ...], tuple[Problem, ...]]


@dataclass(frozen=True)
class PictureStore:
    """Pictures by what they show. Without a folder everything is drawn each time."""

    kept: KeptFiles = KeptFiles(None)

    def pictures(self, kind: str, facts: object, draw: Callable[[], Drawn]) -> Drawn:
        """The pictures of some facts: from disk if they are there, else drawn and kept.

        `kind` tells apart what may be drawn of the same facts. Pictures with findings are not kept: the findings name
        places, which are no part of the key.
        """
        if self.kept.folder is None:
            return draw()
        key = content_key(kind, facts)
        known = _read(self.kept.get(key))
        if known is not None:
            return known, ()
        made, problems = draw()
        if not problems:
            self.kept.put(key, packed(made))
        return made, problems


def _read(data: bytes | None) -> tuple[Picture, ...] | None:
    if data is None:
        return None
    try:
        found = unpacked(data)
    except ValueError:
        return None
    whole = isinstance(found, tuple) and all(isinstance(item, Picture) for item in found)
    return found if whole else None
