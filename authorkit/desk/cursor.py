"""Where the cursor stands in facts that are half written: followed by indentation and brackets, not by a YAML parser.

A text that is being typed is no YAML yet: a bracket is open, a key has no value. So this reads forwards up to the
cursor, forgives everything, and remembers only what it takes to know which key one is at.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

_KEY = re.compile(r"""("[^"]*"|'[^']*'|[^\s"'\[\]{},#][^#]*?)[ \t]*:(?:[ \t]+|$)""")
_LITERAL = re.compile(r"[|>][-+0-9]*[ \t]*$")
Step = str | int


@dataclass(frozen=True)
class Level:
    """One step down: the key or the number of the item (from 0), and all keys of the mapping it was taken in."""

    step: Step
    keys: tuple[str, ...] = ()


@dataclass(frozen=True)
class Spot:
    """Where the cursor stands.

    `levels` lead to the mapping or value. `typed` is what stands between the beginning of the key or value and the
    cursor, with its opening quote. `may_be` is 'key', 'value' or 'either' (after a dash). `keys` are the other keys of
    the mapping, for a key.
    """

    levels: tuple[Level, ...]
    typed: str
    may_be: str
    keys: tuple[str, ...] = ()


@dataclass
class _Frame:
    """A mapping or list that is open; flow ones (in brackets) have the indentation -1."""

    is_map: bool
    indent: int
    keys: list[str] = field(default_factory=list)
    key: str | None = None
    index: int = 0

    @property
    def level(self) -> Level:
        return Level(self.key or "", tuple(self.keys)) if self.is_map else Level(self.index)


def spot_at(text: str, offset: int) -> Spot:
    """The spot of the cursor before character `offset` (from 0) of a cell or a YAML text."""
    lines = text[:offset].split("\n")
    walk = _Walk()
    for line in lines[:-1]:
        walk.take(line)
    spot = walk.finish(lines[-1])
    rest = text[offset:]
    later = _later_in_flow(rest) if walk.in_flow else _later_in_block(rest, walk.indent_of_key)
    return Spot(spot.levels, spot.typed, spot.may_be, tuple(dict.fromkeys((*spot.keys, *later))))


