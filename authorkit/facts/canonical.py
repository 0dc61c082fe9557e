"""The canonical form of a notebook: the same cells always give the same bytes, so that an edit is a small diff.

The layout is Jupyter's own. What goes are the traces of running (outputs, counts, times) and of the machine (the
version of the language, the editor's state); the author's text, tags and attachments stay letter by letter.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from authorkit.facts.json_words import explain_json
from authorkit.facts.notebook import MAGIC, notebook_of
from authorkit.problems import Place, Problem

# What Jupyter and other editors write beside a cell or a notebook and change by themselves.
_VOLATILE_IN_CELL = ("ExecuteTime", "collapsed", "execution", "scrolled", "trusted")
_VOLATILE_IN_NOTEBOOK = ("orig_nbformat", "signature", "vscode")
_ONLY_CODE_HAS = ("execution_count", "outputs")
_KERNEL = {"display_name": "Python 3", "language": "python", "name": "python3"}

_ID = re.compile(r"[A-Za-z0-9_-]{1,64}")  # notebook format 4.5
_HALF_PAIR = re.compile("[\ud800-\udfff]")
_LONGEST_NEW_ID = 40
_DEEPEST = 100  # levels; what Jupyter writes has a dozen


@dataclass(frozen=True)
class Untidy:
    """One thing that canonical form does not have: the cell (0 = the notebook) and words such as 'a stored output'."""

    cell: int
    words: str


def read_json(text: str, file: str) -> tuple[dict[str, Any] | None, tuple[Problem, ...]]:
    """A notebook of format 4 as plain data that can be written again without loss; or the findings.

    Stricter than reading facts: a name that stands twice in one object, or a number that JSON does not have, would be
    lost when the file is written.
    """
    try:
        data = json.loads(text, object_pairs_hook=_once, parse_constant=_no_number, parse_float=_exact)
    except _LossError as error:
        return None, (_lossy(file, str(error)),)
    except (ValueError, RecursionError) as error:
        return None, (explain_json(error, text, file),)
    notebook, problems = notebook_of(data, file)
    if notebook is None or problems:
        return None, problems
    if not _is_sound(data):
        return None, (_lossy(file, "metadata or outputs are damaged"),)
    return (None, (_lossy(file, "something in it is nested too deeply"),)) if _is_deep(data) else (data, ())


def canonical(data: Mapping[str, Any], *, keep_outputs: bool = False) -> str:
    """The text of a notebook that `read_json` gave, in canonical form; cells keep their order and their source.

    With `keep_outputs` the stored outputs stay, without their counts.
    """
    ids = _ids(data["cells"])
    cells = [_cell(cell, id_, keep_outputs) for cell, id_ in zip(data["cells"], ids, strict=True)]
    minor = data.get("nbformat_minor")
    return layout(
        {
            **data,
            "cells": cells,
            "metadata": _metadata(data.get("metadata", {}), keep_outputs),
            "nbformat_minor": max(minor if isinstance(minor, int) else 0, 5),
        }
    )


def layout(notebook: Mapping[str, Any]) -> str:
    """A notebook as JSON in the layout in which Jupyter saves it; a lone half of a surrogate pair stays an escape."""
    text = json.dumps(notebook, ensure_ascii=False, indent=1, sort_keys=True, allow_nan=False) + "\n"
    return _HALF_PAIR.sub(lambda half: f"\\u{ord(half.group()):04x}", text)


def untidy_things(data: Mapping[str, Any], *, keep_outputs: bool = False) -> Iterator[Untidy]:
    """What of a notebook canonical form leaves out or adds, in order; its layout as text is not looked at."""
    ids = _ids(data["cells"])
    for number, (cell, id_) in enumerate(zip(data["cells"], ids, strict=True), 1):
        tidy = _cell(cell, id_, keep_outputs)
        if cell.get("outputs") and not tidy.get("outputs"):
            yield Untidy(number, "a stored output")
        elif cell.get("outputs") != tidy.get("outputs") and cell.get("outputs"):
            yield Untidy(number, "the count of an output")
        if cell.get("execution_count") is not None:
            yield Untidy(number, "an execution count")
        if cell.get("id") != id_:
            yield Untidy(number, "a cell without an id of its own")
        if cell.get("metadata", {}) != tidy["metadata"]:
            yield Untidy(number, "the editor's state")
    metadata = data.get("metadata", {})
    if metadata != _metadata(metadata, keep_outputs):
        yield Untidy(0, "metadata of one machine")


def told(things: Iterable[Untidy]) -> str:
    """Things as words, equal ones counted: 'a stored output (2 times), an execution count'; '' for none."""
    counts = Counter(thing.words for thing in things)
    return ", ".join(f"{words} ({count} times)" if count > 1 else words for words, count in counts.items())


class _LossError(Exception):
    """Writing the notebook again would lose something."""


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise _LossError(f"'{twice[:40]}' stands twice in one object")
    return found


def _no_number(word: str) -> float:
    raise _LossError(f"'{word}' is no number of JSON")


def _exact(digits: str) -> float:
    value = float(digits)
    if value in (float("inf"), float("-inf")):
        raise _LossError(f"the number {digits[:40]} is too large")
    return value


def _is_sound(data: Mapping[str, Any]) -> bool:
    """Whether everything that canonical form looks into is of the kind that the notebook format says."""
    if not isinstance(data.get("metadata", {}), dict):
        return False
    for cell in data["cells"]:
        outputs = cell.get("outputs") or []
        if not isinstance(cell.get("metadata", {}), dict) or not isinstance(outputs, list):
            return False
        if not all(isinstance(output, dict) for output in outputs):
            return False
    return True


def _is_deep(data: Any) -> bool:
    """Whether lists and objects lie in one another deeper than can be written again."""
    level: list[Any] = [data]
    for _ in range(_DEEPEST):
        inner = [list(item.values()) if isinstance(item, dict) else item for item in level]
        level = [each for items in inner for each in items if isinstance(each, (dict, list))]
    return bool(level)


def _lossy(file: str, what: str) -> Problem:
    return Problem(
        "notebook-damaged",
        f"The file '{file}' cannot be put in order without loss: {what}.",
        Place(file),
        found=what,
        expected="a notebook of format 4 (.ipynb)",
        suggestion="Open it in JupyterLab and save it again, or restore it from a copy.",
    )


def _cell(cell: Mapping[str, Any], id_: str, keep_outputs: bool) -> dict[str, Any]:
    kept = {name: value for name, value in cell.items() if name not in _ONLY_CODE_HAS}
    tidy = {**kept, "id": id_, "metadata": _cell_metadata(cell.get("metadata", {})), "source": _lines(cell)}
    if cell["cell_type"] != "code":
        return tidy
    outputs = [_output(output) for output in cell.get("outputs") or ()] if keep_outputs else []
    return {**tidy, "execution_count": None, "outputs": outputs}


def _output(output: Mapping[str, Any]) -> dict[str, Any]:
    """An output without the count of its run."""
    return {**output, "execution_count": None} if "execution_count" in output else dict(output)


def _source(cell: Mapping[str, Any]) -> str:
    source = cell.get("source", "")
    return source if isinstance(source, str) else "".join(source)


def _lines(cell: Mapping[str, Any]) -> list[str]:
    return _source(cell).splitlines(keepends=True)


def _cell_metadata(metadata: Mapping[str, Any]) -> dict[str, Any]:
    kept = {name: value for name, value in metadata.items() if name not in _VOLATILE_IN_CELL}
    jupyter = kept.get("jupyter")
    if isinstance(jupyter, dict) and "outputs_hidden" in jupyter:
        rest = {name: value for name, value in jupyter.items() if name != "outputs_hidden"}
        kept = {**kept, "jupyter": rest} if rest else {name: kept[name] for name in kept if name != "jupyter"}
    return kept


def _metadata(metadata: Mapping[str, Any], keep_outputs: bool) -> dict[str, Any]:
    """The notebook's metadata without what differs from machine to machine; the state of widgets goes with outputs."""
    dropped = _VOLATILE_IN_NOTEBOOK if keep_outputs else (*_VOLATILE_IN_NOTEBOOK, "widgets")
    kept = {name: value for name, value in metadata.items() if name not in dropped}
    language = kept.get("language_info")
    if isinstance(language, dict):
        kept["language_info"] = {"name": language["name"]} if "name" in language else {}
        if not kept["language_info"]:
            del kept["language_info"]
    kernel = kept.get("kernelspec")
    if isinstance(kernel, dict) and kernel.get("name") == _KERNEL["name"]:
        kept["kernelspec"] = _KERNEL
    return kept


