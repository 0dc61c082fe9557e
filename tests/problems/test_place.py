"""Places in words and in order."""

from __future__ import annotations

import pytest

from authorkit.problems import Place


@pytest.mark.parametrize(
    ("place", "words"),
    [
        (Place("chapters/P0118.ipynb", 1, 7, 12), "chapters/P0118.ipynb, cell 1, line 7, column 12"),
        (Place("chapters/P0118.ipynb", 1, 7), "chapters/P0118.ipynb, cell 1, line 7"),
        (Place("chapters/P0118.ipynb", 3), "chapters/P0118.ipynb, cell 3"),
        (Place("build/manual.yaml", 0, 4, 2), "build/manual.yaml, line 4, column 2"),
        (Place("figures/a.png"), "figures/a.png"),
    ],
)
def test_what_is_not_known_is_left_out(place: Place, words: str) -> None:
    assert str(place) == words


def test_places_sort_as_they_are_read() -> None:
    places = [Place("a", 2, 1), Place("a", 10, 1), Place("b", 1, 1), Place("b", 1, 2), Place("b", 1, 10)]
    backwards = places[::-1]
    assert sorted(backwards) == places
