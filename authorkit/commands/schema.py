"""`authorkit schema`: the written form of the facts as JSON Schema."""

from __future__ import annotations

import argparse
import json
import sys

from authorkit.commands import CLEAN
from authorkit.facts.json_schema import json_schema


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """`schema` takes no options."""


def run(options: argparse.Namespace) -> int:
    """Print the schema (draft 2020-12) of chapter, vehicle and recipe facts."""
    json.dump(json_schema(), sys.stdout, indent=1, ensure_ascii=False)
    sys.stdout.write("\n")
    return CLEAN
