"""Findings as JUnit XML: one suite a notebook, one failing case a finding, for build servers."""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree
from collections.abc import Iterable

from authorkit.checks.run import Findings
from authorkit.problems import Problem
from authorkit.problems.show import LineOf, printable, show_problem


def as_junit(findings: Findings, files: Iterable[str], line_of: LineOf) -> str:
    """XML with a test suite for each file; a file without findings has one passing case.

    There is no official schema; the shape is the one that build servers read (common practice).
    """
    root = ElementTree.Element("testsuites", name="authorkit check")
    by_file: dict[str, list[Problem]] = {file: [] for file in sorted(set(files))}
    for problem in findings.open:
        by_file.setdefault(problem.place.file, []).append(problem)
    for file, problems in by_file.items():
        _suite(root, file, problems, line_of)
    for key, value in (("tests", _count(root, "testcase")), ("failures", _count(root, "testcase/failure"))):
        root.set(key, str(value))
    ElementTree.indent(root, " ")
    return '<?xml version="1.0" encoding="utf-8"?>\n' + ElementTree.tostring(root, encoding="unicode") + "\n"


def _suite(root: ElementTree.Element, file: str, problems: list[Problem], line_of: LineOf) -> None:
    suite = ElementTree.SubElement(root, "testsuite", name=printable(file))
    suite.set("tests", str(max(len(problems), 1)))
    suite.set("failures", str(sum(problem.severity == "error" for problem in problems)))
    if not problems:
        ElementTree.SubElement(suite, "testcase", classname=printable(file), name="no findings")
    for problem in problems:
        name = f"{problem.rule} in {problem.place.within or 'the file as a whole'}"
        case = ElementTree.SubElement(suite, "testcase", classname=printable(file), name=name)
        text = show_problem(problem, line_of)
        if problem.severity == "error":
            failure = ElementTree.SubElement(case, "failure", type=problem.rule, message=printable(problem.message))
            failure.text = text
        else:
            ElementTree.SubElement(case, "system-out").text = text


def _count(root: ElementTree.Element, path: str) -> int:
    return len(root.findall(f"testsuite/{path}"))
