"""Signal words of safety messages: ANSI Z535.4 and Z535.6, worst first.

The standards were not read; the definitions are public and given here in our own words. The sRGB values are
near the safety colours (Pantone numbers for red and blue are from memory). Orange and yellow take black text.
If one message has several hazards, the worst one decides its word.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType


class SignalWordError(ValueError):
    """A word that is none of the four: what was found, what was expected, a suggestion if one is safe."""

    def __init__(self, found: str, expected: str, suggestion: str | None = None) -> None:
        hint = f"; did you mean '{suggestion}'?" if suggestion else ""
        super().__init__(f"'{found}' is not a signal word: expected {expected}{hint}")
        self.found = found
        self.expected = expected
        self.suggestion = suggestion


@dataclass(frozen=True)
class SignalWord:
    """One signal word: its meaning, the colour of its panel and of the ink on it (sRGB '#RRGGBB').

    `alert_symbol` says whether the triangle with the exclamation mark goes with it; it stands for a risk of
    injury, so it never stands beside NOTICE (editions before 2011 allowed CAUTION without it for damage).
    """

    word: str
    meaning: str
    panel: str
    ink: str
    alert_symbol: bool
    italic: bool = False


_WORST_FIRST = (
    SignalWord("DANGER", "If not avoided, it will kill or seriously injure.", "#C8102E", "#FFFFFF", True),
    SignalWord("WARNING", "If not avoided, it could kill or seriously injure.", "#FF8200", "#000000", True),
    SignalWord("CAUTION", "If not avoided, it could cause a lesser injury.", "#FFD100", "#000000", True),
    SignalWord("NOTICE", "About damage or good practice, not injury.", "#0072CE", "#FFFFFF", False, True),
)
SIGNAL_WORDS: Mapping[str, SignalWord] = MappingProxyType({entry.word: entry for entry in _WORST_FIRST})
"""The four signal words by name, worst first."""


def parse_signal_word(text: str) -> SignalWord:
    """The signal word written exactly so, in capitals; raise SignalWordError otherwise."""
    if text in SIGNAL_WORDS:
        return SIGNAL_WORDS[text]
    capitals = text.strip().upper().replace("NOTE", "NOTICE")
    suggestion = capitals if capitals in SIGNAL_WORDS else None
    raise SignalWordError(text, "DANGER, WARNING, CAUTION or NOTICE", suggestion)


def worst(words: Iterable[str]) -> SignalWord:
    """The gravest of one or more signal words; SignalWordError for an unknown word, or for none at all."""
    found = {parse_signal_word(word).word for word in words}
    if not found:
        raise SignalWordError("", "at least one signal word")
    return next(entry for entry in _WORST_FIRST if entry.word in found)
