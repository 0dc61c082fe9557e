"""The one exception of this room: a text that is not the quantity or window it should be."""

from __future__ import annotations

_LONGEST_QUOTE = 48


class UnitError(ValueError):
    """A quantity, limit or window that cannot be accepted, told in three parts.

    found: what was typed, as a phrase ("a voltage ('4.5 V')").
    expected: what belongs there, as a phrase ("a resistance such as '2.2 kΩ'").
    suggestion: text to type instead, or None; two possible readings are joined by " or ".
    """

    def __init__(self, found: str, expected: str, *suggestions: str) -> None:
        super().__init__(found, expected, *suggestions)
        self.found = found
        self.expected = expected
        self.suggestion = " or ".join(suggestions) or None

    def __str__(self) -> str:
        """Give the whole finding as a sentence, with a question when there is a suggestion."""
        found, expected, *suggestions = self.args
        sentence = f"Found {found}, expected {expected}."
        if suggestions:
            sentence += f" Did you mean {' or '.join(quote(each) for each in suggestions)}?"
        return sentence


def quote(text: str) -> str:
    """Quote what the author typed on one line, shortened when it is long."""
    line = "".join(letter if letter.isprintable() else " " for letter in text[: _LONGEST_QUOTE + 1])
    return f"'{line}'" if len(line) <= _LONGEST_QUOTE else f"'{line[:_LONGEST_QUOTE]}…'"


def with_article(noun: str) -> str:
    """Put 'a' or 'an' before a dimension's name: 'a voltage', 'an energy'."""
    return f"{'an' if noun[:1] in 'aeio' else 'a'} {noun}"
