"""`authorkit explain`."""

from __future__ import annotations

from authorkit.commands import CLEAN, COULD_NOT_RUN, main
from authorkit.problems import RULES
from authorkit.problems.explain import explanation


def test_the_command_prints_the_page(capsys):
    assert main(["explain", "fuse-too-large"]) == CLEAN
    assert capsys.readouterr().out == explanation("fuse-too-large")


def test_without_an_id_every_rule_is_listed(capsys):
    assert main(["explain"]) == CLEAN
    assert [line.split()[0] for line in capsys.readouterr().out.splitlines()] == list(RULES)


def test_an_unknown_id_is_answered_with_the_nearest(capsys):
    assert main(["explain", "fuse-to-large"]) == COULD_NOT_RUN
    assert "Did you mean 'fuse-too-large'?" in capsys.readouterr().err


def test_the_same_texts_become_pages(tmp_path, capsys):
    assert main(["explain", "--html", str(tmp_path / "rules")]) == CLEAN
    assert capsys.readouterr().out.startswith("Rules: ")
    pages = "".join(path.read_text(encoding="utf-8") for path in (tmp_path / "rules").glob("*.html"))
    for rule in RULES:
        assert f'id="{rule}"' in pages
    assert "Read the rating off the fuse box and the size off the wire" in pages