class _Walk:
    """Follows the lines before the cursor."""

    def __init__(self) -> None:
        self.frames: list[_Frame] = []
        self.flow = 0
        self.token = ""
        self.quote = ""
        self.literal: int | None = None
        self.indent_of_key = 0

    @property
    def in_flow(self) -> bool:
        return self.flow > 0

    def take(self, line: str) -> None:
        """One whole line."""
        if self.in_flow:
            self.feed(f"{line}\n")
            return
        content = line.strip()
        if not content or content.startswith(("#", "%%")) or self._is_literal(line):
            return
        rest, indent = self._dashes(line)
        match = _KEY.match(rest)
        if match is None:
            if rest[:1] in ("{", "["):
                self.feed(f"{rest}\n")
            return
        self._key(_bare(match[1]), indent)
        value = rest[match.end() :]
        if _LITERAL.match(value):
            self.literal = indent
        elif value[:1] in ("{", "["):
            self.feed(f"{value}\n")

    def finish(self, line: str) -> Spot:
        """The line with the cursor at its end."""
        if self.in_flow:
            self.feed(line)
            return self._in_flow()
        if self._is_literal(line) and line.strip():
            return self._value(line.lstrip())
        rest, indent = self._dashes(line)
        match = _KEY.match(rest)
        if match is not None and (match.end() > match.end(1) + 1 or match.end() < len(rest)):
            self._key(_bare(match[1]), indent)
            value = rest[match.end() :]
            if value[:1] in ("{", "["):
                self.feed(value)
                return self._in_flow() if self.in_flow else self._value("")
            return self._value(value)
        if rest[:1] in ("{", "["):
            self.feed(rest)
            return self._in_flow() if self.in_flow else self._value("")
        return self._begun(rest, indent)

    def feed(self, text: str) -> None:
        """Text in brackets, character by character."""
        for at, character in enumerate(text):
            if self.quote:
                self.token += character
                self.quote = "" if character == self.quote else self.quote
            elif character in "\"'" and not self.token.strip():
                self.quote, self.token = character, character
            elif character in "{[" and not self.token.strip():
                self._open(is_map=character == "{")
            elif character in "}]" and self.flow:
                self._close()
                if not self.flow:
                    return
            elif character == "," and self.flow:
                self._next()
            elif character == ":" and self._ends_key(text, at):
                self._flow_key()
            else:
                self.token += " " if character == "\n" else character

    def _ends_key(self, text: str, at: int) -> bool:
        top = self.frames[-1]
        follows = text[at + 1 : at + 2]
        return top.is_map and top.key is None and (not follows.strip() or self.token[:1] in ('"', "'"))

    def _flow_key(self) -> None:
        top = self.frames[-1]
        top.key = _bare(self.token.strip())
        top.keys.append(top.key)
        self.token = ""

    def _open(self, *, is_map: bool) -> None:
        self.frames.append(_Frame(is_map, -1))
        self.flow += 1
        self.token = ""

    def _close(self) -> None:
        self.frames.pop()
        self.flow -= 1
        self.token = ""

    def _next(self) -> None:
        top = self.frames[-1]
        if top.is_map:
            top.key = None
        else:
            top.index += 1
        self.token = ""

    def _in_flow(self) -> Spot:
        top, typed = self.frames[-1], self.token.lstrip()
        if top.is_map and top.key is None:
            return Spot(self._levels(self.frames[:-1]), typed, "key", tuple(top.keys))
        return Spot(self._levels(self.frames), typed, "value")

    def _value(self, typed: str) -> Spot:
        return Spot(self._levels(self.frames), typed.lstrip(), "value")

    def _begun(self, typed: str, indent: int) -> Spot:
        """A line that holds no key yet: the beginning of one, or a text after a dash."""
        self.indent_of_key = indent
        top = self.frames[-1] if self.frames else None
        after_dash = top is not None and not top.is_map
        if top is not None and top.is_map and top.indent >= 0 and top.indent > indent:
            self._leave(indent)
            top = self.frames[-1] if self.frames else None
        if top is not None and top.is_map and top.indent == indent:
            return Spot(self._levels(self.frames[:-1]), typed, "key", tuple(top.keys))
        if top is not None and not top.is_map and top.indent >= indent:
            self._leave(indent - 1 if not typed else indent)
            return self._begun(typed, indent) if self.frames and self.frames[-1] is not top else Spot((), typed, "key")
        return Spot(self._levels(self.frames), typed, "either" if after_dash else "key")

    def _dashes(self, line: str) -> tuple[str, int]:
        """The line without its dashes, and the column of what follows; each dash opens or continues a list."""
        rest = line.lstrip(" ")
        indent = len(line) - len(rest)
        if not rest.strip():
            return "", len(line)
        while rest == "-" or rest.startswith("- "):
            self._leave(indent)
            top = self.frames[-1] if self.frames else None
            if top is not None and not top.is_map and top.indent == indent:
                top.index += 1
            else:
                self.frames.append(_Frame(False, indent))
            inner = rest[1:].lstrip(" ")
            indent += len(rest) - len(inner)
            rest = inner
            self.frames = [frame for frame in self.frames if frame.indent < indent]
        if not line.lstrip(" ").startswith("-"):
            self._leave(indent)
            if self.frames and not self.frames[-1].is_map and self.frames[-1].indent == indent:
                self.frames.pop()
        return rest, indent

    def _leave(self, indent: int) -> None:
        """Close what stands further to the right."""
        while self.frames and self.frames[-1].indent > indent:
            self.frames.pop()

    def _key(self, name: str, indent: int) -> None:
        top = self.frames[-1] if self.frames else None
        if top is None or not top.is_map or top.indent != indent:
            top = _Frame(True, indent)
            self.frames.append(top)
        top.key = name
        top.keys.append(name)
        self.indent_of_key = indent

    def _is_literal(self, line: str) -> bool:
        """Whether a line belongs to the text of a key that ends in '|' or '>'."""
        if self.literal is None:
            return False
        if line.strip() and len(line) - len(line.lstrip(" ")) <= self.literal:
            self.literal = None
        return self.literal is not None

    @staticmethod
    def _levels(frames: list[_Frame]) -> tuple[Level, ...]:
        return tuple(frame.level for frame in frames)


def _bare(key: str) -> str:
    """A key without its quotes."""
    return key[1:-1] if len(key) > 1 and key[0] in "\"'" and key[-1] == key[0] else key


def _later_in_block(rest: str, indent: int) -> Iterator[str]:
    """The keys of the same mapping on the lines below the cursor."""
    for line in rest.split("\n")[1:]:
        content = line.lstrip(" ")
        here = len(line) - len(content)
        if not content or content.startswith("#") or here > indent:
            continue
        match = _KEY.match(content)
        if here < indent or match is None:
            return
        yield _bare(match[1])


def _later_in_flow(rest: str) -> Iterator[str]:
    """The keys of the same mapping after the cursor, up to the bracket that closes it."""
    depth = 0
    for match in re.finditer(r"""[{\[]|[}\]]|,\s*("[^"]*"|'[^']*'|[^\s"'\[\]{},#:]+)[ \t]*:(?=\s)""", rest):
        character = match.group()[0]
        depth += {"{": 1, "[": 1, "}": -1, "]": -1}.get(character, 0)
        if depth < 0:
            return
        if match[1] and depth == 0:
            yield _bare(match[1])
