"""What is offered where in a facts cell of the demo manual; `¦` marks the cursor."""

from __future__ import annotations

import time
from collections.abc import Callable

import pytest

from authorkit.desk.book_state import BookState
from authorkit.desk.completion import Completions, complete
from authorkit.desk.located import Origin
from authorkit.desk.typing import Typing
from authorkit.facts.schema.chapter import CHAPTER
from authorkit.problems import RULES

Completing = Callable[[str, str], tuple[list[str], str]]


@pytest.fixture(scope="session")
def completing(shared_state: BookState, facts_of: dict[str, str]) -> Completing:
    """A function that types into the chapter P0118: the words offered, and the text that they replace."""
    typing = Typing(shared_state)

    def run(old: str, marked: str) -> tuple[list[str], str]:
        source = facts_of["chapters/P0118.ipynb"]
        assert old in source
        source = source.replace(old, marked, 1)
        offset = source.index("¦")
        source = source.replace("¦", "")
        found = complete(typing, source, offset, Origin())
        return [offer.text for offer in found.offers], source[found.start : found.end]

    return run


# What is typed instead of what → some words that must be offered, the text that they replace.
CASES = [
    ("lamp: ", "re¦\nlamp: ", {"figures:"}, "re"),  # keys that hold 're': 'related', 'before-start' are there already
    ("set-by: M1", "set-by: ¦", {"M1", "M7"}, ""),
    ("system: Engine management", "system: e¦", {"Engine management"}, "e"),
    ("B5.1], series: A}", "b5¦], series: A}", {"B5."}, "b5"),
    ("B5.1], series: A}", "m1-a.4¦], series: A}", {"M1-A.4", "M1-A.41", "M1-A.48"}, "m1-a.4"),
    ("K131 BU/WH 0.5 mm2 1.8 m", "K131 BU/¦", {"WH", "GY", "BN"}, ""),
    ("K131 BU/WH 0.5 mm2 1.8 m", "K131 BU/WH 0.¦", {"0.35 mm2", "0.5 mm2"}, "0."),
    ("K131 BU/WH 0.5 mm2 1.8 m", "K131 BU/WH 0.5 mm2 1.8¦", {"1.8 m", "1.8 mm"}, "1.8"),
    ("hazards: [hot coolant]", "hazards: [h¦]", {"high voltage", "hot coolant", "hot surface"}, "h"),
    ("- {clamp: M1-A.23", "- {cl¦: M1-A.23", {"clamp"}, "cl"),
    ("- {clamp: M1-A.23, to: 5 V}", "- {clamp: M1-A.23, ¦}", {"to: ", "series: "}, ""),
    ("r25: 2.05 kΩ", "r25: 2.05 k¦", {"2.05 kΩ"}, "2.05 k"),
    ("r25: 2.05 kΩ", "r25: 2.05k¦", {"2.05kΩ"}, "2.05k"),
    ("above: 4.85 V", "above: 4.85¦", {"4.85 V", "4.85 mV"}, "4.85"),
    ("watch: M1.ECT", "watch: M¦", {"M1.ECT"}, "M"),
    ("state: cold, reads: 2.4 to 2.6 V", "state: c¦, reads: 2.4 to 2.6 V", {"cold"}, "c"),
    ("state: cold, reads: 2.4 to 2.6 V", "state: cold, reads: 2.4 to 2.6¦", {"2.6 V", "2.6 mV"}, "2.6"),
    ("then: {below 2 Ω: 7, else: 10}", "then: {below 2 ¦", {"2 Ω", "2 kΩ"}, "2 "),
    ("then: {below 2 Ω: 7, else: 10}", "then: {below 2 Ω: 1¦", {"10", "11", "12", "13"}, "1"),
    ("open K131 at X12", "op¦", {"open "}, "op"),
    ("open K131 at X12", "open K1¦", {"open K131"}, "open K1"),
    ("{cavity:B5.1} of", "{cav¦ of", {"cavity:"}, "cav"),
    ("{cavity:B5.1} of", "{cavity:B5¦ of", {"B5.1}", "B5.2}"}, "B5"),
    ("unplug: B5", "unplug: X1¦", {"X12"}, "X1"),
    ("hot: {key: on, B5: 90 °C}", "hot: {¦}", {"key: ", "unplug: ", "B5"}, ""),
    ("hot: {key: on", "hot: {key: ¦", {"off", "on", "run", "crank"}, ""),
    ("verdict: B5", "verdict: K¦", {"K131"}, "K"),
    ("colour: GY", "colour: G¦", {"GN", "GY"}, "G"),
    ("tools: [T1, T7", "tools: [T¦", {"T1", "T9"}, "T"),
    ("related: [P0117", "related: [P01¦", {"P0116", "P0117"}, "P01"),
    ("series: A}", "series: ¦}", {"A", "B"}, ""),
]


