"""The validation report: one self-contained HTML page for the editor."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from html import escape

from authorkit.checks.run import Findings
from authorkit.output.findings.text import count_words
from authorkit.problems import RULES, Place, Problem
from authorkit.problems.explain import explanation
from authorkit.problems.show import LineOf, printable

_STYLE = """
body{font:16px/1.5 "Liberation Sans",Arial,sans-serif;color:#1a1a1a;background:#fff;max-width:60rem;margin:0 auto}
body{padding:1rem}h1{font-size:1.6rem}h2{font-size:1.2rem;border-bottom:2px solid #1a1a1a;margin-top:2rem}
article{border:1px solid #767676;border-left:.5rem solid #767676;margin:1rem 0;padding:.5rem 1rem}
article.error{border-left-color:#9b2423}article.warning{border-left-color:#8a5a00}article.note{border-left-color:#005387}
h3{font-size:1rem;margin:.2rem 0}p{margin:.3rem 0}.word{font-weight:bold;text-transform:uppercase}
pre{background:#f2f2f2;padding:.5rem;overflow-x:auto;margin:.5rem 0}
dl{display:grid;grid-template-columns:max-content 1fr;gap:.1rem 1rem;margin:.3rem 0}dt{font-weight:bold}dd{margin:0}
summary{cursor:pointer}a{color:#005387}
@media (prefers-color-scheme:dark){
body{background:#161616;color:#eee}h2{border-color:#eee}pre{background:#2a2a2a}a{color:#9ecbff}
}
@media print{article{break-inside:avoid}}
"""


def as_report(findings: Findings, line_of: LineOf, title: str) -> str:
    """A page with the count, the findings of each notebook, the accepted ones, and what each broken rule means."""
    body = [f"<h1>Validation report: {escape(title)}</h1>", f"<p>{escape(count_words(findings))}</p>"]
    for file, problems in _by_file(findings.open).items():
        body.append(f"<section><h2>{escape(file)}</h2>")
        body += [_article(problem, line_of) for problem in problems]
        body.append("</section>")
    body += _accepted(findings)
    body += _rules(problem.rule for problem in findings.open)
    return printable(
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n"
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>Validation report: {escape(title)}</title>\n<style>{_STYLE}</style>\n</head>\n<body>\n<main>\n"
        + "\n".join(body)
        + "\n</main>\n</body>\n</html>\n"
    )


def _by_file(problems: Iterable[Problem]) -> dict[str, list[Problem]]:
    files: dict[str, list[Problem]] = defaultdict(list)
    for problem in problems:
        files[problem.place.file].append(problem)
    return files


def _article(problem: Problem, line_of: LineOf) -> str:
    typed = line_of(problem.place)
    pairs = (("Found", problem.found), ("Expected", problem.expected), ("Suggestion", problem.suggestion))
    rows = [f"<dt>{name}</dt><dd>{escape(value)}</dd>" for name, value in pairs if value]
    rows += [f"<dt>Also</dt><dd>{escape(str(place))}</dd>" for place in problem.also]
    return "\n".join(
        [
            f'<article class="{problem.severity}">',
            f'<h3><span class="word">{problem.severity}</span> {escape(problem.message)}</h3>',
            f'<p>{escape(_within(problem.place))} · <a href="#rule-{problem.rule}">{problem.rule}</a></p>',
            f'<pre tabindex="0">{escape(typed)}</pre>' if typed is not None else "",
            f"<dl>{''.join(rows)}</dl>" if rows else "",
            "</article>",
        ]
    )


def _within(place: Place) -> str:
    """Cell, line and column, without the file that the section names."""
    return place.within or "the file as a whole"


def _accepted(findings: Findings) -> list[str]:
    if not findings.accepted:
        return []
    rows = [
        f"<li>{escape(str(item.problem.place))}: {escape(item.problem.message)} ({item.problem.rule}) "
        f"<strong>Accepted because:</strong> {escape(item.because)}</li>"
        for item in findings.accepted
    ]
    return ["<section><h2>Accepted findings</h2><ul>", *rows, "</ul></section>"]


def _rules(broken: Iterable[str]) -> list[str]:
    """What each broken rule means, for the reader who does not know it by heart."""
    names = sorted(set(broken))
    if not names:
        return []
    parts = [
        f'<details id="rule-{name}" open><summary>{name} ({RULES[name].severity})</summary>'
        f'<pre tabindex="0">{escape(explanation(name))}</pre></details>'
        for name in names
    ]
    return ["<section><h2>The rules</h2>", *parts, "</section>"]
