"""Text as HTML: the only place where a character of the author's meets markup."""

from __future__ import annotations

import html
import re

# Code points that HTML forbids in a document (HTML Living Standard, 13.2.3.5: surrogates, noncharacters, controls),
# and the marks that turn the direction of the text around them: a reader must see what the author typed.
_FORBIDDEN = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufdd0-\ufdef"
    + "".join(chr(plane << 16 | low) for plane in range(17) for low in (0xFFFE, 0xFFFF))
    + "]"
)
_VOID = frozenset({"br", "col", "img", "input", "link", "meta"})


def escape(text: str) -> str:
    """Plain characters for an element's content or a quoted attribute; forbidden ones become the replacement mark.

    >>> escape('<b> "R&D"')
    '&lt;b&gt; &quot;R&amp;D&quot;'
    """
    return html.escape(_FORBIDDEN.sub("\ufffd", text), quote=True)


def tag(name: str, *content: str, **attributes: str | bool | None) -> str:
    """An element: `content` is markup already, attribute values are plain text.

    `None`, `False` and '' leave an attribute out, `True` writes it without a value. A trailing underscore keeps a name
    from being a Python keyword, other underscores are dashes.

    >>> tag("a", "P0118", href="P0118.html", class_="code")
    '<a href="P0118.html" class="code">P0118</a>'
    """
    words = [name]
    for key, value in attributes.items():
        if value is True:
            words.append(_attribute(key))
        elif value:
            words.append(f'{_attribute(key)}="{escape(value)}"')
    opened = f"<{' '.join(words)}>"
    return opened if name in _VOID else f"{opened}{''.join(content)}</{name}>"


def _attribute(key: str) -> str:
    return key.rstrip("_").replace("_", "-")
