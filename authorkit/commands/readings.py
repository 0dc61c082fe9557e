"""`authorkit readings CODE`: what each instrument reads at each point, in each state, sound or with a fault."""

from __future__ import annotations

import argparse
import json
from dataclasses import dataclass
from typing import Any

from authorkit.circuit.disagree import Disagreement, disagreements
from authorkit.circuit.faults import Fault, find_fault
from authorkit.circuit.instruments import INSTRUMENTS, last_digit
from authorkit.circuit.measurement import Reading
from authorkit.circuit.study import Study, study_of
from authorkit.commands import CLEAN, COULD_NOT_RUN
from authorkit.commands.choice import (
    NotFoundError,
    add_code_argument,
    chosen_chapter,
    chosen_series,
    say_not_found,
)
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.units import format_value, show

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
        chosen = [
            _Chosen(book, chapter, study, _states(study, options.state), _faults(study, options.fault))
            for study in (study_of(book, chapter, each) for each in chosen_series(book, chapter, options.series))
        ]
    except NotFoundError as error:
        say_not_found(error)
        return COULD_NOT_RUN
    if options.json:
        print(json.dumps([row for each in chosen for row in _rows(each)], ensure_ascii=False, indent=1))
        return CLEAN
    for each in chosen:
        _print_table(_rows(each))
        _print_settings(each)
        _print_gaps(each)
        if options.fault != "all":
            _print_disagreements(each)
    return CLEAN


@dataclass(frozen=True)
class _Chosen:
    """What is printed of one series."""

    book: Book
    chapter: Chapter
    study: Study
    states: tuple[str, ...]
    faults: tuple[Fault | None, ...]


def _states(study: Study, wanted: str | None) -> tuple[str, ...]:
    if wanted is not None and wanted not in study.states:
        raise NotFoundError("state", wanted, study.states)
    return tuple(study.states) if wanted is None else (wanted,)


def _faults(study: Study, wanted: str | None) -> tuple[Fault | None, ...]:
    if wanted is None:
        return (None,)
    if wanted == "all":
        return (None, *study.faults)
    fault = find_fault(study.faults, wanted)
    if fault is None:
        raise NotFoundError("fault", wanted, [each.id for each in study.faults])
    return (fault,)


def _rows(chosen: _Chosen) -> list[dict[str, Any]]:
    study, rank = chosen.study, {name: place for place, name in enumerate(chosen.states)}
    return [
        _row(chosen.chapter, study.series, fault, reading)
        for fault in chosen.faults
        for (state, _), reading in sorted(
            study.readings[fault.id if fault else ""].items(), key=lambda item: rank.get(item[0][0], -1)
        )
        if state in rank
    ]


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


def _print_settings(chosen: _Chosen) -> None:
    """Whether the code sets, by what the module itself reads."""
    for fault in chosen.faults:
        settings = chosen.study.settings[fault.id if fault else ""]
        if any(setting.condition.watch for setting in settings):
            print(f"\nSeries {chosen.study.series}, {chosen.study.code}{f', with {fault.id}' if fault else ''}")
        for setting in settings:
            condition = setting.condition
            if condition.watch and condition.window:
                limit, read = show(condition.window), f" ({_one(setting.reading)})" if setting.reading else ""
                print(f"  {condition.watch} {limit}, {setting.state}: {setting.sets}{read}")


def _print_gaps(chosen: _Chosen) -> None:
    """What has no answer, and why."""
    for state in chosen.states:
        for gap in chosen.study.gaps.get(state, ()):
            print(f"\nSeries {chosen.study.series}, {state}: {gap} ({gap.place})")


def _print_disagreements(chosen: _Chosen) -> None:
    """Where it matters which instrument is taken."""
    for fault in chosen.faults:
        for name in chosen.states:
            where = chosen.study.states[name], chosen.study.series
            found = disagreements(chosen.book, chosen.chapter, where, fault) if where[0].name else ()
            if found:
                print(f"\nInstruments that differ: series {where[1]}, {name}{f', with {fault.id}' if fault else ''}")
            for each in found:
                print(f"  {each.at} to {each.to}: {_three(each)}. {each.because}")


def _three(found: Disagreement) -> str:
    """'voltmeter 12.59 V, low-impedance meter 12.48 V, test lamp 2.617 V'."""
    words = {"volts": "voltmeter", "low-impedance": "low-impedance meter", "lamp": "test lamp"}
    return ", ".join(f"{words[name]} {_one(reading)}" for name, reading in found.readings.items())


def _one(reading: Reading) -> str:
    return reading.status if reading.nominal is None else _shown(reading.nominal, reading.unit)


def _answer(row: dict[str, Any]) -> str:
    if row["nominal"] is None:
        return str(row["status"])
    digit = float(last_digit(INSTRUMENTS[row["instrument"]], row["nominal"]))
    values = (round(row["nominal"] / digit) * digit, row["low"], row["high"])
    shown = [_shown(value, row["unit"]) for value in values]
    reserve = "" if row["status"] == "driven" else f", {row['status']}"
    return f"{shown[0]:<12}({shown[1]} to {shown[2]}; {row['basis']}{reserve})"


def _shown(value: float, unit: str) -> str:
    return f"{value:.3g} %" if unit == "%" else format_value(value, _DIMENSIONS[unit], 4)
