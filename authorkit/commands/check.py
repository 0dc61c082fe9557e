"""`authorkit check`: every finding of the book."""

from __future__ import annotations

import argparse
import sys
from importlib.metadata import version
from pathlib import Path

from authorkit.checks.run import Findings, check_book
from authorkit.commands import CLEAN, FINDINGS
from authorkit.commands.folder import Lines, add_folder_argument, manual_folder
from authorkit.commands.kept import kept_for, prepared_studies
from authorkit.facts.read_book import read_book
from authorkit.output.findings.json_document import as_json
from authorkit.output.findings.junit import as_junit
from authorkit.output.findings.report import as_report
from authorkit.output.findings.sarif import as_sarif
from authorkit.output.findings.text import as_text

FORMATS = ("text", "json", "sarif", "junit", "html")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The options of `check`."""
    add_folder_argument(parser)
    parser.add_argument(
        "--format", choices=FORMATS, default="text", help="how the findings are written (default: text)"
    )
    parser.add_argument("--output", metavar="FILE", type=Path, help="write to a file instead of the terminal")
    parser.add_argument("--strict", action="store_true", help="warnings, too, make the exit code 1")


def run(options: argparse.Namespace) -> int:
    """Check the book; 1 if there are findings that count."""
    folder = manual_folder(options.manual)
    book, reading = read_book(folder)
    studies = prepared_studies(book, kept_for(folder, len(book.chapters)), None) if book else None
    findings = check_book(book, reading, studies=studies)
    text = written(findings, options.format, folder)
    if options.output:
        options.output.write_text(text, encoding="utf-8")
    else:
        sys.stdout.write(text)
    counted = findings.open if options.strict else findings.errors
    return FINDINGS if counted else CLEAN


def written(findings: Findings, form: str, folder: Path) -> str:
    """The findings in one of FORMATS."""
    lines = Lines(folder)
    if form == "json":
        return as_json(findings)
    if form == "sarif":
        return as_sarif(findings, lines.physical_line, version("authorkit"))
    if form == "junit":
        files = (path.relative_to(folder).as_posix() for path in sorted((folder / "chapters").rglob("*.ipynb")))
        return as_junit(findings, files, lines.line_of)
    if form == "html":
        return as_report(findings, lines.line_of, folder.name)
    return as_text(findings, lines.line_of)
