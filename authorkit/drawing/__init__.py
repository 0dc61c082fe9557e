"""Drawings: the circuit of a page and the faces of its connectors."""

from __future__ import annotations

from authorkit.drawing.circuit import draw_circuit
from authorkit.drawing.face import draw_face
from authorkit.drawing.picture import Picture
from authorkit.drawing.sheet import beside

__all__ = ["Picture", "beside", "draw_circuit", "draw_face"]
