"""`authorkit prove [CODE]`: walk every single fault through a chapter's procedure, and tell where each one ends."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator

from authorkit.circuit.study import Studies
from authorkit.commands import CLEAN, COULD_NOT_RUN, FINDINGS
from authorkit.commands.choice import NotFoundError, chosen_chapters, chosen_series, say_not_found
from authorkit.commands.folder import add_folder_argument
from authorkit.diagnosis.proof import Proof, prove
from authorkit.diagnosis.report import end_rows, names_in_words, rows_of_walks, tally, wrong_walks
from authorkit.diagnosis.walk import Ending


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The options of `prove`."""
    parser.add_argument("code", metavar="CODE", nargs="?", help="the trouble code of one chapter (default: all)")
    add_folder_argument(parser)
    parser.add_argument("--series", metavar="ID", help="one series only (default: all of the chapter)")
    parser.add_argument("--json", action="store_true", help="every way of every fault as a list of objects")


def run(options: argparse.Namespace) -> int:
    """Print where the faults end; FINDINGS if some fault may end at a wrong verdict or at none."""
    try:
        book, chapters = chosen_chapters(options.code, options.manual)
        studies = Studies(book)
        proofs = [
            prove(book, chapter, studies.of(chapter, series))
            for chapter in chapters
            for series in chosen_series(book, chapter, options.series)
        ]
    except NotFoundError as error:
        say_not_found(error)
        return COULD_NOT_RUN
    if options.json:
        print(json.dumps([row for proof in proofs for row in rows_of_walks(proof)], ensure_ascii=False, indent=1))
    else:
        print("\n\n".join("\n".join(_lines(proof)) for proof in proofs))
    return FINDINGS if any(wrong_walks(proof) for proof in proofs) else CLEAN


def _lines(proof: Proof) -> Iterator[str]:
    counted = tally(proof)
    series = f", series {proof.series}" if proof.series else ""
    yield (
        f"{proof.chapter.code}{series}: {counted.faults} faults can set the code; {counted.proven} of them always end "
        f"at the right verdict; {counted.minutes:.1f} min on average"
    )
    for row in end_rows(proof):
        low, high = row.minutes
        ends = f"{names_in_words(row.verdict)}" if row.verdict else proof.steps[row.step].end
        yield f"  step {row.step}: {ends} ({low:.0f} to {high:.0f} min)"
        yield from (f"      {words}" for words in row.faults)
    wrong = wrong_walks(proof)
    if wrong:
        yield "  not proven:"
    for walk in wrong:
        yield f"    {walk.fault.id}: {walk.fault.sentence}"
        yield from (f"      {_way(ending)}" for ending in walk.endings)


def _way(ending: Ending) -> str:
    way = " ".join(f"{step} ({answer})" if answer else step for step, answer in ending.path)
    guessed = ", some answer is known to nobody" if ending.open else ""
    return f"{ending.outcome}: {way}{guessed}"
