"""One limit, absolute or relative to the battery."""

from __future__ import annotations

from decimal import Decimal

import pytest

from authorkit.units import Bound, Quantity, UnitError, parse_bound


@pytest.mark.parametrize(
    ("text", "of", "value", "unit"),
    [
        ("4.9 V", None, "4.9", "V"),
        ("10 Mohm", None, "10", "MΩ"),
        ("battery", "battery", "0", "V"),
        ("Battery voltage", "battery", "0", "V"),
        ("battery minus 0.3 V", "battery", "-0.3", "V"),
        ("battery - 0.3 V", "battery", "-0.3", "V"),
        ("battery − 300 mV", "battery", "-300", "mV"),
        ("battery-0.3V", "battery", "-0.3", "V"),
        ("battery plus 0.5 V", "battery", "0.5", "V"),
        ("battery voltage + 0.5 V", "battery", "0.5", "V"),
    ],
)
def test_a_limit_is_read(text: str, of: str | None, value: str, unit: str) -> None:
    assert parse_bound(text) == Bound(of, Quantity(Decimal(value), unit))


@pytest.mark.parametrize(
    ("text", "dimension", "found"),
    [
        ("battery minus 0.3", None, "'0.3', a number without a unit"),
        ("battery minus 3 A", None, "a current ('3 A')"),
        ("battery minus -0.3 V", None, "two signs in 'battery minus -0.3 V'"),
        ("battery minus 0.3 V ± 1 %", None, "a limit with a tolerance"),
        ("battery", "resistance", "a voltage ('battery')"),
        ("batteries", None, "'batteries', which does not start with a number"),
        ("5 V", "current", "a voltage ('5 V')"),
        ("5 V ± 1 V", None, "a limit with a tolerance"),
        ("", None, "nothing"),
    ],
)
def test_what_is_no_limit_is_refused(text: str, dimension: str | None, found: str) -> None:
    with pytest.raises(UnitError) as caught:
        parse_bound(text, dimension)
    assert found in caught.value.found
