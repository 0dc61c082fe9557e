"""`%new` in a notebook."""

from __future__ import annotations

from pathlib import Path

import pytest

from authorkit.checks.run import check_book
from authorkit.desk.book_state import BookState
from authorkit.desk.new_chapter import asked_wish, guide, make, new_offers, wish_of
from authorkit.starters.error import StarterError
from authorkit.starters.kinds import KINDS


@pytest.fixture
def state(manual: Path) -> BookState:
    return BookState(manual)


def test_a_kind_and_a_code_make_a_chapter_that_checks(state: BookState) -> None:
    made = make(state, wish_of("thermistor P0117"))
    assert (state.folder / made.file).is_file()
    book, reading = state.book()
    assert book is not None
    assert book.chapter("P0117") is not None
    found = [problem for problem in check_book(book, reading).open if problem.place.file == made.file]
    assert {problem.rule for problem in found if problem.severity == "error"} <= {"todo-left"}


def test_the_chapter_is_linked_from_the_notebook_beside_it(state: BookState, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(state.folder / "chapters")
    made = make(state, wish_of("thermistor P0117"))
    assert '<a href="P0117.ipynb" target="_blank">chapters/P0117.ipynb</a>' in made._repr_mimebundle_()["text/html"]


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        ("thermistr P0117", "There is no kind of circuit 'thermistr'. Did you mean 'thermistor'?"),
        ("thermistor", "The following arguments are required: code. Write it like %new thermistor P0115."),
        ("thermistor P0118", "There is a chapter of P0118 already: chapters/P0118.ipynb."),
        ("thermistor 'P0117", "The line cannot be read: No closing quotation."),
        ("thermistor P0117 --colour red", "Unrecognized arguments: --colour red. Write it like"),
    ],
)
def test_a_mistake_gets_one_sentence(state: BookState, line: str, sentence: str) -> None:
    with pytest.raises(StarterError) as caught:
        make(state, wish_of(line))
    assert str(caught.value).startswith(sentence)


def test_nothing_is_written_over(state: BookState) -> None:
    path = state.folder / "chapters" / "P0117.ipynb"
    path.write_text("mine", encoding="utf-8")
    with pytest.raises(StarterError, match="nothing was written"):
        make(state, wish_of("thermistor P0117"))
    assert path.read_text(encoding="utf-8") == "mine"


def test_the_guide_lists_every_kind_and_the_codes_without_a_chapter(state: BookState) -> None:
    text = guide(state)._repr_mimebundle_()["text/plain"]
    assert all(kind in text for kind in KINDS)
    assert "P0117" in text
    assert "P0118" not in text


def test_answers_become_a_wish_and_none_to_the_first_questions_stops() -> None:
    answers = iter(["thermistor", "P0117", "", "M1"])
    wish = asked_wish(lambda _: next(answers))
    assert wish is not None
    assert (wish.kind, wish.code, wish.title, wish.module) == ("thermistor", "P0117", None, "M1")
    assert asked_wish(lambda _: "") is None


@pytest.mark.parametrize(
    ("line", "fragment", "word"),
    [
        ("%new ther", "ther", "thermistor"),
        ("%new thermistor P01", "P01", "P0117"),
        ("%new thermistor P0117 --m", "--m", "--module"),
        ("%new thermistor P0117 --module M", "M", "M1"),
        ("%new thermistor P0117 --series ", "", "A"),
    ],
)
def test_the_line_is_completed(state: BookState, line: str, fragment: str, word: str) -> None:
    found = new_offers(line, state)
    assert found is not None
    assert found[0] == fragment
    assert word in [offer.text for offer in found[1]]


def test_other_lines_are_left_to_the_kernel(state: BookState) -> None:
    assert new_offers("x = '%new '", state) is None
    assert new_offers("%newer ther", state) is None
