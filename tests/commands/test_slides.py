"""`authorkit slides`: one file for a code or for a class."""

from __future__ import annotations

from authorkit.commands import CLEAN, COULD_NOT_RUN, FINDINGS, main


def _slides(folder, *options):
    return main(["slides", *options, "--manual", str(folder)])


def test_a_code_gives_one_file_and_its_path(small, capsys):
    assert _slides(small, "P0118") == CLEAN, capsys.readouterr().err
    target = small / "build" / "out" / "slides" / "P0118.html"
    assert capsys.readouterr().out == f"Slides: {target}\n"
    assert '<p class="subtitle">P0118 ' in target.read_text(encoding="utf-8")


def test_a_class_gives_its_chapters_where_it_is_told(small, tmp_path):
    target = tmp_path / "new folder" / "class.html"
    recipe = small / "build" / "manual.yaml"
    text = recipe.read_text(encoding="utf-8").replace("first: [P0118]", "first: [P0A78, P0118]")
    recipe.write_text(text, encoding="utf-8")
    assert _slides(small, "first", "--output", str(target)) == CLEAN
    text = target.read_text(encoding="utf-8")
    assert "Class &#39;first&#39;" in text
    assert text.index('href="#P0A78"') < text.index('href="#P0118"')


def test_an_unknown_name_offers_the_code_or_the_class(small, capsys):
    assert _slides(small, "P0119") == COULD_NOT_RUN
    assert "'P0118'" in capsys.readouterr().err
    assert _slides(small, "frist") == COULD_NOT_RUN
    assert "There is a class 'first'." in capsys.readouterr().err


def test_errors_of_the_chapter_stand_in_the_way_and_those_of_others_do_not(small, edit, capsys):
    edit(small, "P0A78", "set-by: ", "set-by: X")
    assert _slides(small, "P0118") == CLEAN, capsys.readouterr().err
    assert _slides(small, "P0A78") == FINDINGS
    error = capsys.readouterr().err
    assert "[module-unknown]" in error
    assert "No slides were made." in error
    assert not (small / "build" / "out" / "slides" / "P0A78.html").exists()
