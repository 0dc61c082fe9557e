"""`authorkit schema`."""

from __future__ import annotations

import json

from jsonschema import Draft202012Validator

from authorkit.commands import CLEAN, main


def test_what_is_printed_is_a_valid_json_schema(capsys):
    assert main(["schema"]) == CLEAN
    Draft202012Validator.check_schema(json.loads(capsys.readouterr().out))
