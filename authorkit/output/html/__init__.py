"""Blocks become a folder of HTML pages that opens from disk."""

from __future__ import annotations

from authorkit.output.html.write import write_html

__all__ = ["write_html"]
