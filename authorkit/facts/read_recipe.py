"""The recipe, build/manual.yaml, as a Recipe."""

from __future__ import annotations

from pathlib import Path

from authorkit.facts.read_text import read_text
from authorkit.facts.schema.reader import Reader
from authorkit.facts.schema.recipe import RECIPE
from authorkit.facts.yaml_lines import read_yaml
from authorkit.model.book import Recipe
from authorkit.problems import Problem

RECIPE_FILE = "build/manual.yaml"


def read_recipe(folder: Path) -> tuple[Recipe | None, tuple[Problem, ...]]:
    """The recipe of the manual in `folder`, as far as it can be read; None if it cannot be read at all."""
    text, problems = read_text(folder, RECIPE_FILE)
    if text is None:
        return None, problems
    node, found = read_yaml(text.replace("\r\n", "\n").replace("\r", "\n"), RECIPE_FILE)
    reader = Reader([*problems, *found])
    recipe = reader.read(RECIPE, node) if node is not None else None
    return recipe, tuple(reader.problems)
