"""Trouble codes: the two-byte form of SAE J2012 / ISO 15031-6, and who owns which range.

Bits 15-14 name the letter (P, C, B, U), bits 13-12 the second character (0 to 3), the rest are three hex
digits. A third byte, the failure type, is written after a dash (`P0118-17`): common practice, the standard
gives bytes only. The ranges follow public excerpts; the standard itself was not read.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import total_ordering
from typing import Literal

Owner = Literal["iso-sae", "manufacturer", "reserved"]

LETTERS = "PCBU"
LETTER_MEANINGS = {"P": "powertrain", "C": "chassis", "B": "body", "U": "network"}

# Third character of P0 and P2 codes. A label for the reader and nothing more: the abstract of J2012 says that
# the 2007 edition gave up grouping by function. D, E and F are left out (reserved as far as we remember).
POWERTRAIN_GROUPS = {
    "0": "fuel and air metering, auxiliary emission controls",
    "1": "fuel and air metering",
    "2": "fuel and air metering, injector circuits",
    "3": "ignition system or misfire",
    "4": "auxiliary emission controls",
    "5": "vehicle speed, idle control and auxiliary inputs",
    "6": "computer and output circuits",
    "7": "transmission",
    "8": "transmission",
    "9": "transmission",
    "A": "hybrid propulsion",
    "B": "hybrid propulsion",
    "C": "hybrid propulsion",
}
# Read off the published texts of the network codes, not a rule of the standard.
NETWORK_GROUPS = {
    "U01": "lost communication",
    "U03": "software incompatibility",
    "U04": "invalid data received",
}

_CODE = re.compile(r"[PCBU][0-3][0-9A-F]{3}")
_WRITTEN = re.compile(r"([PCBU][0-3][0-9A-F]{3})(?:-([0-9A-F]{2}))?")
_LOOKALIKES = str.maketrans("OIL", "011")


class CodeError(ValueError):
    """A trouble code that cannot be read: what was found, what was expected, a suggestion if one is safe."""

    def __init__(self, found: str, expected: str, suggestion: str | None = None) -> None:
        hint = f"; did you mean '{suggestion}'?" if suggestion else ""
        super().__init__(f"'{found}' is not a trouble code: expected {expected}{hint}")
        self.found = found
        self.expected = expected
        self.suggestion = suggestion


@total_ordering
@dataclass(frozen=True)
class TroubleCode:
    """One trouble code, `text` such as 'P0118', with the failure type byte (0 to 255) if it is given.

    Sorts as an index does: by letter and digits, the bare code before its failure types. Raises CodeError.
    """

    text: str
    failure_type: int | None = None

    def __post_init__(self) -> None:
        if not _CODE.fullmatch(self.text):
            raise CodeError(self.text, _expectation(self.text), _suggestion(self.text))
        if self.failure_type is not None and not 0 <= self.failure_type <= 0xFF:
            raise CodeError(f"{self.text}-{self.failure_type:02X}", "a failure type of 00 to FF")

    def __str__(self) -> str:
        return self.text if self.failure_type is None else f"{self.text}-{self.failure_type:02X}"

    def __lt__(self, other: object) -> bool:
        if not isinstance(other, TroubleCode):
            return NotImplemented
        return self._rank < other._rank

    @property
    def _rank(self) -> tuple[str, int]:
        return self.text, -1 if self.failure_type is None else self.failure_type

    @property
    def number(self) -> int:
        """The code without its failure type as a 16-bit number: P0118 is 0x0118, U0100 is 0xC100."""
        return LETTERS.index(self.text[0]) << 14 | int(self.text[1:], 16)

    def to_bytes(self) -> bytes:
        """Two bytes as sent on the bus, high byte first; three when a failure type is given."""
        tail = b"" if self.failure_type is None else bytes([self.failure_type])
        return self.number.to_bytes(2, "big") + tail

    @property
    def is_padding(self) -> bool:
        """True for P0000, which fills up a message and is no fault."""
        return self.number == 0

    @property
    def letter_meaning(self) -> str:
        """The part of the vehicle the first letter names: powertrain, chassis, body or network."""
        return LETTER_MEANINGS[self.text[0]]

    @property
    def owner(self) -> Owner:
        """Who says what the number means: the standard, the vehicle maker, or nobody yet."""
        letter, second, third = self.text[0], self.text[1], self.text[2]
        if letter == "P":
            # P3400 and up is ISO/SAE; older texts stop at P39FF and leave P3A00 to P3FFF open.
            return "manufacturer" if second == "1" or (second == "3" and third in "0123") else "iso-sae"
        if second in "12":
            return "manufacturer"
        # U3 is ISO/SAE today (editions of the early 2000s: reserved, from memory); C3 and B3 are reserved.
        return "reserved" if second == "3" and letter in "CB" else "iso-sae"

    @property
    def group_label(self) -> str | None:
        """What the third character hints at, marked as guidance; None where no grouping is known."""
        if self.text[:2] in ("P0", "P2"):
            label = POWERTRAIN_GROUPS.get(self.text[2])
        else:
            label = NETWORK_GROUPS.get(self.text[:3])
        return f"{label} (guidance only)" if label else None

    @property
    def owner_sentence(self) -> str:
        """One plain sentence for the page on how far the meaning of this number reaches."""
        return f"{self.text} {_OWNER_SENTENCES[self.owner]}"


_OWNER_SENTENCES: dict[Owner, str] = {
    "iso-sae": "is in a range that ISO and SAE control: its meaning is the same on every make.",
    "manufacturer": "is in a range left to the vehicle maker: on another make it can mean something else.",
    "reserved": "is in a range that the standard keeps in reserve: no meaning has been assigned to it.",
}


def parse_trouble_code(text: str) -> TroubleCode:
    """Read 'P0118' or 'P0118-17', upper case only; raise CodeError with a suggestion otherwise."""
    match = _WRITTEN.fullmatch(text)
    if match is None:
        raise CodeError(text, _expectation(text), _suggestion(text))
    code, failure_type = match.groups()
    return TroubleCode(code, None if failure_type is None else int(failure_type, 16))


def from_bytes(data: bytes) -> TroubleCode:
    """Read two bytes, or three with the failure type; raise CodeError for any other length."""
    if len(data) not in (2, 3):
        raise CodeError(data.hex(" ").upper(), "two bytes, or three with a failure type")
    number = int.from_bytes(data[:2], "big")
    text = f"{LETTERS[number >> 14]}{number & 0x3FFF:04X}"
    return TroubleCode(text, data[2] if len(data) == 3 else None)


def _expectation(text: str) -> str:
    """Name the first thing that is wrong with `text`, not the whole grammar."""
    code, dash, failure_type = text.partition("-")
    if code != code.upper():
        return "capital letters"
    if len(code) != 5:
        return f"five characters such as P0118, not {len(code)}"
    if code[0] not in LETTERS:
        return f"P, C, B or U as the first letter, not '{code[0]}'"
    if code[1] not in "0123":
        return f"0, 1, 2 or 3 as the second character, not '{code[1]}'"
    if not _CODE.fullmatch(code):
        return "three digits of 0 to 9 or A to F after the second character"
    if dash and not re.fullmatch(r"[0-9A-F]{2}", failure_type):
        return "two digits of 0 to 9 or A to F, in capitals, after the dash"
    return "a code such as P0118, or P0118-17 with a failure type"


def _suggestion(text: str) -> str | None:
    """Mend case, separators and the letters O, I and L typed for digits; None if that is not enough."""
    letters = re.sub(r"[^0-9A-Z]", "", text.upper())
    mended = letters[:1] + letters[1:].translate(_LOOKALIKES)
    code, failure_type = mended[:5], mended[5:]
    candidate = f"{code}-{failure_type}" if failure_type else code
    return candidate if _WRITTEN.fullmatch(candidate) and candidate != text else None