def _ids(cells: list[Mapping[str, Any]]) -> list[str]:
    """The id of each cell: its own if it is sound and no cell before has it, otherwise one made of what it holds."""
    own = [cell["id"] if _is_id(cell.get("id")) else None for cell in cells]
    taken = {id_ for id_ in own if id_}
    given: set[str] = set()
    ids = []
    for cell, id_ in zip(cells, own, strict=True):
        if id_ is None or id_ in given:
            id_ = _new_id(cell, taken | given)
        given.add(id_)
        ids.append(id_)
    return ids


def _is_id(id_: object) -> bool:
    return isinstance(id_, str) and _ID.fullmatch(id_) is not None


def _new_id(cell: Mapping[str, Any], taken: set[str]) -> str:
    """A name from the first line of the cell: 'facts', 'what-the-code-means', 'cell'; numbered if it is taken."""
    first = next((line for line in _source(cell).splitlines() if line.strip()), "")
    words = "-".join(re.findall(r"[a-z0-9]+", first.lower()))[:_LONGEST_NEW_ID].strip("-")
    is_facts = cell["cell_type"] == "code" and first.startswith(MAGIC)
    stem = "facts" if is_facts else words or "cell"
    name, number = stem, 2
    while name in taken:
        name, number = f"{stem}-{number}", number + 1
    return name
