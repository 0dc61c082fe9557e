"""What cannot be made is refused with one sentence that says why and what would help; nothing is written."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from authorkit.starters.chapter import NewChapter
from authorkit.starters.error import StarterError

Make = Callable[..., NewChapter]
Vehicle = Callable[[str], Path]

WISHES = [
    pytest.param("p0118", "thermistor", {}, ["'p0118' is not a trouble code", "did you mean 'P0118'?"], id="case"),
    pytest.param("PO117", "thermistor", {}, ["did you mean 'P0117'?"], id="letter for digit"),
    pytest.param("X0118", "thermistor", {}, ["P, C, B or U as the first letter, not 'X'"], id="letter"),
    pytest.param("P0000", "thermistor", {}, ["fills up a message"], id="filler"),
    pytest.param("B3001", "thermistor", {}, ["B3001 is in a range that the standard keeps in reserve"], id="reserved"),
    pytest.param(
        "P0117", "thermister", {}, ["no kind of circuit 'thermister'", "Did you mean 'thermistor'?"], id="kind"
    ),
    pytest.param(
        "P0119", "thermistor", {"module": "m1"}, ["no module 'm1'", "Did you mean 'M1'?", "M1, M2, M3"], id="module"
    ),
    pytest.param("P0117", "thermistor", {"module": "M2"}, ["By the code list M1 stores the code P0117"], id="list"),
    pytest.param("P0117", "thermistor", {"title": "Knock sensor low"}, ["The code list calls P0117"], id="title"),
    pytest.param("P0119", "thermistor", {"title": " "}, ["The title is empty"], id="empty title"),
    pytest.param("P0119", "thermistor", {"title": "a\nb"}, ["cannot be printed"], id="unprintable title"),
    pytest.param("P0119", "thermistor", {"series": ("C",)}, ["no series 'C'; the vehicle has A, B"], id="series"),
    pytest.param("P0118", "thermistor", {}, ["There is a chapter of P0118 already: chapters/P0118.ipynb"], id="twice"),
    pytest.param(
        "P0A7A", "motor-phases", {"module": "M1"}, ["M1 has no connector", "found at M3", "--module"], id="no poles"
    ),
]


@pytest.mark.parametrize(("code", "kind", "wishes", "says"), WISHES)
def test_a_wish_that_does_not_fit_the_book(
    code: str, kind: str, wishes: dict[str, object], says: list[str], manual: Path, make: Make
) -> None:
    before = sorted(path.name for path in (manual / "chapters").iterdir())
    with pytest.raises(StarterError) as caught:
        make(manual, code, kind, **wishes)
    for words in says:
        assert words in str(caught.value)
    assert "\n" not in str(caught.value)
    assert str(caught.value).endswith(".")
    assert sorted(path.name for path in (manual / "chapters").iterdir()) == before


MODULES = "modules: {M1: {name: Control module}, M2: {name: Other module}}\n"
FEED = "feeds: {B+: {name: Battery positive, live: always}}\n"

LACKS = [
    pytest.param("", "thermistor", "no module that could store a code", id="modules"),
    pytest.param(MODULES, "switch-to-feed", "a feed that is live with 'always'", id="feeds"),
    pytest.param(MODULES + FEED, "resolver", "a 'high-voltage' entry", id="high voltage"),
    pytest.param(MODULES, "two-wire-bus", "M1 is on no two-wire bus with another module", id="bus"),
    pytest.param(
        MODULES + "networks: {N1: {name: Bus, kind: two-wire bus, members: [M2]}}\n",
        "two-wire-bus",
        "(N1 has M2)",
        id="member",
    ),
]


@pytest.mark.parametrize(("facts", "kind", "says"), LACKS)
def test_a_book_that_lacks_what_the_kind_needs(facts: str, kind: str, says: str, vehicle: Vehicle, make: Make) -> None:
    module = "M1" if facts and kind == "two-wire-bus" else None
    with pytest.raises(StarterError) as caught:
        make(vehicle(facts), "P1001", kind, module=module)
    assert says in str(caught.value)


def test_a_vehicle_without_systems_is_told_to_list_one(vehicle: Vehicle, make: Make) -> None:
    folder = vehicle(MODULES)
    notebook = folder / "chapters" / "vehicle.ipynb"
    notebook.write_text(notebook.read_text(encoding="utf-8").replace("systems: [Drive]", "series: {}"), "utf-8")
    with pytest.raises(StarterError, match="lists no systems"):
        make(folder, "P1001", "thermistor")


def test_series_with_different_disconnects_want_a_chapter_each(vehicle: Vehicle, make: Make) -> None:
    facts = (
        "series: {A: Series A, B: Series B}\n"
        + MODULES
        + "tools: {T1: Tester}\n"
        + "high-voltage:\n"
        + "  - {disconnect: D1, waiting: 5 min, waiting-source: Maker, tool: T1, gloves: '0', series: A}\n"
        + "  - {disconnect: D2, waiting: 5 min, waiting-source: Maker, tool: T1, gloves: '0', series: B}\n"
    )
    with pytest.raises(StarterError, match=r"different service disconnects .* --series"):
        make(vehicle(facts), "P1001", "resolver")


def test_a_module_that_a_drawn_bus_leaves_out_is_told_so(demo: Path, make: Make) -> None:
    notebook = demo / "chapters" / "vehicle.ipynb"
    text = notebook.read_text(encoding="utf-8")
    assert "members: [M1, M4, M5, M6]" in text
    notebook.write_text(text.replace("members: [M1, M4, M5, M6]", "members: [M1, M4, M5, M6, M8]"), "utf-8")
    with pytest.raises(StarterError, match="chapters that draw CAN1 leave out M8"):
        make(demo, "U1001", "two-wire-bus", module="M8")
