"""Pictures kept on disk: found again for the same facts, never for others, never trusted blindly."""

from __future__ import annotations

from dataclasses import dataclass

from authorkit.drawing.picture import Picture
from authorkit.drawing.store import PictureStore, content
from authorkit.problems import Place, Problem

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


def test_the_same_facts_are_drawn_once(tmp_path):
    pen = Pen()
    first = PictureStore(tmp_path).pictures("circuit", Fact("x"), pen)
    again = PictureStore(tmp_path).pictures("circuit", Fact("x"), pen)
    assert first == again == ((PICTURE,), ())
    assert pen.count == 1


def test_other_facts_or_another_kind_are_drawn_anew(tmp_path):
    pen = Pen()
    store = PictureStore(tmp_path)
    for kind, fact in (("circuit", Fact("x")), ("circuit", Fact("y")), ("face", Fact("x"))):
        store.pictures(kind, fact, pen)
    assert pen.count == 3


def test_where_a_fact_was_said_does_not_matter(tmp_path):
    pen = Pen()
    store = PictureStore(tmp_path)
    store.pictures("circuit", Fact("x"), pen)
    store.pictures("circuit", Fact("x", Place("b.ipynb", 2, 3)), pen)
    assert pen.count == 1


def test_a_damaged_entry_is_drawn_anew(tmp_path):
    pen = Pen()
    PictureStore(tmp_path).pictures("circuit", Fact("x"), pen)
    (entry,) = tmp_path.iterdir()
    for damage in (b"", b"{", b"[1]", b'[{"svg": 3}]', b'[{"svg": "x", "evil": 1}]'):
        entry.write_bytes(damage)
        assert PictureStore(tmp_path).pictures("circuit", Fact("x"), pen) == ((PICTURE,), ())
    assert pen.count == 6


def test_a_picture_with_findings_is_not_kept(tmp_path):
    pen = Pen((Problem("drawing-incomplete", "B5 is missing.", Place("a.ipynb")),))
    store = PictureStore(tmp_path)
    store.pictures("circuit", Fact("x"), pen)
    _, problems = store.pictures("circuit", Fact("x"), pen)
    assert pen.count == 2
    assert problems == pen.problems


def test_pruning_keeps_what_this_build_used(tmp_path):
    old = PictureStore(tmp_path)
    old.pictures("circuit", Fact("old"), Pen())
    old.pictures("circuit", Fact("kept"), Pen())
    new = PictureStore(tmp_path)
    new.pictures("circuit", Fact("kept"), Pen())
    new.prune()
    pen = Pen()
    PictureStore(tmp_path).pictures("circuit", Fact("kept"), pen)
    PictureStore(tmp_path).pictures("circuit", Fact("old"), pen)
    assert pen.count == 1


def test_without_a_folder_nothing_is_kept():
    pen = Pen()
    store = PictureStore()
    store.pictures("circuit", Fact("x"), pen)
    store.pictures("circuit", Fact("x"), pen)
    store.prune()
    assert pen.count == 2


def test_a_folder_that_cannot_be_written_costs_only_the_entry(tmp_path):
    blocked = tmp_path / "file"
    blocked.write_text("not a folder")
    pen = Pen()
    assert PictureStore(blocked / "pictures").pictures("circuit", Fact("x"), pen) == ((PICTURE,), ())


def test_content_sorts_what_has_no_order():
    assert content({"b": 1, "a": {3, 1}}) == content({"a": {1, 3}, "b": 1})
