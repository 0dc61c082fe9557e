"""Blocks become a PDF, through Typst."""

from __future__ import annotations

from authorkit.output.pdf.write import page_map, write_pdf

__all__ = ["page_map", "write_pdf"]
