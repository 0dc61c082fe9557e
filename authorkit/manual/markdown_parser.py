"""The author's Markdown as a tree: CommonMark with tables, formulas and live references.

Raw HTML is recognised so that it can be refused by name; none of it is passed on.
"""

from __future__ import annotations

from functools import cache

from markdown_it import MarkdownIt
from markdown_it.rules_inline import StateInline
from markdown_it.tree import SyntaxTreeNode
from mdit_py_plugins.dollarmath import dollarmath_plugin

from authorkit.model.reference import find_references

# Lists in lists in quotes: nobody reads deeper, and the parser drops what lies deeper without a word.
DEEPEST = 40
_LONGEST_REFERENCE = 120


def parse(text: str) -> tuple[SyntaxTreeNode, bool]:
    """The tree of a text, and whether something in it lay too deep to be read."""
    tokens = _parser().parse(text)
    return SyntaxTreeNode(tokens), any(token.level >= DEEPEST - 1 for token in tokens)


@cache
def _parser() -> MarkdownIt:
    parser = MarkdownIt("commonmark", {"maxNesting": DEEPEST}).enable("table").disable("html_block")
    # Addresses are judged by the reader, which tells the author; the parser would only leave the brackets standing.
    parser.validateLink = lambda url: True  # type: ignore[method-assign]
    parser.use(dollarmath_plugin, allow_labels=False, allow_space=False, allow_digits=False)
    parser.inline.ruler.before("emphasis", "reference", _reference)
    return parser


def _reference(state: StateInline, silent: bool) -> bool:
    """An inline rule for `{kind:target}`; what stands between the braces is never read as Markdown."""
    if state.src[state.pos] != "{":
        return False
    found = next(find_references(state.src[state.pos : state.pos + _LONGEST_REFERENCE]), None)
    if found is None or found.start != 0:
        return False
    if not silent:
        token = state.push("reference", "", 0)
        token.content = state.src[state.pos : state.pos + found.end]
        token.meta = {"kind": found.kind, "target": found.target}
    state.pos += found.end
    return True
