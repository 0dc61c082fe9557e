"""`authorkit check`: exit codes and formats."""

from __future__ import annotations

import json
import subprocess
import sys
from xml.etree import ElementTree

import pytest

from authorkit.commands import CLEAN, FINDINGS, main

WRONG = ("P0118", "[M1-A.23, K131 BU/WH 0.5 mm2 1.8 m, X12.4", "[M1-A.77, K131 BU/WH 0.5 mm2 1.8 m, X12.4")


def test_the_demo_manual_is_clean(repo_root, capsys):
    assert main(["check", "--manual", str(repo_root)]) == CLEAN
    assert "error" not in capsys.readouterr().out


def test_a_cavity_that_the_connector_has_not_got_is_found_with_its_line(manual, edit, capsys):
    edit(manual, *WRONG)
    assert main(["check", "--manual", str(manual)]) == FINDINGS
    text = capsys.readouterr().out
    (finding,) = [line for line in text.splitlines() if "[cavity-not-in-connector]" in line]
    assert finding.startswith("chapters/P0118.ipynb, cell 2, line ")
    assert "The connector M1-A has no cavity '77'" in finding
    assert "| " in text  # the author's own line is shown


def test_json_names_the_place(manual, edit, capsys):
    edit(manual, *WRONG)
    main(["check", "--manual", str(manual), "--format", "json"])
    findings = json.loads(capsys.readouterr().out)["findings"]
    found = next(item for item in findings if item["rule"] == "cavity-not-in-connector")
    assert found["file"] == "chapters/P0118.ipynb"
    assert found["cell"] == 2
    assert found["line"] > 1


def test_sarif_gives_the_physical_line_of_the_notebook(manual, edit, capsys):
    edit(manual, *WRONG)
    main(["check", "--manual", str(manual), "--format", "sarif"])
    results = json.loads(capsys.readouterr().out)["runs"][0]["results"]
    result = next(item for item in results if item["ruleId"] == "cavity-not-in-connector")
    line = result["locations"][0]["physicalLocation"]["region"]["startLine"]
    physical = (manual / "chapters" / "P0118.ipynb").read_text(encoding="utf-8").splitlines()[line - 1]
    assert "M1-A.77" in physical


def test_junit_has_a_suite_for_each_notebook(manual, capsys):
    main(["check", "--manual", str(manual), "--format", "junit"])
    names = [suite.get("name") for suite in ElementTree.fromstring(capsys.readouterr().out).iter("testsuite")]
    assert {"chapters/P0118.ipynb", "chapters/vehicle.ipynb"} <= set(names)


@pytest.mark.parametrize("form", ["text", "json", "sarif", "junit", "html"])
def test_every_format_can_be_written_to_a_file(manual, tmp_path, form, capsys):
    target = tmp_path / "findings"
    main(["check", "--manual", str(manual), "--format", form, "--output", str(target)])
    assert target.read_text(encoding="utf-8")
    assert capsys.readouterr().out == ""


def test_a_warning_counts_only_when_strict(manual, edit):
    edit(manual, "P0118", "## Notes from the bay", "## Notes from the bay\n\nTODO say more.")
    calm = main(["check", "--manual", str(manual)])
    strict = main(["check", "--manual", str(manual), "--strict"])
    assert strict == FINDINGS
    assert calm in (CLEAN, FINDINGS)


def test_checking_executes_no_cell(manual, tmp_path):
    witness = tmp_path / "executed"
    path = manual / "chapters" / "P0118.ipynb"
    notebook = json.loads(path.read_text(encoding="utf-8"))
    code = f"import pathlib; pathlib.Path({str(witness)!r}).touch()"
    cell = {"cell_type": "code", "id": "x", "metadata": {}, "source": [code], "outputs": [], "execution_count": None}
    notebook["cells"].append(cell)
    path.write_text(json.dumps(notebook), encoding="utf-8")
    subprocess.run(
        [sys.executable, "-m", "authorkit", "check", "--manual", str(manual)], check=False, capture_output=True
    )
    assert not witness.exists()
