"""Findings as JUnit XML, read back by an independent reader (junitparser)."""

from __future__ import annotations

from collections.abc import Callable

from junitparser import JUnitXml, TestCase, TestSuite

from authorkit.checks.run import Findings
from authorkit.output.findings.junit import as_junit
from authorkit.problems import Place, Problem

LineOf = Callable[[Place], str | None]
FILES = ["chapters/P0118.ipynb", "chapters/P0117.ipynb", "chapters/vehicle.ipynb", "chapters/P0117.ipynb"]


def suites(findings: Findings, files: list[str], line_of: LineOf) -> dict[str, TestSuite]:
    document = JUnitXml.fromstring(as_junit(findings, files, line_of).encode("utf-8"))
    return {suite.name: suite for suite in document}


def test_each_file_is_a_suite_and_each_open_finding_a_case(findings: Findings, line_of: LineOf) -> None:
    found = suites(findings, FILES, line_of)
    assert {name: (suite.tests, suite.failures) for name, suite in found.items()} == {
        "chapters/P0117.ipynb": (1, 0),
        "chapters/P0118.ipynb": (2, 1),
        "chapters/vehicle.ipynb": (1, 0),
        "figures/a, b%20c.png": (1, 0),
    }


def test_the_numbers_at_the_top_are_those_that_a_reader_counts(findings: Findings, line_of: LineOf) -> None:
    document = JUnitXml.fromstring(as_junit(findings, FILES, line_of).encode("utf-8"))
    written = (document.tests, document.failures)
    document.update_statistics()
    assert written == (document.tests, document.failures) == (5, 1)


def test_an_error_is_a_failure_with_the_whole_text(findings: Findings, line_of: LineOf) -> None:
    error, note = suites(findings, FILES, line_of)["chapters/P0118.ipynb"]
    assert isinstance(error, TestCase)
    assert error.name == "wire-two-colours in cell 2, line 7, column 12"
    (failure,) = error.result
    assert failure.type == "wire-two-colours"
    assert failure.message == "The wire K131 from B5.1 to X12.4 is GN here & BU there."
    assert "K131 <GN> &" in failure.text
    assert "suggestion: Look at the wire, and correct the place that is <wrong>." in failure.text
    assert note.result == []
    assert "The procedure has 2 steps." in note.system_out


def test_a_file_without_findings_has_a_case_that_passes(findings: Findings, line_of: LineOf) -> None:
    (case,) = suites(findings, FILES, line_of)["chapters/vehicle.ipynb"]
    assert (case.name, case.result) == ("no findings", [])


def test_two_findings_in_one_line_have_two_names(line_of: LineOf) -> None:
    twice = tuple(Problem("todo-left", "A note.", Place("a.ipynb", 1, 7, column)) for column in (3, 30))
    cases = list(suites(Findings(twice, ()), [], line_of)["a.ipynb"])
    assert len({case.name for case in cases}) == 2


def test_signs_of_markup_and_signs_that_xml_cannot_hold_are_harmless(hostile: Findings, line_of: LineOf) -> None:
    (suite,) = suites(hostile, [], line_of).values()
    (case,) = suite
    assert "]]></failure></script><script>alert('1')</script>" in case.system_out
    assert "\x1b" not in case.system_out