@pytest.mark.parametrize(("old", "marked", "words", "replaced"), CASES)
def test_words_that_fit_are_offered(
    completing: Completing, old: str, marked: str, words: set[str], replaced: str
) -> None:
    offered, fragment = completing(old, marked)
    assert (words <= set(offered), fragment) == (True, replaced), offered


def test_only_cavities_that_nothing_uses_are_offered_as_new_ones(completing: Completing) -> None:
    offered, _ = completing('"41": {signal', '"4¦": {signal')
    assert set(offered) == {'"4"', '"40"', '"43"', '"44"', '"47"', '"48"'}


def test_keys_that_are_there_and_those_they_exclude_are_not_offered(completing: Completing) -> None:
    offered, _ = completing("lasting: 2 s", "¦")
    assert set(offered) == {"lasting: ", "source: ", "series: "}


def test_a_name_that_was_typed_above_and_never_saved_is_offered(completing: Completing) -> None:
    changed = "states:\n  frosty: {key: on, B5: -20 °C}\n  cold: "
    offered, _ = completing("states:\n  cold: ", f"sets-when: [{{watch: M1.ECT, above: 4 V, during: f¦}}]\n{changed}")
    assert "frosty" in offered


def test_beside_other_completers_only_words_that_go_on_exactly_are_offered(
    shared_state: BookState, facts_of: dict[str, str]
) -> None:
    source = facts_of["chapters/P0118.ipynb"]
    for typed, words in (("m1-a.2", 0), ("M1-A.2", 1)):
        changed = source.replace("B5.1], series: A}", f"{typed}], series: A}}", 1)
        offset = changed.index(f"{typed}], series: A") + len(typed)
        found = complete(Typing(shared_state), changed, offset, Origin(), loosely=False)
        assert bool(found.offers) == bool(words)
        assert all(offer.text.startswith(typed) for offer in found.offers)


def test_every_rule_can_be_accepted(completing: Completing) -> None:
    offered, _ = completing("related", "accept:\n  - {rule: ¦}\nrelated")
    assert offered == list(RULES)


def test_every_key_of_a_chapter_is_offered_in_an_empty_cell(shared_state: BookState) -> None:
    source, origin = "%%facts\n", Origin(str(shared_state.folder / "chapters" / "P0118.ipynb"))
    found = complete(Typing(shared_state), source, len(source), origin)
    assert [offer.text.strip(": ") for offer in found.offers] == [key.name for key in CHAPTER.keys]


def test_nothing_is_offered_where_the_written_form_has_no_place(completing: Completing) -> None:
    assert completing("lamp: ", "nonsense:\n  deeper: x¦\nlamp: ") == ([], "")


def test_each_word_says_what_it_is(shared_state: BookState, facts_of: dict[str, str]) -> None:
    source = facts_of["chapters/P0118.ipynb"].replace("set-by: M1\n", "set-by: M\n")
    offset = source.index("set-by: M") + len("set-by: M")
    found = complete(Typing(shared_state), source, offset, Origin())
    assert isinstance(found, Completions)
    assert {offer.text: offer.about for offer in found.offers}["M1"] == "Engine control module"


def test_an_answer_is_not_late(shared_state: BookState, facts_of: dict[str, str]) -> None:
    """JupyterLab drops what takes a second; the aim of a tenth is measured in tests/benchmarks."""
    typing, source = Typing(shared_state), facts_of["chapters/P0480.ipynb"]
    complete(typing, source, source.index("wires:"), Origin())
    start = time.perf_counter()
    for offset in range(100, 1100, 100):
        complete(typing, source, offset, Origin())
    assert (time.perf_counter() - start) / 10 < 0.8
