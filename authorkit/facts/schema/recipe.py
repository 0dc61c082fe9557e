"""The recipe, build/manual.yaml: how the manual is put together."""

from __future__ import annotations

from authorkit.facts.schema.form import OneOrMore, Pairs
from authorkit.facts.schema.record import Found, Key, Record
from authorkit.facts.schema.scalars import CODES, DATE, LANGUAGE, NAMES, TEXT, choice, yes
from authorkit.model.book import Recipe


def _recipe(found: Found) -> Recipe:
    return Recipe(**found.values)


RECIPE = Record(
    "the recipe",
    _recipe,
    (
        Key("title", TEXT, "title of the manual", "Diagnostic manual", True, ""),
        Key("subtitle", TEXT, "the line below the title", "Engine management and hybrid drive"),
        Key("publisher", TEXT, "who publishes it", "Demo publisher"),
        Key("edition", TEXT, "which edition it is", "First edition"),
        Key("date", DATE, "the date on the title page", "2026-11-02"),
        Key("language", LANGUAGE, "the language of the text", "en"),
        Key("page-sizes", OneOrMore(choice("a4", "us-letter")), "one PDF is made for each", "[a4, us-letter]"),
        Key("series", NAMES, "the series of this edition; all, if left out", "[A, B]"),
        Key("chapters", CODES, "codes that come first, in this order", "[P0118]"),
        Key("classes", Pairs(TEXT, CODES), "selections of codes for teaching", "{first-day: [P0118, P0117]}"),
        Key("wire-colours", yes(), "whether drawings show the colour of each wire beside it", "yes"),
    ),
)
