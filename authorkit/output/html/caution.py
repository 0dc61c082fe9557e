"""Safety messages as HTML: the panel with its signal word in the form of ANSI Z535.6."""

from __future__ import annotations

from authorkit.manual.blocks import CautionBlock
from authorkit.model.signal_word import SIGNAL_WORDS
from authorkit.output.html.addresses import fragment
from authorkit.output.html.inline import View
from authorkit.output.html.markup import escape, tag
from authorkit.output.html.style import word_class

# The safety alert symbol, drawn by ourselves: an equilateral triangle with rounded corners in the colour of the text;
# the exclamation mark is a hole that shows the panel.
_ALERT_SYMBOL = (
    '<svg class="alert" viewBox="0 0 24 21" aria-hidden="true"><path fill="currentColor" fill-rule="evenodd" '
    'd="M10.3 1a2 2 0 0 1 3.4 0l9.9 17a2 2 0 0 1-1.7 3H2.1a2 2 0 0 1-1.7-3zM10.5 6.5l.6 7h1.8l.6-7z'
    'M12 15a1.6 1.6 0 1 0 0 3.2 1.6 1.6 0 0 0 0-3.2z"/></svg>'
)


def caution_html(caution: CautionBlock, view: View) -> str:
    """The panel, the hazard, what it does, and how to avoid it."""
    avoid = [tag("li", escape(line)) for line in caution.avoid]
    message = [
        tag("p", escape(caution.hazard), class_="hazard"),
        tag("p", escape(caution.consequence)) if caution.consequence else "",
        tag("ul", *avoid) if avoid else "",
    ]
    return tag(
        "div",
        tag("p", signal_html(caution.word)),
        tag("div", *message, class_="message"),
        id=view.claim(fragment(caution.anchor)),
        class_=f"caution {word_class(caution.word)}".strip(),
        role="note",
        aria_label=caution.word,
    )


def short_caution_html(word: str, sentence: str) -> str:
    """A message in one line, where a step repeats it."""
    return tag(
        "div",
        signal_html(word),
        tag("span", escape(sentence), class_="message"),
        class_=f"caution short {word_class(word)}".strip(),
        role="note",
        aria_label=word,
    )


def signal_html(word: str) -> str:
    """The panel: the word, with the safety alert symbol where injury is at stake."""
    signal = SIGNAL_WORDS.get(word)
    symbol = _ALERT_SYMBOL if signal and signal.alert_symbol else ""
    return tag("span", symbol, escape(word), class_="signal")
