"""`authorkit pictures`."""

from __future__ import annotations

from authorkit.commands import CLEAN, COULD_NOT_RUN, FINDINGS, main


def test_every_picture_is_written_and_old_ones_go(small, capsys):
    target = small / "build" / "out" / "pictures"
    target.mkdir(parents=True)
    (target / "old.svg").write_text("old")
    assert main(["pictures", str(small), "--sheet"]) == CLEAN
    out = capsys.readouterr().out
    names = {path.name for path in target.iterdir()}
    assert "old.svg" not in names
    assert any(name.startswith("P0A78-1-circuit") and name.endswith(".svg") for name in names)
    assert (target / "contact-sheet.pdf").read_bytes().startswith(b"%PDF")
    assert f"{len(names) - 1} pictures: {target}" in out
    assert "Contact sheet: " in out


def test_what_can_be_drawn_is_written_beside_the_findings(small, edit, capsys):
    edit(small, "P0A78", "system: ", "sistem: ")
    assert main(["pictures", str(small)]) == FINDINGS
    assert "sistem" in capsys.readouterr().err
    target = small / "build" / "out" / "pictures"
    assert not (target / "contact-sheet.pdf").exists()
    assert any(target.glob("P0A78-*.svg"))


def test_a_folder_without_a_manual_could_not_run(tmp_path, capsys):
    assert main(["pictures", str(tmp_path)]) == COULD_NOT_RUN
    assert "no manual here" in capsys.readouterr().err
