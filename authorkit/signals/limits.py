"""What the name of a limit means on a capture: `frequency` is channel 1, `ch2.frequency` the second channel."""

from __future__ import annotations

import re
from dataclasses import dataclass

_CHANNEL = re.compile(r"ch([1-9][0-9]?)\.(.+)", re.IGNORECASE)


@dataclass(frozen=True)
class LimitName:
    """A channel (from 1) and the name of a measurement, which may be unknown."""

    channel: int
    measurement: str


def parse_limit(name: str) -> LimitName:
    """The parts of a limit's name."""
    match = _CHANNEL.fullmatch(name.strip())
    return LimitName(int(match[1]), match[2]) if match else LimitName(1, name.strip())
