"""`authorkit readings CODE`: what each instrument reads at each point, in each state, sound or with a fault."""

from __future__ import annotations

import argparse
import json
from typing import Any

from authorkit.circuit.faults import Fault
from authorkit.circuit.instruments import INSTRUMENTS, last_digit
from authorkit.circuit.readings import Reading, faults_in, readings_of
from authorkit.commands import CLEAN, COULD_NOT_RUN
from authorkit.commands.choice import (
    NotFoundError,
    add_code_argument,
    chosen_chapter,
    chosen_fault,
    chosen_series,
    chosen_states,
    say_not_found,
)
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.units import format_value

_DIMENSIONS = {"V": "voltage", "Ω": "resistance", "A": "current", "Hz": "frequency"}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The options of `readings`."""
    add_code_argument(parser)
    parser.add_argument("--series", metavar="ID", help="one series only (default: all of the chapter)")
    parser.add_argument("--state", metavar="NAME", help="one state only (default: all of the chapter)")
    parser.add_argument(
        "--fault", metavar="ID", help="with this fault (see 'authorkit faults'), or 'all' of them in turn"
    )
    parser.add_argument("--json", action="store_true", help="a list of objects instead of a table")


def run(options: argparse.Namespace) -> int:
    """Print the readings."""
    try:
        book, chapter = chosen_chapter(options.code, options.manual)
        rows = [
            _row(chapter, series, fault, reading)
            for series in chosen_series(book, chapter, options.series)
            for fault in _faults(book, chapter, series, options.fault)
            for reading in readings_of(
                book, chapter, series, chosen_states(chapter, series, options.state), fault=fault
            )
        ]
    except NotFoundError as error:
        say_not_found(error)
        return COULD_NOT_RUN
    if options.json:
        print(json.dumps(rows, ensure_ascii=False, indent=1))
    else:
        _print_table(rows)
    return CLEAN


def _faults(book: Book, chapter: Chapter, series: str, wanted: str | None) -> tuple[Fault | None, ...]:
    if wanted is None:
        return (None,)
    if wanted == "all":
        return (None, *faults_in(book, chapter, series))
    return (chosen_fault(book, chapter, series, wanted),)


def _row(chapter: Chapter, series: str, fault: Fault | None, reading: Reading) -> dict[str, Any]:
    return {
        "code": str(chapter.code),
        "series": series,
        "state": reading.state,
        "fault": fault.id if fault else None,
        "instrument": reading.measurement.instrument,
        "at": reading.measurement.at,
        "to": reading.measurement.to or None,
        "unit": reading.unit,
        "nominal": reading.nominal,
        "low": reading.low,
        "high": reading.high,
        "basis": reading.basis,
        "status": reading.status,
    }


def _print_table(rows: list[dict[str, Any]]) -> None:
    heading = None
    for row in rows:
        if heading != (row["series"], row["state"], row["fault"]):
            heading = (row["series"], row["state"], row["fault"])
            print(f"\nSeries {row['series']}, {row['state']}{', with ' + row['fault'] if row['fault'] else ''}")
        points = f"{row['at']} to {row['to']}" if row["to"] else row["at"]
        print(f"  {row['instrument']:<11}{points:<34}{_answer(row)}")


def _answer(row: dict[str, Any]) -> str:
    if row["nominal"] is None:
        return str(row["status"])
    digit = last_digit(INSTRUMENTS[row["instrument"]], row["nominal"])
    values = (round(row["nominal"] / digit) * digit, row["low"], row["high"])
    shown = [_shown(value, row["unit"]) for value in values]
    reserve = "" if row["status"] == "driven" else f", {row['status']}"
    return f"{shown[0]:<12}({shown[1]} to {shown[2]}; {row['basis']}{reserve})"


def _shown(value: float, unit: str) -> str:
    return f"{value:.3g} %" if unit == "%" else format_value(value, _DIMENSIONS[unit], 4)
