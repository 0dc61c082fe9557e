"""The texts that mean something: names, quantities, windows, points, codes, choices, dates."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from datetime import date
from typing import TypeVar

from authorkit.facts.schema.form import OneOrMore, RefusalError, Scalar, Schema
from authorkit.facts.schema.reader import Reader, one_of
from authorkit.model.hazard import HAZARDS
from authorkit.model.point import Point, parse_point
from authorkit.model.signal_word import SIGNAL_WORDS, parse_signal_word
from authorkit.model.trouble_code import TroubleCode, parse_trouble_code
from authorkit.model.voltage_limits import parse_meter_rating
from authorkit.model.wire_colour import parse_colour
from authorkit.problems.closest import closest
from authorkit.units import (
    DIMENSIONS,
    Bound,
    Quantity,
    UnitError,
    Window,
    parse_bound,
    parse_quantity,
    parse_window,
)

T = TypeVar("T")

# A number or yes/no without quotes is a text to the reader, so an editor that knows only the schema must not object.
ANY_TEXT: Schema = {"type": ["string", "number", "boolean"], "minLength": 1}
WITH_UNIT: Schema = {"type": "string", "minLength": 1}

_NAME = re.compile(r"[^\s.,;:'\"(){}\[\]#]+")
_CAVITY = re.compile(r"[^\s,;{}\[\]]+")
_SPLIT_POINT = re.compile(r"([^\s.,;:]+)[\s,;:/]+([^\s.,;:]+)")
_ISO_DATE = re.compile(r"\d{4}-\d\d-\d\d")
_LONGEST_ROW = 400


def text(words: str = "a text") -> Scalar[str]:
    """Any text; spaces around it are dropped."""
    return Scalar(words, lambda text, _: text, ANY_TEXT)


def choice(*names: str) -> Scalar[str]:
    """One of a few words, exactly as they are written."""
    return _one_of(one_of(names), names, lambda name: name, {"enum": list(names)})


def yes(*names: str) -> Scalar[bool]:
    """'yes' and 'no', or only those that are named."""
    allowed = names or ("yes", "no")
    return _one_of(one_of(allowed), allowed, lambda name: name == "yes", {"enum": list(allowed)})


def quantity(dimension: str) -> Scalar[Quantity]:
    """A number with its unit, perhaps with a tolerance; `dimension` is a key of units.DIMENSIONS."""
    words = f"a {dimension} such as '{DIMENSIONS[dimension]}'"
    return Scalar(words, lambda text, _: parse_quantity(text, dimension), WITH_UNIT, dimension)


def quantity_text(dimension: str) -> Scalar[str]:
    """A quantity that is kept as it was typed."""
    return _checked(quantity(dimension))


def window(dimension: str | None) -> Scalar[Window]:
    """The readings that count as good."""
    words = "a range such as '4.9 to 5.1 V'"
    return Scalar(words, lambda text, _: parse_window(text, dimension), WITH_UNIT, dimension or "any")


def _checked(form: Scalar[T]) -> Scalar[str]:
    def convert(text: str, reader: Reader) -> str:
        form.convert(text, reader)
        return text

    return Scalar(form.words, convert, form.shape, form.dimension)


def _one_of(words: str, names: Sequence[str], meaning: Callable[[str], T], shape: Schema) -> Scalar[T]:
    def convert(text: str, _: Reader) -> T:
        if text in names:
            return meaning(text)
        # YAML's own words for a switch, which other tools would write.
        twin = {"true": "yes", "false": "no", "on": "yes", "off": "no"}.get(text.lower(), text)
        raise RefusalError(text, words, twin if twin in names else closest(text, names))

    return Scalar(words, convert, shape)


def _name(text: str, _: Reader) -> str:
    if _NAME.fullmatch(text):
        return text
    mended = re.sub(r"[\s.,;:'\"(){}\[\]#]+", "-", text).strip("-")
    raise RefusalError(text, "a name without spaces and points", mended or None)


def _point(text: str, _: Reader) -> Point:
    point = parse_point(text)
    if _NAME.fullmatch(point.owner) and ("." not in text or _CAVITY.fullmatch(point.cavity)):
        return point
    split = _SPLIT_POINT.fullmatch(text)
    raise RefusalError(
        text,
        "a point such as 'M1-A.23' (connector.cavity), 'G1' or 'B+'",
        f"{split[1]}.{split[2]}" if split else None,
        rule="point-malformed",
    )


def _rail(text: str, reader: Reader) -> Quantity | Point:
    """A voltage, or a point that carries one."""
    try:
        return parse_quantity(text, "voltage")
    except UnitError:
        if text[:1].isdigit() or " " in text:
            raise
        return _point(text, reader)


def _date(text: str, _: Reader) -> str:
    try:
        if _ISO_DATE.fullmatch(text):
            return date.fromisoformat(text).isoformat()
    except ValueError:
        pass
    parts = re.fullmatch(r"(\d{4})[-./ ](\d{1,2})[-./ ](\d{1,2})", text)
    suggestion = f"{parts[1]}-{int(parts[2]):02}-{int(parts[3]):02}" if parts else None
    suggestion = None if suggestion == text else suggestion
    raise RefusalError(text, "a day that exists, written year-month-day such as '2026-10-05'", suggestion)


def _row(text: str, _: Reader) -> tuple[str, ...]:
    """One row of a connector: '1-16' is sixteen cavities, '_' is a hole, other names stand for themselves."""
    row = tuple(cavity for word in text.split() for cavity in _cavities(word))
    if len(row) > _LONGEST_ROW:
        raise RefusalError(text, f"a row of at most {_LONGEST_ROW} cavities")
    return row


def _cavities(word: str) -> Sequence[str]:
    if word == "_":
        return ("",)
    ends = re.fullmatch(r"([A-Za-z]*)(\d{1,4})-(\1)(\d{1,4})", word)
    if ends is None:
        return (word,)
    prefix, first, _, last = ends.groups()
    start, stop = int(first), int(last)
    numbers = range(start, stop + 1) if start <= stop else range(start, stop - 1, -1)
    width = len(first) if first.startswith("0") else 0
    return [f"{prefix}{number:0{width}}" for number in numbers]


def _colour_text(text: str, reader: Reader) -> str:
    return str(parse_colour(text, reader.colours))


def _language(text: str, _: Reader) -> str:
    if re.fullmatch(r"[a-z]{2,3}(-[A-Za-z0-9]{2,8})*", text):
        return text
    raise RefusalError(
        text, "a language tag such as 'en' or 'de-CH' (BCP 47)", closest(text.lower(), ("en", "de", "fr"))
    )


TEXT = text()
NAME = Scalar("a name such as 'B5'", _name, ANY_TEXT)
POINT = Scalar("a point such as 'M1-A.23' or 'G1'", _point, ANY_TEXT)
RAIL = Scalar("a voltage such as '5 V', or a point such as 'M1-A.1'", _rail, ANY_TEXT)
CODE: Scalar[TroubleCode] = Scalar(
    "a trouble code such as 'P0118' or 'P0118-17'", lambda text, _: parse_trouble_code(text), ANY_TEXT
)
CODE_TEXT = _checked(CODE)
COLOUR_TEXT = Scalar("a colour such as 'GY'", _colour_text, ANY_TEXT)
BOUND: Scalar[Bound] = Scalar("a limit such as '4.85 V'", lambda text, _: parse_bound(text, None), WITH_UNIT, "any")
ANY_WINDOW = window(None)
DATE = Scalar("a date such as '2026-10-05'", _date, {"type": "string", "minLength": 1})
ROW = Scalar("a row of cavities such as '1-16' or '1 2 _ 4'", _row, ANY_TEXT)
SIGNAL_WORD = Scalar(one_of([*SIGNAL_WORDS]), lambda text, _: parse_signal_word(text).word, {"enum": [*SIGNAL_WORDS]})
METER_RATING = Scalar(
    "a meter rating such as 'CAT III 1000 V'", lambda text, _: str(parse_meter_rating(text)), WITH_UNIT
)
HAZARD = choice(*HAZARDS)
LANGUAGE = Scalar("a language such as 'en'", _language, WITH_UNIT)
NAMES = OneOrMore(NAME)
TEXTS = OneOrMore(TEXT)
CODES = OneOrMore(CODE_TEXT)
