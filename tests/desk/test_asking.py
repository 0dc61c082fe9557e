"""The helpers of code cells: numbers, captures, circuits, and sentences where there is no answer."""

from __future__ import annotations

import math
from collections.abc import Mapping
from pathlib import Path

import pytest

from authorkit import desk
from authorkit.desk.asking import AskError
from authorkit.desk.book_state import BookState


@pytest.fixture
def chapter(shared_state: BookState, monkeypatch: pytest.MonkeyPatch) -> Path:
    """As in the notebook of P0118."""
    folder = shared_state.folder / "chapters"
    monkeypatch.chdir(folder)
    monkeypatch.setenv("JPY_SESSION_NAME", str(folder / "P0118.ipynb"))
    return folder


def thermistor(celsius: float) -> float:
    """Resistance in ohms by the beta equation, with the values of the chapter (2.05 kΩ at 25 °C, 3400 K)."""
    return 2050 * math.exp(3400 * (1 / (celsius + 273.15) - 1 / 298.15))


@pytest.mark.usefixtures("chapter")
@pytest.mark.parametrize(("state", "celsius"), [("cold", 20), ("hot", 90), ({"key": "on", "B5": "-10 °C"}, -10)])
def test_a_reading_is_that_of_the_divider(state: str | Mapping[str, object], celsius: float) -> None:
    found = desk.readings("M1-A.23", state)
    ohms = thermistor(celsius)
    assert found.value == pytest.approx(5 * ohms / (ohms + 2490), abs=0.002)
    assert found.limits[0] is not None
    assert found.limits[0] < found.value < found.limits[1]  # type: ignore[operator]


@pytest.mark.usefixtures("chapter")
def test_a_reading_is_shown_as_a_number_with_its_unit() -> None:
    found = desk.readings("M1-A.23", "cold")
    assert str(found).replace("\N{NARROW NO-BREAK SPACE}", " ") == "2.5 V"
    assert set(found._repr_mimebundle_()) == {"text/plain", "text/html"}


@pytest.mark.usefixtures("chapter")
def test_instrument_second_point_series_and_fault_may_be_told() -> None:
    bench = {"key": "off", "unplug": "B5", "B5": "20 °C"}
    ohms = desk.readings("B5.1", bench, to="B5.2", instrument="ohms", series="A")
    assert ohms.value == pytest.approx(thermistor(20), rel=0.001)
    broken = desk.readings("M1-A.23", "cold", fault="open-K131-B5.1-X12.4", series="A")
    assert broken.value == pytest.approx(5.0, abs=0.01)


@pytest.mark.usefixtures("chapter")
def test_another_chapter_can_be_asked() -> None:
    assert desk.readings("M1-A.23", code="P0118").value == desk.readings("M1-A.23").value
    assert "relay" in desk.circuit(code="P0480").picture.alt.lower()


@pytest.mark.usefixtures("chapter")
@pytest.mark.parametrize(
    ("question", "sentence"),
    [
        ({"at": "M1-A.24"}, "There is no point 'M1-A.24'; did you mean 'M1-A.2'?"),
        ({"at": "M1-A.23", "state": "col"}, "There is no state 'col'; did you mean 'cold'?"),
        ({"at": "M1-A.23", "code": "P0119"}, "There is no chapter 'P0119'; did you mean 'P0118'?"),
        ({"at": "M1-A.23", "instrument": "volt"}, "There is no instrument 'volt'; did you mean 'volts'?"),
        ({"at": "M1-A.23", "series": "C"}, "There is no series 'C'; there are A, B"),
        ({"at": "M1-A.23", "fault": "open-K131"}, "There is no fault 'open-K131'; did you mean 'open-K131-"),
        ({"at": "M1-A.23", "state": {"key": "onn"}}, "The state {'key': 'onn'} cannot be read: key: found 'onn'"),
    ],
)
def test_a_question_without_an_answer_gets_one_sentence(question: dict[str, object], sentence: str) -> None:
    with pytest.raises(AskError) as caught:
        desk.readings(**question)  # type: ignore[arg-type]
    assert str(caught.value).startswith(sentence)
    assert caught.value._render_traceback_() == [str(caught.value)]


@pytest.mark.usefixtures("chapter")
@pytest.mark.parametrize("file", ["figures/speed-120hz.csv", "speed-120hz.csv"])
def test_a_capture_is_drawn_and_measured(file: str) -> None:
    shown = desk.capture(file)
    assert dict(shown.rows)["frequency"].startswith("120")
    bundle = shown._repr_mimebundle_()
    assert bundle["image/svg+xml"].startswith("<svg")
    assert "data:image/svg+xml;base64," in bundle["text/html"]
    assert "frequency: 120" in bundle["text/plain"]


@pytest.mark.usefixtures("chapter")
def test_what_is_no_capture_gets_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "bad.csv").write_text("hello\n", encoding="utf-8")
    for file, words in (("speed.csv", "did you mean 'figures/speed-120hz.csv'?"), (str(tmp_path / "bad.csv"), "")):
        with pytest.raises(AskError) as caught:
            desk.capture(file)
        assert words in str(caught.value)
    with pytest.raises(AskError, match="has no channel 9; it has 1 to 1"):
        desk.capture("speed-120hz.csv", 9)


def test_outside_of_a_manual_there_is_nothing_to_ask(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises(AskError, match="There is no manual here"):
        desk.readings("M1-A.23")


def test_a_notebook_that_is_no_chapter_must_name_one(chapter: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("JPY_SESSION_NAME", str(chapter / "front-1-about.ipynb"))
    with pytest.raises(AskError, match='name one: code="P0118"'):
        desk.readings("M1-A.23")
