"""Manuals for the PDF tests: the sample with more on one of its pages, and a manual of one chapter."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from authorkit.manual.blocks import Block, Manual, Page
from authorkit.output.pdf.write import PageSize, write_pdf
from authorkit.problems import Problem
from tests.output.sample_manual import sample_manual

SOURCE = "chapters/P0123.ipynb"


def one_chapter(*blocks: Block, title: str = "Throttle position sensor circuit high") -> Manual:
    """A manual of a title page, one chapter of these blocks and the indexes."""
    page = Page("P0123", title, "chapter", blocks, mark="P0123", system="Engine", source=SOURCE)
    sample = sample_manual()
    return replace(sample, pages=(sample.pages[0], page, sample.pages[-1]))


def printed(folder: Path, manual: Manual, page_size: PageSize = "a4") -> Path:
    """The manual as a file; it must be accepted."""
    target = folder / "manual.pdf"
    assert write_pdf(manual, target, page_size=page_size) == ()
    return target


def refused(folder: Path, *blocks: Block) -> tuple[Problem, ...]:
    """What is said about a chapter of these blocks; nothing may be written."""
    target = folder / "refused.pdf"
    problems = write_pdf(one_chapter(*blocks), target, page_size="a4")
    assert not target.exists()
    assert {problem.rule for problem in problems} == {"page-refused"}
    return problems
