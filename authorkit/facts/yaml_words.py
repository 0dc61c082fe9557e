"""What is wrong with a YAML text, in words for an author who is not a programmer.

The scanner names what it was doing (`context`, with the place where that began) and what stopped it (`problem`, with
its place). An opening bracket or quote that is never closed is noticed far below, so those findings point at the
opening.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

import yaml

from authorkit.problems import Place, Problem

_QUOTES = "Put the whole text in quotes."


@dataclass(frozen=True)
class _Spot:
    """The scanner's complaint together with the lines around it."""

    lines: list[str]
    context: str
    problem: str
    start: Place
    stop: Place

    def line(self, place: Place) -> str:
        """The text of a line; '' below the last one."""
        return self.lines[place.line - 1] if 0 < place.line <= len(self.lines) else ""

    @property
    def rest(self) -> str:
        """What stands from the stopping place to the end of its line."""
        return self.line(self.stop)[self.stop.column - 1 :]

    @property
    def before(self) -> str:
        """What stands on the stopping line before the place."""
        return self.line(self.stop)[: self.stop.column - 1]


@dataclass(frozen=True)
class _Said:
    """A finding in the making."""

    message: str
    found: str
    expected: str
    suggestion: str
    place: Place
    also: tuple[Place, ...] = ()


def explain_yaml(error: yaml.MarkedYAMLError, text: str, at: Place) -> Problem:
    """The finding for a YAML text that cannot be read; `at` names the file and cell."""
    stop = _place(error.problem_mark or error.context_mark, at)
    start = _place(error.context_mark, at) if error.context_mark else stop
    spot = _Spot(text.split("\n"), error.context or "", error.problem or "", start, stop)
    if "maximum nesting depth" in spot.problem:
        said = _Said(
            "The facts are nested too deeply.",
            spot.rest[:20],
            "at most eight levels, as the facts need",
            "Look for an opening bracket that is repeated or never closed.",
            stop,
        )
        return _problem("yaml-too-deep", said)
    for words in (_token, _colon, _flow, _quote, _alias, _block, _document, _unknown):
        said_or_none = words(spot)
        if said_or_none is not None:
            return _problem("yaml-syntax", said_or_none)
    raise AssertionError("the last function has an answer for everything")


def _token(spot: _Spot) -> _Said | None:
    if "tab character" in spot.problem or ("cannot start any token" in spot.problem and spot.rest.startswith("\t")):
        return _Said("The line is indented with a tab.", "a tab", "spaces", "Replace the tab by spaces.", spot.stop)
    if "cannot start any token" not in spot.problem:
        return None
    sign = spot.rest[:1]
    return _Said(
        f"A text must not start with '{sign}' unless it has quotes.",
        spot.rest.strip(),
        "a text in quotes",
        _quoted(spot.rest),
        spot.stop,
    )


def _colon(spot: _Spot) -> _Said | None:
    if "could not find expected ':'" in spot.problem:
        line = spot.line(spot.start).strip()
        mended = re.sub(r"^([\w-]+):(?=\S)", r"\1: ", line)
        if mended == line:
            mended = re.split(r"[^\w-]", line)[0] + ": ..."
        suggestion = f"Write '{mended}'."
        return _Said("The line has no ': ' after its key.", line, "'key: value'", suggestion, spot.start)
    if "mapping values are not allowed" not in spot.problem:
        if "entries are not allowed" in spot.problem:
            return _Said(
                "A list begins on the line of its key.",
                spot.rest.strip(),
                "the list on lines of its own",
                "Start a new line before the '-', or write the list in [ ].",
                spot.stop,
            )
        return None
    if ": " in spot.before:
        value = spot.line(spot.stop).split(": ", 1)[1].strip()
        return _Said(
            "A text holds ': ', which begins a new value.",
            value,
            "a text in quotes",
            _quoted(value),
            spot.stop,
        )
    above = replace(spot.stop, line=spot.stop.line - 1)
    if re.match(r"\s*[\w-]+:\S", spot.line(above)):
        line = spot.line(above).strip()
        return _Said(
            "A key lacks the space after its ':'.",
            line,
            "'key: value'",
            f"Write '{line.replace(':', ': ', 1)}'.",
            replace(above, column=1),
        )
    line = spot.line(spot.stop)
    return _Said(
        "The line is indented further than the line above allows.",
        line.strip(),
        "keys of one mapping in one column",
        "Move it to the column of the keys around it.",
        replace(spot.stop, column=len(line) - len(line.lstrip()) + 1),
    )


