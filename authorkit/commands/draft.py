"""`authorkit draft CODE`: propose a procedure of least expected minutes as a `procedure:` to edit."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Mapping, Sequence

from authorkit.commands import CLEAN, COULD_NOT_RUN
from authorkit.commands.choice import NotFoundError, add_code_argument, chosen_chapter, chosen_series, say_not_found
from authorkit.diagnosis.draft import Draft, NoDraftError, draft
from authorkit.diagnosis.report import tally
from authorkit.diagnosis.written import procedure_text


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The options of `draft`."""
    add_code_argument(parser)
    parser.add_argument("--series", metavar="ID", help="one series only (default: all of the chapter)")


def run(options: argparse.Namespace) -> int:
    """Print the drafted facts, and beside them (as comments) what they cost and prove."""
    try:
        book, chapter = chosen_chapter(options.code, options.manual)
        for series in chosen_series(book, chapter, options.series):
            _print(draft(book, chapter, series), series, {each.id: each.answers for each in book.vehicle.procedures})
    except NotFoundError as error:
        say_not_found(error)
        return COULD_NOT_RUN
    except NoDraftError as error:
        print(f"authorkit: nothing to draft: {error}", file=sys.stderr)
        return COULD_NOT_RUN
    return CLEAN


def _print(found: Draft, series: str, answers: Mapping[str, Sequence[str]]) -> None:
    counted, plan = tally(found.proof), found.plan
    how = "no order of these tests takes less" if plan.exact else "found by roll-out, a better order may exist"
    print(f"# Series {series}: a draft to edit." if series else "# A draft to edit.")
    if found.own is not None:
        print(f"# Yours {found.own.minutes:.1f} min expected, this one {found.proof.minutes:.1f} min.")
    print(f"# Search {plan.minutes:.1f} min ({how}); least possible by Huffman's bound {plan.least:.1f} min.")
    print(f"# {counted.proven} of {counted.faults} faults always end at the right verdict.")
    print("# Chances: often 10, sometimes 3, seldom 1, not named 0.3; minutes of access as the vehicle notebook tells.")
    print(procedure_text(found.steps, answers), end="")
