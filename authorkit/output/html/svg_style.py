"""The little of CSS that drawing programs write into SVG: simple selectors and declarations."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
_RULE = re.compile(r"([^{}]+)\{([^{}]*)\}")
# 'italic bold 10px/1.2 Liberation Sans': style, weight, size and family; the order is CSS's own.
_FONT = re.compile(
    r"(?:(?P<style>italic|oblique|normal)\s+)?(?:(?P<weight>bold|normal|\d{3})\s+)?(?P<size>[\d.]+[a-z%]*)"
    r"(?:\s*/\s*[\d.]+[a-z%]*)?\s+(?P<family>.+)",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Rule:
    """One selector ('*', 'path', '.wire', '#frame') and what it sets."""

    selector: str
    sets: tuple[tuple[str, str], ...]


def read_rules(text: str) -> tuple[Rule, ...]:
    """The rules of a style element. A rule of the '@' kind keeps its selector, so that it can be refused."""
    plain = _COMMENT.sub("", text)
    rules = [
        Rule(selector.strip(), tuple(declarations(body)))
        for selectors, body in _RULE.findall(plain)
        for selector in selectors.split(",")
    ]
    loose = _RULE.sub("", plain).strip()
    return (*rules, Rule(loose, ())) if loose.startswith("@") else tuple(rules)


def declarations(text: str) -> Iterator[tuple[str, str]]:
    """Name and value of each declaration of a style; `font` comes out as its parts.

    >>> dict(declarations("fill: none; font: bold 8px 'Liberation Sans'"))["font-weight"]
    'bold'
    """
    for part in text.split(";"):
        name, colon, value = part.partition(":")
        name, value = name.strip().lower(), value.replace("!important", "").strip()
        if name == "font":
            yield from _font_parts(value)
        elif colon:
            yield name, value


def _font_parts(value: str) -> Iterator[tuple[str, str]]:
    if match := _FONT.fullmatch(value):
        for part in ("style", "weight", "size", "family"):
            if match[part]:
                yield f"font-{part}", match[part]


def style_of(rules: Sequence[Rule], name: str, classes: Sequence[str], id_: str) -> Iterator[tuple[str, str]]:
    """What the rules set for an element, weakest first: '*', then its name, its classes, its id."""
    selectors = (("*",), (name,), [f".{one}" for one in classes], (f"#{id_}",))
    for strength in selectors:
        for rule in rules:
            if rule.selector in strength:
                yield from rule.sets