def _flow(spot: _Spot) -> _Said | None:
    if "flow" not in spot.context:
        return None
    if "expected node content" in spot.problem:
        return _Said(
            "A value is missing between brackets or commas.",
            spot.rest[:20] or "the end of the text",
            "a value",
            "Delete the extra comma, or close the bracket.",
            spot.stop,
        )
    opening = spot.line(spot.start)[spot.start.column - 1 : spot.start.column] or "["
    closing = {"[": "]", "{": "}"}.get(opening, "]")
    if spot.start.line == spot.stop.line:
        return _Said(
            f"After '{opening}' a comma or '{closing}' is missing before '{spot.rest[:20].strip()}'.",
            spot.rest.strip() or "the end of the line",
            f"',' or '{closing}'",
            f"Add it; a text that holds ': ', ',' or brackets needs quotes inside {opening} {closing}.",
            spot.stop,
            (spot.start,),
        )
    below = any(line.strip() for line in spot.lines[spot.stop.line - 1 :])
    where = f"line {spot.stop.line}" if below else "the end of the text"
    return _Said(
        f"The '{opening}' that opens here is not closed before {where}.",
        spot.line(spot.start).strip(),
        f"'{closing}' before {where}",
        f"Add '{closing}' where it ends; perhaps only a comma is missing.",
        spot.start,
        (spot.stop,),
    )


def _quote(spot: _Spot) -> _Said | None:
    if "quoted scalar" not in spot.context:
        return None
    if "end of stream" in spot.problem or "document indicator" in spot.problem:
        quote = spot.line(spot.start)[spot.start.column - 1 : spot.start.column]
        return _Said(
            f"The quote {quote} that opens here is never closed.",
            spot.line(spot.start).strip(),
            f"a closing {quote}",
            f"Add {quote} at the end of the text.",
            spot.start,
        )
    found = re.match(r"\\?.?", spot.rest)
    return _Said(
        "A text in double quotes holds a '\\' that means nothing.",
        found.group() if found else "\\",
        "'\\\\' for a backslash",
        "Write the text in single quotes instead.",
        spot.stop,
    )


def _alias(spot: _Spot) -> _Said | None:
    if not re.search("alias|anchor|tag", spot.context + spot.problem):
        return None
    text = spot.line(spot.start)[spot.start.column - 1 :]
    return _Said(
        f"A text must not start with '{text[:1]}' unless it has quotes.",
        text.strip(),
        "a text in quotes",
        _quoted(text),
        spot.start,
    )


def _block(spot: _Spot) -> _Said | None:
    if "block scalar" in spot.context:
        sign = spot.line(spot.start)[spot.start.column - 1 :].strip()
        return _Said(
            f"After '{sign[:1]}' the text must begin on the next line.",
            sign,
            f"'{sign[:1]}' alone",
            _QUOTES,
            spot.start,
        )
    if "block" not in spot.context:
        return None
    if spot.rest[:1] in ("]", "}", ","):
        return _Said(
            f"The '{spot.rest[0]}' belongs to no opening bracket.",
            spot.rest.strip(),
            "a bracket in pairs",
            f"Delete it, or put the text in quotes if the '{spot.rest[0]}' is meant.",
            spot.stop,
        )
    if spot.before.strip():
        return _Said(
            "More text follows where the value has ended, after a quote or bracket.",
            spot.rest.strip(),
            "the end of the line",
            f"{_QUOTES} Inside single quotes, write an apostrophe twice.",
            spot.stop,
        )
    what = "a list item stands among keys" if spot.rest.startswith("- ") else "the line starts in another column"
    return _Said(
        f"The indentation does not fit: {what}.",
        spot.rest.strip(),
        "lines of one level in one column",
        "Move the line to the column of the lines it belongs to.",
        spot.stop,
    )


def _document(spot: _Spot) -> _Said | None:
    if not re.search("directive|document", spot.context + spot.problem):
        return None
    # What follows the mark '...' is refused, the mark itself is not.
    above = replace(spot.stop, line=spot.stop.line - 1, column=1)
    place = above if spot.line(above).startswith("...") else spot.stop
    return _Said(
        "The facts are plain 'key: value' lines, without directives or document marks.",
        spot.line(place).strip() or "the end of the text",
        "'key: value'",
        "Delete the line.",
        place,
    )


def _unknown(spot: _Spot) -> _Said:
    return _Said(
        f"The facts cannot be read from here on ({spot.problem or 'no reason given'}).",
        spot.rest.strip() or "the end of the text",
        "'key: value' lines",
        _QUOTES,
        spot.stop,
    )


def _quoted(text: str) -> str:
    """The advice to put a text in quotes, with the text unless it is long; without a comment or closing brackets."""
    plain = text.split(" #")[0].rstrip(" ]}").strip()
    return f"Write '{plain}' with quotes around it." if len(plain) <= 60 and "'" not in plain else _QUOTES


def _place(mark: yaml.Mark | None, at: Place) -> Place:
    return at if mark is None else Place(at.file, at.cell, mark.line + 1, mark.column + 1)


def _problem(rule: str, said: _Said) -> Problem:
    found = said.found if len(said.found) <= 60 else said.found[:60] + "…"
    return Problem(rule, said.message, said.place, found, said.expected, said.suggestion, said.also)
