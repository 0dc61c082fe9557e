"""One PDF for each page size, the second one in a process of its own that gets ready while the pages are composed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing import get_context
from pathlib import Path

from authorkit.manual.blocks import Manual
from authorkit.model.book import PageSize
from authorkit.output.pdf.write import write_pdf
from authorkit.problems import Problem
from authorkit.store import KeptFiles


@contextmanager
def second_process(sizes: Sequence[PageSize]) -> Iterator[Executor | None]:
    """A process for the second page size; None if there is only one.

    It is spawned: the typesetter keeps threads of its own, which a forked process would wait for in vain.
    """
    if len(sizes) < 2:
        yield None
        return
    with ProcessPoolExecutor(max_workers=1, mp_context=get_context("spawn")) as pool:
        pool.submit(_get_ready)
        yield pool


def _get_ready() -> None:
    """Nothing to do: unpickling this function has imported the writer."""


def write_pdfs(
    manual: Manual, targets: Mapping[PageSize, Path], kept: KeptFiles, second: Executor | None
) -> tuple[Problem, ...]:
    """Write each page size to its target; what several sizes find is said once."""
    if second is None:
        found = [write_pdf(manual, target, page_size=size, kept=kept) for size, target in targets.items()]
    else:
        (size, target), *others = targets.items()
        jobs = [second.submit(write_pdf, manual, there, page_size=other, kept=kept) for other, there in others]
        found = [write_pdf(manual, target, page_size=size, kept=kept), *(job.result() for job in jobs)]
    return tuple(dict.fromkeys(problem for problems in found for problem in problems))
