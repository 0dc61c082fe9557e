"""Wire colours: the letters of IEC 60757, written base/stripe as vehicle wiring does.

IEC 60757 gives the two-letter codes and joins two of them without a separator in its own order; it knows no
slash and no RGB values. The slash (`BU/WH` is blue with a white stripe, the order has meaning) is vehicle
practice, and the RGB values are this project's own. Import hints: DIN letters and usual US abbreviations.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

OUTLINE_BELOW = 3.0
"""Contrast to white paper under which a line needs an outline (WCAG 2.2, 1.4.11: graphics 3:1)."""


class ColourError(ValueError):
    """A colour that cannot be read: what was found, what was expected, a suggestion if one is safe."""

    def __init__(self, found: str, expected: str, suggestion: str | None = None) -> None:
        hint = f"; did you mean '{suggestion}'?" if suggestion else ""
        super().__init__(f"'{found}' is not a wire colour: expected {expected}{hint}")
        self.found = found
        self.expected = expected
        self.suggestion = suggestion


def contrast(first: str, second: str) -> float:
    """Contrast ratio (1 to 21) of two sRGB colours written '#RRGGBB', by the formula of WCAG 2.2."""
    darker, lighter = sorted((_luminance(first), _luminance(second)))
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(rgb: str) -> float:
    channels = [int(rgb[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@dataclass(frozen=True)
class Colour:
    """One insulation colour: two capitals, its English name, and the sRGB value it is drawn with ('#RRGGBB').

    A manual may declare its own beside the fourteen of IEC 60757. Raises ColourError for a malformed one.
    """

    code: str
    name: str
    rgb: str

    def __post_init__(self) -> None:
        if not re.fullmatch(r"[A-Z]{2}", self.code):
            raise ColourError(self.code, "two capital letters as the code of a colour")
        if not re.fullmatch(r"#[0-9A-Fa-f]{6}", self.rgb):
            raise ColourError(self.rgb, f"an sRGB value such as #7B3F00 for the colour {self.code}")

    @property
    def needs_outline(self) -> bool:
        """True if a line of this colour is too faint on white paper."""
        return contrast(self.rgb, "#FFFFFF") < OUTLINE_BELOW

    @property
    def ink(self) -> str:
        """White or black (sRGB), whichever is easier to read on this colour."""
        return max(("#FFFFFF", "#000000"), key=lambda ink: contrast(self.rgb, ink))


_IEC_60757 = (
    Colour("BK", "black", "#1A1A1A"),
    Colour("BN", "brown", "#7B3F00"),
    Colour("RD", "red", "#C8102E"),
    Colour("OG", "orange", "#E8730C"),
    Colour("YE", "yellow", "#F2C500"),
    Colour("GN", "green", "#00843D"),
    Colour("BU", "blue", "#0057B8"),
    Colour("VT", "violet", "#6F2DA8"),
    Colour("GY", "grey", "#7A7A7A"),
    Colour("WH", "white", "#FFFFFF"),
    Colour("PK", "pink", "#E58BB0"),
    Colour("GD", "gold", "#B8902A"),
    Colour("TQ", "turquoise", "#1AA6A6"),
    Colour("SR", "silver", "#A9ADB1"),
)
COLOURS: Mapping[str, Colour] = MappingProxyType({colour.code: colour for colour in _IEC_60757})
"""The fourteen colours by code, in the order of table 1 of IEC 60757."""

# Other ways to write a colour, for suggestions only. DIN letters: a public table. US abbreviations: from
# memory. TAN has no IEC code; brown is the nearest unless the manual declares a colour of its own. GR is DIN
# grey, though some take it for green: a suggestion, never a silent conversion.
_DIN = "SW=BK BR=BN RT=RD OR=OG GE=YE BL=BU VI=VT GR=GY WS=WH RS=PK TK=TQ"
_US = "BLK=BK BRN=BN ORG=OG ORN=OG YEL=YE GRN=GN BLU=BU VIO=VT PPL=VT GRY=GY GRA=GY WHT=WH PNK=PK TAN=BN"
_WORDS = "GRAY=GY PURPLE=VT"
_OTHER_NAMES = dict(pair.split("=") for pair in f"{_DIN} {_US} {_WORDS}".split())


@dataclass(frozen=True)
class WireColour:
    """The colour of one wire: base, then stripe and a third colour if there are any, all different.

    Raises ColourError if a stripe repeats a colour, because it could not be seen.
    """

    base: Colour
    stripe: Colour | None = None
    third: Colour | None = None

    def __post_init__(self) -> None:
        codes = [colour.code for colour in self.colours]
        if len(set(codes)) < len(codes):
            distinct = "/".join(dict.fromkeys(codes))
            raise ColourError(str(self), "a stripe that differs from the other colours of the wire", distinct)

    @property
    def colours(self) -> tuple[Colour, ...]:
        """One to three colours, base first."""
        return tuple(colour for colour in (self.base, self.stripe, self.third) if colour is not None)

    def __str__(self) -> str:
        return "/".join(colour.code for colour in self.colours)

    @property
    def words(self) -> str:
        """The colour in words: 'blue with white stripe', 'red with black and white stripes'."""
        base, *stripes = (colour.name for colour in self.colours)
        if not stripes:
            return base
        return f"{base} with {' and '.join(stripes)} {'stripe' if len(stripes) == 1 else 'stripes'}"


def parse_colour(text: str, declared: Mapping[str, Colour] | None = None) -> WireColour:
    """Read 'BU', 'BU/WH' or 'RD/BK/WH'; `declared` adds the manual's own colours by code.

    Raises ColourError. A declared colour never replaces one of the fourteen.
    """
    known = {**(declared or {}), **COLOURS}
    codes = text.split("/")
    if len(codes) > 3:
        raise ColourError(text, "at most three colours, base/stripe/third")
    for code in codes:
        if code not in known:
            raise ColourError(text, f"codes out of {', '.join(known)}", _suggestion(text, known))
    return WireColour(*(known[code] for code in codes))


def _suggestion(text: str, known: Mapping[str, Colour]) -> str | None:
    """Rewrite other notations ('ws', 'BLK-WHT', 'GNYE', 'light blue'); None if a part stays unknown."""
    shades = ("LIGHT", "DARK", "LT", "DK")
    words = [word for word in re.findall(r"[A-Z]+", text.upper()) if word not in shades]
    parts = [_codes_in(word, known) for word in words]
    if not parts or not all(parts):
        return None
    distinct = dict.fromkeys(code for part in parts for code in part)
    return "/".join(distinct) if len(distinct) <= 3 else None


def _codes_in(word: str, known: Mapping[str, Colour]) -> list[str]:
    """The codes a capitalised word stands for: one if it names a colour, two if it runs two together."""
    names = dict(_OTHER_NAMES)
    names.update((colour.name.upper(), code) for code, colour in known.items())
    names.update((code, code) for code in known)
    if word in names:
        return [names[word]]
    half = len(word) // 2
    pair = [word[:half], word[half:]]
    return [names[part] for part in pair] if all(part in names for part in pair) else []
