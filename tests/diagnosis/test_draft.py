"""Drafted procedures: they read, they prove, and none is dearer than its plan allows."""

from __future__ import annotations

import json

import pytest

from authorkit.circuit.study import study_of
from authorkit.diagnosis.draft import NoDraftError, draft
from authorkit.diagnosis.proof import prove
from authorkit.diagnosis.report import tally
from authorkit.diagnosis.written import procedure_text
from authorkit.facts.read_book import read_book

_LONGEST = 20  # words of a sentence


@pytest.mark.parametrize(("code", "series"), [("P0118", "A"), ("P0443", "B"), ("P0571", "A"), ("U0110", "B")])
def test_a_draft_passes_its_proof_and_takes_less_than_the_demo(book, code, series):
    found = draft(book, book.chapter(code), series)
    counted = tally(found.proof)
    assert counted.proven == counted.faults
    assert found.own is not None
    assert counted.minutes < found.own.minutes
    assert found.plan.exact
    assert found.plan.least <= found.plan.minutes
    for step in found.steps:
        assert max(len(sentence.split()) for sentence in f"{step.do} ".split(". ")) <= _LONGEST


def test_a_draft_put_into_its_chapter_is_read_and_proven_again(book, tmp_path):
    chapter = book.chapter("P0571")
    found = draft(book, chapter, "A")
    for file in [*book.folder.glob("chapters/*.ipynb"), book.folder / "build" / "manual.yaml"]:
        target = tmp_path / file.relative_to(book.folder)
        target.parent.mkdir(exist_ok=True)
        target.write_bytes(file.read_bytes())
    path = tmp_path / chapter.file
    notebook = json.loads(path.read_text(encoding="utf-8"))
    text = procedure_text(found.steps, {})
    for cell in notebook["cells"]:
        source = "".join(cell["source"])
        if cell["cell_type"] == "code" and source.startswith("%%facts"):
            before, _, rest = source.partition("procedure:\n")
            after = rest[rest.index("after-repair:") :]
            cell["source"] = (before + text + "\n" + after).splitlines(keepends=True)
    path.write_text(json.dumps(notebook), encoding="utf-8")
    again, problems = read_book(tmp_path)
    assert [problem for problem in problems if problem.place.file == chapter.file] == []
    assert again is not None
    drafted = again.chapter("P0571")
    counted = tally(prove(again, drafted, study_of(again, drafted, "A")))
    assert counted.proven == counted.faults == len(found.proof.walks)


def test_high_voltage_is_made_dead_first(book):
    found = draft(book, book.chapter("P0A3F"), "B")
    called = [step for step in found.steps if step.called]
    assert [step.called.procedure for step in called] == ["make-dead"] * 3
    assert found.steps[1] is called[0]


def test_without_a_way_to_make_it_dead_nothing_is_drafted(book):
    from dataclasses import replace

    chapter = book.chapter("P0A3F")
    steps = tuple(step for step in chapter.steps if step.called is None)
    with pytest.raises(NoDraftError, match="absence"):
        draft(book, replace(chapter, steps=steps), "B")
