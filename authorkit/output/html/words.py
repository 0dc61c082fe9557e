"""The words that the pages of the screen add for finding one's way; nothing here states a fact."""

from __future__ import annotations

# What the template shows around the text, by the name it uses.
FRAME_WORDS = {
    "contents": "Contents",
    "dark": "Dark page",
    "menu": "Contents",
    "next": "Next",
    "no_fault": "No fault: healthy",
    "on_this_page": "On this page",
    "previous": "Previous",
    "search": "Search",
    "search_hint": "Code, cavity, word",
    "skip": "Skip to the text",
}
