"""The design tokens of the manual: fonts, colours, sizes and the few words that a writer adds, read by both writers."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any


@cache
def design_tokens() -> Mapping[str, Any]:
    """The tokens as they stand in theme/tokens.json; sizes in points, lengths of the page in millimetres."""
    tokens: dict[str, Any] = json.loads(theme_file("tokens.json"))
    return tokens


def theme_file(name: str) -> bytes:
    """A file of the theme that ships with the toolkit."""
    return (files("authorkit.output") / "theme" / name).read_bytes()
