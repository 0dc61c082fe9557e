"""The explanations of all rules as a small manual of their own, from the texts that `authorkit explain` prints."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.manual.blocks import Block, Heading, Manual, Page, Paragraph, words
from authorkit.manual.markdown import render_markdown
from authorkit.problems import RULES, Place
from authorkit.problems.explain import explanation


def rule_pages() -> Manual:
    """One page for each group of rules, in the order of the catalogue."""
    groups = dict.fromkeys(rule.group for rule in RULES.values())
    pages = [Page("title", "The rules", "title"), Page("contents", "Contents", "contents")]
    pages += [Page(f"rules-{group}", f"Rules: {group}", "front", tuple(_group(group))) for group in groups]
    return Manual("The rules of authorkit", "What is checked, and why", "en", "", "authorkit", (), tuple(pages))


def _group(group: str) -> Iterator[Block]:
    for rule in RULES.values():
        if rule.group == group:
            yield Heading(2, rule.id, rule.id)
            yield Paragraph(words(f"Severity: {rule.severity}."))
            yield from _text(rule.id)


def _text(rule: str) -> Iterator[Block]:
    """The explanation below its title; its own headings stand one level lower here."""
    _, _, text = explanation(rule).partition("\n")
    blocks, _ = render_markdown(text.replace("\n## ", "\n### "), lambda _kind, _target: None, Place(f"{rule}.md"))
    yield from blocks
