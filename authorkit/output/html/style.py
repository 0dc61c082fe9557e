"""The style sheet: tokens and signal-word panels as CSS in front of the theme's own rules.

The pages forbid inline styles, so what differs from place to place in small steps (column widths, the depth of a
formula below its line) is a class with a rule of its own here.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from authorkit.model.signal_word import SIGNAL_WORDS
from authorkit.output.tokens import design_tokens, theme_file

_DEPTH_STEP = 0.05  # em
_DEEPEST = 60  # steps: three lines of text below the line
_TOKENS_USED = ("ink", "paper", "muted", "hairline", "tint")
# Weight, style and file name of each face of the two families.
_FACES = {
    "LiberationSans": (
        ("400", "normal", "Regular"),
        ("400", "italic", "Italic"),
        ("700", "normal", "Bold"),
        ("700", "italic", "BoldItalic"),
    ),
    "LiberationMono": (("400", "normal", "Regular"), ("700", "normal", "Bold")),
}


def font_files() -> Iterator[str]:
    """The font files that the style sheet asks for."""
    for family, faces in _FACES.items():
        yield from (f"{family}-{face}.ttf" for _, _, face in faces)


def style_sheet() -> str:
    """All rules of all pages."""
    parts = [*_font_faces(), _tokens(), *_panels(), *_widths(), *_depths()]
    return "\n".join(parts) + "\n" + theme_file("html/style.css").decode("utf-8")


def depth_class(depth: float) -> str:
    """The class of a formula that hangs `depth` em below its line."""
    return f"deep-{min(max(round(depth / _DEPTH_STEP), 0), _DEEPEST)}"


def word_class(word: str) -> str:
    """The class of a safety message with this signal word; '' for a word that is none."""
    return f"word-{word.lower()}" if word in SIGNAL_WORDS else ""


def width_classes(widths: Sequence[float]) -> tuple[str, ...]:
    """The class of each column for relative widths: whole percents of the table."""
    total = sum(widths)
    return tuple(f"w-{max(1, round(100 * width / total))}" for width in widths)


def _font_faces() -> Iterator[str]:
    """The faces under the names that the drawings use; a copy on the reader's machine is as good."""
    for family, faces in _FACES.items():
        name = family.replace("Liberation", "Liberation ")
        for weight, style, face in faces:
            yield (
                f'@font-face{{font-family:"{name}";font-weight:{weight};font-style:{style};font-display:swap;'
                f'src:url("fonts/{family}-{face}.ttf") format("truetype")}}'
            )


def _tokens() -> str:
    tokens = design_tokens()
    colours = "".join(f"--{name}:{tokens['colour'][name]};" for name in _TOKENS_USED)
    fonts = "".join(f'--{use}-font:"{name}";' for use, name in tokens["font"].items())
    return f":root{{{colours}{fonts}}}"


def _panels() -> Iterator[str]:
    """The panel of each signal word; the word itself and the symbol tell them apart without colour."""
    for signal in SIGNAL_WORDS.values():
        style = "font-style:italic;" if signal.italic else ""
        yield f".{word_class(signal.word)} .signal{{background:{signal.panel};color:{signal.ink};{style}}}"


def _widths() -> Iterator[str]:
    return (f".w-{percent}{{width:{percent}%}}" for percent in range(1, 101))


def _depths() -> Iterator[str]:
    return (f".deep-{step}{{vertical-align:{-step * _DEPTH_STEP:.2f}em}}" for step in range(_DEEPEST + 1))
