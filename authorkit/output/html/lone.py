"""A page as one file that carries everything inside: style sheet, script, letters, pictures. Nothing is fetched."""

from __future__ import annotations

import base64
import hashlib
import io
import re
from collections.abc import Callable, Iterable, Mapping
from functools import lru_cache

from fontTools import subset
from fontTools.ttLib import TTFont

from authorkit.drawing.font import font_folder
from authorkit.manual.blocks import Manual
from authorkit.output.html.addresses import address_problems, find_addresses
from authorkit.output.html.figure import figure_problems, photograph_files
from authorkit.output.html.frame import Alone, lone_page, make_site
from authorkit.output.html.style import font_files, style_sheet
from authorkit.output.tokens import theme_file
from authorkit.problems import Problem

# Signs that every font inside a page has: those that the style sheet and the frame add to the text, and those that
# most texts use, so that one cut serves many pages.
_OWN_SIGNS = frozenset(map(chr, (*range(0x20, 0x7F), *range(0xA0, 0x100)))) | frozenset("\u2009\u2002\u202f–—…→↗−≤≥Ωµ")
_FONT_ADDRESS = re.compile(r'url\("fonts/([^"]+)"\) format\("truetype"\)')


def lone_html(manual: Manual) -> tuple[str, tuple[Problem, ...]]:
    """The first page of a manual as a file of its own, and what had to be left out of it.

    It is the very page of the manual's folder, except that nothing leads out of it: a reference to another page is
    printed without its link.
    """
    page = manual.pages[0]
    alone = Manual(**{**vars(manual), "pages": (page,)})
    addresses = find_addresses(alone)
    text = lone_page(page, make_site(alone, addresses), dress_of("page.js", style_sheet()))
    dangling = (problem for problem in address_problems(alone, addresses) if problem.rule == "anchor-twice")
    return with_pictures(text, photograph_files(alone)), (*dangling, *figure_problems(alone))


def dress_of(script: str, style: str) -> Callable[[str], Alone]:
    """What gives a body its clothes: a script of the theme by name, a style sheet, the letters that the body uses."""
    code = theme_file(f"html/{script}").decode("utf-8")

    def dress(body: str) -> Alone:
        sheet = embedded_fonts(style, frozenset(body) | _OWN_SIGNS)
        icon = address("image/svg+xml", theme_file("html/icon.svg"))
        return Alone(policy_for(sheet, code), sheet, code, icon)

    return dress


def policy_for(style: str, *scripts: str) -> str:
    """A Content-Security-Policy under which exactly this style sheet and these scripts are obeyed, and nothing else."""
    allowed = " ".join(_digest(script) for script in scripts)
    return (
        f"default-src 'none'; script-src {allowed}; style-src {_digest(style)}; font-src data:; img-src data:; "
        "base-uri 'none'; form-action 'none'"
    )


def with_pictures(text: str, files: Mapping[str, bytes]) -> str:
    """A page whose photographs are inside it instead of beside it."""
    for name, data in files.items():
        text = text.replace(f'src="{name}"', f'src="{address("image/png", data)}"')
    return text


def embedded_fonts(style: str, signs: Iterable[str]) -> str:
    """A style sheet with the font files inside, cut down to the signs that are used."""
    used = frozenset(signs)
    known = set(font_files())

    def inside(match: re.Match[str]) -> str:
        if match[1] not in known:
            return match[0]
        return f'url("{address("font/ttf", _cut_down(match[1], used))}") format("truetype")'

    return _FONT_ADDRESS.sub(inside, style)


def address(media: str, data: bytes) -> str:
    """Data as an address of its own (RFC 2397)."""
    return f"data:{media};base64,{base64.b64encode(data).decode('ascii')}"


@lru_cache(maxsize=32)
def _cut_down(file: str, signs: frozenset[str]) -> bytes:
    """A font file that holds only these signs; the same signs give the same bytes."""
    options = subset.Options(hinting=False, notdef_outline=True)
    options.drop_tables += ["FFTM"]
    with TTFont(font_folder() / file, recalcTimestamp=False) as font:
        cutter = subset.Subsetter(options)
        cutter.populate(unicodes={ord(sign) for sign in signs})
        cutter.subset(font)
        written = io.BytesIO()
        font.save(written)
    return written.getvalue()


def _digest(text: str) -> str:
    """The hash of an inline style or script, as a policy names it (CSP Level 3, 2.3.1)."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode('utf-8')).digest()).decode('ascii')}'"
