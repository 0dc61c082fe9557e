"""From a described waveform (`shape: square, values: {...}`) to its traces, or to what is wrong with it."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.model.specification import Waveform
from authorkit.problems import Problem
from authorkit.problems.closest import closest, did_you_mean
from authorkit.signals.shapes import SHAPES, Parameters, Shape, ShapeError
from authorkit.signals.trace import Signal
from authorkit.units import Quantity


def describe(waveform: Waveform) -> tuple[Signal | None, tuple[Problem, ...]]:
    """The traces of a described waveform; None with findings if the description cannot be drawn."""
    shape = SHAPES.get(waveform.shape)
    if shape is None:
        return None, (_unknown_shape(waveform),)
    problems = tuple(_problems(waveform, shape))
    if problems:
        return None, problems
    given = {name: value.base if isinstance(value, Quantity) else value for name, value in waveform.values}
    axis = next(filter(None, (_level_dimension(value) for _, value in waveform.values)), "voltage")
    try:
        return shape.make(Parameters(given, axis)), ()
    except ShapeError as error:
        hint = f"Write {error.expected}."
        return None, (_malformed(waveform, str(error), error.found, error.expected, hint=hint),)


def _level_dimension(value: Quantity | str) -> str:
    """What the vertical axis measures, if this value lies on it."""
    return value.dimension if isinstance(value, Quantity) and value.dimension in ("voltage", "current") else ""


def _problems(waveform: Waveform, shape: Shape) -> Iterator[Problem]:
    given = dict(waveform.values)
    for name in sorted(set(given) - set(shape.keys)):
        hint = did_you_mean(closest(name, shape.keys)) or f"Delete '{name}'."
        yield _malformed(
            waveform, f"A '{waveform.shape}' waveform has no value '{name}'.", name, ", ".join(shape.keys), hint=hint
        )
    for name, key in shape.keys.items():
        value = given.get(name)
        hint = f"Write a value such as '{name}: {key.example}'."
        if value is None:
            if key.required:
                yield _malformed(
                    waveform, f"The value '{name}' is missing.", "nothing", f"{name}: {key.example}", hint=hint
                )
        elif key.dimensions and (not isinstance(value, Quantity) or value.dimension not in key.dimensions):
            yield _malformed(waveform, f"'{name}' cannot be '{_typed(value)}'.", _typed(value), key.example, hint=hint)


def _typed(value: Quantity | str) -> str:
    return f"{value.value} {value.unit}" if isinstance(value, Quantity) else value


def _unknown_shape(waveform: Waveform) -> Problem:
    hint = did_you_mean(closest(waveform.shape, SHAPES)) or "Choose one of the shapes."
    return _malformed(waveform, f"There is no shape '{waveform.shape}'.", waveform.shape, ", ".join(SHAPES), hint=hint)


def _malformed(waveform: Waveform, message: str, found: str, expected: str, *, hint: str) -> Problem:
    sentence = f"Waveform '{waveform.name}': {message}"
    return Problem("waveform-malformed", sentence, waveform.place, found, expected, hint)
