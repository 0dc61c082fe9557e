"""Connector faces, from the store if they were drawn before."""

from __future__ import annotations

from collections.abc import Mapping

from authorkit.drawing import Picture, draw_face
from authorkit.drawing.store import Drawn, PictureStore
from authorkit.model.wiring import Connector


def face_picture(store: PictureStore, connector: Connector, used: Mapping[str, str], here: frozenset[str]) -> Picture:
    """The face of a connector: `used` maps its used cavities to signal names, `here` are those of this circuit."""

    def drawn() -> Drawn:
        return (draw_face(connector, used, here),), ()

    pictures, _ = store.pictures("face", (connector, dict(used), here), drawn)
    return pictures[0]
