"""Several page sizes at once: the same bytes as one by one, and what all find is said once."""

from __future__ import annotations

from dataclasses import replace

import pytest

from authorkit.manual.blocks import Link, Paragraph, Text
from authorkit.output.pdf import write_pdf
from authorkit.output.pdf.sizes import second_process, write_pdfs
from tests.output.sample_manual import sample_manual

SIZES = ("a4", "us-letter")


@pytest.mark.slow
def test_a_second_process_makes_the_same_bytes(tmp_path):
    alone = {size: tmp_path / f"alone-{size}.pdf" for size in SIZES}
    for size, target in alone.items():
        assert write_pdf(sample_manual(), target, page_size=size) == ()
    together = {size: tmp_path / f"{size}.pdf" for size in SIZES}
    with second_process(SIZES) as second:
        assert second is not None
        assert write_pdfs(sample_manual(), together, tmp_path / "cache", second) == ()
    for size in SIZES:
        assert together[size].read_bytes() == alone[size].read_bytes()


@pytest.mark.parametrize("sizes", [(), ("a4",)])
def test_one_size_needs_no_second_process(sizes):
    with second_process(sizes) as second:
        assert second is None


def test_what_both_sizes_find_is_said_once(tmp_path):
    manual = sample_manual()
    page = manual.pages[-3]
    dangling = Paragraph((Link("nowhere", (Text("see"),)),))
    wrong = replace(page, blocks=(*page.blocks, dangling))
    manual = replace(manual, pages=tuple(wrong if other is page else other for other in manual.pages))
    targets = {size: tmp_path / f"{size}.pdf" for size in SIZES}
    problems = write_pdfs(manual, targets, tmp_path / "cache", None)
    assert [problem.rule for problem in problems] == ["page-refused"]
    assert "nowhere" in problems[0].message
    assert not any(target.exists() for target in targets.values())
