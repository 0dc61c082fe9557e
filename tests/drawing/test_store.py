"""Pictures kept on disk: found again for the same facts, never for others, never trusted blindly."""

from __future__ import annotations

from dataclasses import dataclass

from authorkit.drawing.picture import Picture
from authorkit.drawing.store import PictureStore
from authorkit.problems import Place, Problem
from authorkit.store import KeptFiles, packed

PICTURE = Picture(b"<svg>\xc2\xb5</svg>", 10.0, 20.0, "alt", landscape=True, type_size=8.5, sheet="1 of 2")


class Pen:
    """Counts how often it draws."""

    def __init__(self, problems=()):
        self.count = 0
        self.problems = problems

    def __call__(self):
        self.count += 1
        return (PICTURE,), self.problems


@dataclass(frozen=True)
class Fact:
    name: str
    place: Place = Place("a.ipynb")


def stored(folder):
    return PictureStore(KeptFiles(folder))


def test_the_same_facts_are_drawn_once(tmp_path):
    pen = Pen()
    first = stored(tmp_path).pictures("circuit", Fact("x"), pen)
    again = stored(tmp_path).pictures("circuit", Fact("x"), pen)
    assert first == again == ((PICTURE,), ())
    assert pen.count == 1


def test_other_facts_or_another_kind_are_drawn_anew(tmp_path):
    pen = Pen()
    store = stored(tmp_path)
    for kind, fact in (("circuit", Fact("x")), ("circuit", Fact("y")), ("face", Fact("x"))):
        store.pictures(kind, fact, pen)
    assert pen.count == 3


def test_where_a_fact_was_said_does_not_matter(tmp_path):
    pen = Pen()
    store = stored(tmp_path)
    store.pictures("circuit", Fact("x"), pen)
    store.pictures("circuit", Fact("x", Place("b.ipynb", 2, 3)), pen)
    assert pen.count == 1


def test_an_entry_that_holds_no_pictures_is_drawn_anew(tmp_path):
    pen = Pen()
    stored(tmp_path).pictures("circuit", Fact("x"), pen)
    (entry,) = tmp_path.iterdir()
    for damage in (b"", b"junk", packed("no tuple"), packed((PICTURE, "no picture"))):
        KeptFiles(tmp_path).put(entry.stem, damage)
        assert stored(tmp_path).pictures("circuit", Fact("x"), pen) == ((PICTURE,), ())
    assert pen.count == 5


def test_a_picture_with_findings_is_not_kept(tmp_path):
    pen = Pen((Problem("drawing-incomplete", "B5 is missing.", Place("a.ipynb")),))
    store = stored(tmp_path)
    store.pictures("circuit", Fact("x"), pen)
    _, problems = store.pictures("circuit", Fact("x"), pen)
    assert pen.count == 2
    assert problems == pen.problems


def test_without_a_folder_nothing_is_kept():
    pen = Pen()
    store = PictureStore()
    store.pictures("circuit", Fact("x"), pen)
    store.pictures("circuit", Fact("x"), pen)
    assert pen.count == 2


def test_a_folder_that_cannot_be_written_costs_only_the_entry(tmp_path):
    blocked = tmp_path / "file"
    blocked.write_text("not a folder")
    pen = Pen()
    assert stored(blocked / "pictures").pictures("circuit", Fact("x"), pen) == ((PICTURE,), ())
