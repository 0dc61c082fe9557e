"""Where it matters which instrument is taken."""

from __future__ import annotations

from pathlib import Path

import pytest

from authorkit.circuit.disagree import Disagreement, disagreements
from authorkit.circuit.readings import faults_in
from authorkit.facts.read_book import read_book
from authorkit.model.book import Book


@pytest.fixture(scope="module")
def demo() -> Book:
    book, _ = read_book(Path(__file__).parents[2])
    assert book is not None
    return book


def found(demo: Book, state: str, fault: str = "") -> dict[str, Disagreement]:
    chapter = demo.chapter("P0443")
    assert chapter is not None
    chosen = next(each for each in chapter.states if each.name == state)
    wrong = next((each for each in faults_in(demo, chapter, "A") if each.id == fault), None)
    return {each.at: each for each in disagreements(demo, chapter, (chosen, "A"), wrong)}


def test_sound_feed_reads_the_same_on_every_instrument(demo: Book) -> None:
    # 12.6 V behind 0.1 Ω of battery, fuse and wire drop 0.2 V under the 1.8 A of the lamp: told only where it shows.
    assert "Y1.1" not in found(demo, "unplugged")


def test_corroded_contact_in_the_feed_shows_under_load_only_and_is_named(demo: Book) -> None:
    told = found(demo, "unplugged", "contact-resistance-FB1-C.3")["Y1.1"]
    volts, low, lamp = (told.readings[name].nominal for name in ("volts", "low-impedance", "lamp"))
    # Divider of 100 Ω with 10 MΩ, 3 kΩ and 6.86 Ω.
    assert (volts, low, lamp) == (
        pytest.approx(12.6, abs=1e-3),
        pytest.approx(12.6 * 3000 / 3100, abs=0.01),
        pytest.approx(12.6 * 6.857 / 106.9, abs=0.01),
    )
    assert told.ohms == pytest.approx(100, abs=0.5)
    assert told.because.startswith("About 100\u202fΩ lies in the path to Y1.1")


def test_open_feed_floats_for_the_voltmeter_alone(demo: Book) -> None:
    told = found(demo, "unplugged", "contact-open-FB1-C.3")["Y1.1"]
    assert told.readings["volts"].status == "floating"
    assert told.readings["lamp"].nominal == pytest.approx(0.0, abs=1e-3)
    assert told.because.startswith("Nothing drives Y1.1")
