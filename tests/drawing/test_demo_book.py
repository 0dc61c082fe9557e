"""The pictures of the demo manual through the checkers: circuits, connector faces, waveforms, captures."""

from __future__ import annotations

import pytest

from authorkit.circuit.view import circuit_of
from authorkit.drawing.circuit import draw_circuit
from authorkit.drawing.face import draw_face
from authorkit.drawing.inspect import inspect_joins, inspect_print, inspect_texts
from authorkit.drawing.waveform import draw_waveform
from authorkit.facts.read_book import read_book
from authorkit.model.wiring import applies


@pytest.fixture(scope="module")
def book(repo_root):
    return read_book(repo_root)[0]


def test_every_circuit_on_every_series_passes_every_checker(book):
    count = 0
    for chapter in book.chapters:
        for series in (name for name in book.vehicle.series_ids if applies(chapter.series, name)):
            wiring = circuit_of(book, chapter, series)
            pictures, problems = draw_circuit(wiring)
            assert problems == ()
            assert inspect_joins([picture.svg for picture in pictures], wiring) == []
            for picture in pictures:
                assert inspect_texts(picture.svg) == []
                assert inspect_print(picture.svg) == []
            count += len(pictures)
    assert count > len(book.chapters)


def test_every_connector_face_can_be_read_from_both_sides(book):
    connectors = [each for each in book.vehicle.wiring.connectors if each.rows]
    assert len(connectors) > 20
    for connector in connectors:
        cavities = connector.cavities
        used = dict.fromkeys(cavities[::2], "SIGNAL NAME")
        for view in ("wire side", "terminal side"):
            face = draw_face(connector, used, frozenset(cavities[:3]), view=view)
            assert inspect_texts(face.svg) == []
            assert inspect_print(face.svg) == []


def test_every_waveform_can_be_read(book):
    waveforms = [waveform for chapter in book.chapters for waveform in chapter.waveforms if waveform.shape]
    assert len(waveforms) > 5
    for waveform in waveforms:
        picture, problems = draw_waveform(waveform)
        assert problems == ()
        assert inspect_texts(picture.svg) == []
        assert inspect_print(picture.svg) == []
